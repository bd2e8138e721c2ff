"""Live meters: looked for, recorded into a log, watched, stopped."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query

from lidoff.bench import recording
from lidoff.bench.bench import Bench
from lidoff.bench.jobs import Job
from lidoff.bench.log_told import LogTold, log_told
from lidoff.bench.recording import RecordAsked, Recording

__all__ = ["routes"]


def routes(bench: Bench) -> APIRouter:
    """Routes of the meters."""
    router = APIRouter(prefix="/api", tags=["meters"])

    @router.post("/meters")
    def look_for_meters() -> Job:
        """Start looking for meters; those on the network often show only when they are asked for by address."""
        return bench.jobs.start("meters", recording.seen_meters, bench.settings.meters_through)

    @router.post("/recordings")
    def start_recording(asked: RecordAsked) -> Recording:
        """Begin to record meters; only questions are sent to them."""
        bench.check_writable()
        return bench.recordings.start(asked)

    @router.get("/recordings")
    def recordings() -> list[Recording]:
        """Tell the records of this start, the newest first."""
        return bench.recordings.all()

    @router.get("/recordings/{recording}")
    def recording_told(recording: str) -> Recording:
        """Tell how a record stands."""
        return bench.recordings.told(recording)

    @router.delete("/recordings/{recording}")
    def stop_recording(recording: str) -> Recording:
        """Stop a record; it becomes a log as soon as its meters are let go of."""
        return bench.recordings.stop(recording)

    @router.get("/recordings/{recording}/log")
    def recording_log(recording: str, points: Annotated[int, Query(ge=2, le=5000)] = 2000) -> LogTold:
        """Tell a record's channels over time, so far."""
        return log_told(bench.recordings.file(recording).read_bytes(), points)

    return router
