"""The dossier as it stands, its texts, its history, and the stream of what changes."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Header, Query, Response
from fastapi.responses import StreamingResponse

from lidoff.bench.bench import Bench, told_by
from lidoff.bench.models import HistoryAnswer, HistoryEntry, State
from lidoff.errors import UnknownName

__all__ = ["routes"]


def routes(bench: Bench) -> APIRouter:
    """Routes of the state."""
    router = APIRouter(prefix="/api", tags=["state"])

    @router.get("/state")
    def state() -> State:
        """Tell the whole dossier at its present revision."""
        return bench.state()

    @router.get("/document/{file:path}", response_class=Response)
    def document(file: str) -> Response:
        """Tell the text of ``dossier.toml`` or of a board's file."""
        documents = bench.desk.documents
        if file not in documents:
            raise UnknownName(f"there is no text {file!r}", name=file, known=documents)
        return Response(documents[file], media_type="text/plain; charset=utf-8")

    @router.get("/history")
    def history(
        before: Annotated[int, Query(ge=0)] = 0, limit: Annotated[int, Query(ge=1, le=1000)] = 100
    ) -> HistoryAnswer:
        """Tell the changes, the newest first; `before` a revision goes on from an earlier answer."""
        with bench.guard:
            entries = bench.desk.history.entries
        undone: set[int] = set()
        for one in entries:
            if one.kind == "undo":
                undone.add(one.of)
            elif one.kind == "redo":
                undone.discard(one.of)
        chosen = [one for one in reversed(entries) if not before or one.revision < before][:limit]
        return HistoryAnswer(
            entries=[
                HistoryEntry(
                    revision=one.revision,
                    time=one.time,
                    title=one.title,
                    page=one.page,
                    kind=one.kind,
                    by=told_by(one),  # type: ignore[arg-type]
                    undone=one.revision in undone,
                )
                for one in chosen
            ]
        )

    @router.get("/events", response_class=StreamingResponse)
    async def events(
        page: Annotated[str, Query(max_length=80)] = "",  # noqa: ARG001 - told in the address for the log alone
        last_event_id: Annotated[str, Header()] = "",
    ) -> StreamingResponse:
        """Stream what changes, as server-sent events."""
        last = (
            int(last_event_id)
            if last_event_id.isascii() and last_event_id.isdigit() and len(last_event_id) < 18
            else None
        )
        return StreamingResponse(bench.events.listen(last), media_type="text/event-stream")

    return router
