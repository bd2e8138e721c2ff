"""Servers that run for a test: the real one on a port of its own, asked over real connections."""

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import httpx
import uvicorn

from lidoff.bench import Bench, Settings, create_app, open_socket
from lidoff.bench.events import Events
from tests.dossier.build import lamp_text

KEY = "key-of-this-start"


@dataclass(frozen=True, slots=True)
class Running:
    """A running server: what it holds, and a browser that was let in."""

    bench: Bench
    client: httpx.Client
    folder: Path

    def edit(self, edit: dict[str, object], *, base: int | None = None, id: str = "") -> httpx.Response:
        """Send one edit, on top of the present state unless told otherwise."""
        body = {
            "id": id or f"edit-{time.monotonic_ns()}",
            "base": self.bench.desk.revision if base is None else base,
            "edit": edit,
        }
        return self.client.post("/api/edits", json=body)

    def state(self) -> dict[str, object]:
        """Ask for the whole state."""
        return dict(self.client.get("/api/state").raise_for_status().json())


@contextmanager
def running(
    folder: Path, text: str | None = None, *, empty: bool = False, phone: bool = False, **limits: object
) -> Iterator[Running]:
    """Serve a folder, with a dossier put there first unless it is to stay empty."""
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / "dossier.toml"
    if not empty and not file.exists():
        file.write_text(lamp_text() if text is None else text, encoding="utf-8")
    taken = open_socket("127.0.0.1", 0, fixed=True)
    port = int(taken.getsockname()[1])
    bench = Bench(folder, Settings(key=KEY, port=port, **limits))  # type: ignore[arg-type]
    if phone:
        bench.phone.host = f"phones.test:{port}"
    config = uvicorn.Config(
        create_app(bench), log_level="warning", access_log=False, timeout_graceful_shutdown=1
    )
    server = uvicorn.Server(config)
    taken.listen(64)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [taken]})
    thread.start()
    try:
        with httpx.Client(
            base_url=f"http://127.0.0.1:{port}", headers={"x-bench-key": KEY}, timeout=60.0
        ) as client:
            yield Running(bench, client, folder)
    finally:
        server.should_exit = True
        thread.join()
        taken.close()


def waited_for(events: Events, sort: str, seconds: float = 20.0) -> dict[str, object]:
    """Newest event of a sort, waited for."""
    import json

    until = time.monotonic() + seconds
    while time.monotonic() < until:
        for event in reversed(events.missed(0) or []):
            if event.sort == sort:
                return dict(json.loads(event.data))
        time.sleep(0.02)
    raise AssertionError(f"no event {sort!r} came")


def done(server: Running, job: dict[str, object], seconds: float = 120.0) -> dict[str, object]:
    """Job as it stands once it is over."""
    until = time.monotonic() + seconds
    while job["state"] in ("waiting", "working"):
        assert time.monotonic() < until, f"{job['task']} takes too long"
        time.sleep(0.05)
        job = server.client.get(f"/api/jobs/{job['job']}").raise_for_status().json()
    assert "done" == job["state"], job["problem"]
    return job
