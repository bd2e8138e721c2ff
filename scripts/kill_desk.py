"""Kills a process that edits a dossier at random moments, again and again, and counts what was lost.

Each round a process opens the dossier and makes edits, undoes and redoes, telling each that was acknowledged; it is killed
without warning. Then the dossier is opened again: it must open, every acknowledged edit must be in its history, and its files
must hold the last state. With ``--server`` the process is the whole server, edits, logs and photos come over the wire, and
every file that was acknowledged must be there, none in part. Each server is forked from a process that has everything loaded.

    python scripts/kill_desk.py --times 1000 --server
"""

from __future__ import annotations

import argparse
import contextlib
import json
import multiprocessing
import os
import random
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from datetime import UTC, datetime
from multiprocessing.connection import Connection
from pathlib import Path

__all__ = ["Tally", "check", "edits_until_killed", "main", "one_round"]

DEMO = Path(__file__).resolve().parent.parent / "demos" / "night-light"


class Tally:
    """What was seen so far."""

    def __init__(self) -> None:
        self.rounds = 0
        self.acknowledged = 0
        self.unacknowledged_kept = 0
        self.files = 0
        self.lost: list[str] = []

    def __str__(self) -> str:
        return (
            f"{self.rounds} kills, {self.acknowledged} edits and {self.files} files acknowledged, {len(self.lost)} lost, "
            f"{self.unacknowledged_kept} kept that were not acknowledged yet"
        )


def now() -> str:
    """Time of now; the journal notes it."""
    return datetime.now(tz=UTC).isoformat(timespec="seconds")


def edits_until_killed(folder: str, pipe: Connection, seed: int) -> None:
    """Make edits without end, telling each that was acknowledged.

    Parameters
    ----------
    folder : str
        Of the dossier.
    pipe : Connection
        Takes the request's name of each acknowledged edit.
    seed : int
        Of the choice of edits.
    """
    from lidoff.dossier.edits import Add, Edit, Set, Stroke
    from lidoff.dossier.opening import open_desk
    from lidoff.errors import LidoffError

    chance = random.Random(seed)
    desk = open_desk(Path(folder), now)
    pipe.send("open")
    for number in range(1_000_000):
        id = f"{seed}-{number}"
        made: tuple[Callable[[], Edit], ...] = (
            lambda: Set(path=("device", "title"), value=f"title {id}"),  # noqa: B023
            lambda: Set(path=("notes",), value=[f"note {id}" * chance.randrange(1, 400)]),  # noqa: B023
            lambda: Add(path=("trials", id), value={"what": "killed", "seen": "nothing lost"}),  # noqa: B023
            lambda: Stroke(
                board="main",
                side="front",
                says="legend",
                points_mm=((chance.uniform(1.0, 30.0), 2.0), (5.0, 5.0)),
            ),
        )
        try:
            step = chance.randrange(10)
            if step < 2:
                desk.undo(base=desk.revision, id=id)
            elif step < 3:
                desk.redo(base=desk.revision, id=id)
            else:
                desk.edit(chance.choice(made)(), base=desk.revision, id=id)
        except LidoffError:
            continue  # nothing to undo or redo
        pipe.send(id)


def warm_up(folder: Path, *, server: bool) -> None:
    """Load all that edits, or the server, need once, not in every process."""
    from lidoff.dossier.edits import Set, Stroke
    from lidoff.dossier.opening import open_desk

    shutil.copytree(DEMO, folder)
    desk = open_desk(folder, now)
    desk.edit(Set(path=("device", "title"), value="warm"), base=0, id="")
    stroke = Stroke(board="main", side="back", says="cut", points_mm=((1.0, 2.0), (5.0, 5.0)))
    desk.edit(stroke, base=1, id="")
    if server:
        import uvicorn

        from lidoff.bench import create_app, serve
        from lidoff.bench.quick import View, quick_of, svg_of

        assert all((uvicorn, create_app, serve))
        svg_of(quick_of(desk.documents, generation=1, revision=2, before=None), View())
    desk.close()


def check(folder: Path, acknowledged: list[str], tally: Tally) -> None:
    """Open the dossier again and look for what was acknowledged.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    acknowledged : list of str
        Names of the requests.
    tally : Tally
        Takes what was found.
    """
    from lidoff.dossier.folder_texts import read_texts
    from lidoff.dossier.opening import open_desk

    desk = open_desk(folder, now)
    try:
        tally.rounds += 1
        tally.acknowledged += len(acknowledged)
        tally.lost += [id for id in acknowledged if desk.history.known(id) is None]
        if list(folder.glob("journal.damaged-*")) or dict(read_texts(folder)) != dict(desk.documents):
            tally.lost.append(f"round {tally.rounds}: the files do not hold the last state")
        if acknowledged:
            last = desk.history.known(acknowledged[-1])
            beyond = desk.revision - (last.revision if last else 0)
            tally.unacknowledged_kept += beyond
            if beyond > 1:
                tally.lost.append(f"round {tally.rounds}: {beyond} edits that nobody saw acknowledged")
    finally:
        desk.close()


def one_round(folder: Path, seed: int, tally: Tally) -> None:
    """Edit, kill, open again.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    seed : int
        Of the edits and of the moment.
    tally : Tally
        Takes what was found.
    """
    context = multiprocessing.get_context("fork")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=edits_until_killed, args=(str(folder), theirs, seed))
    process.start()
    theirs.close()
    assert ours.recv() == "open"
    time.sleep(random.Random(seed).expovariate(1 / 0.25))
    process.kill()
    process.join()
    acknowledged: list[str] = []
    with contextlib.suppress(EOFError):
        while True:
            acknowledged.append(ours.recv())
    ours.close()
    check(folder, acknowledged, tally)


def serve_until_killed(folder: str, pipe: Connection) -> None:
    """Serve a dossier as ``lidoff bench`` does, telling the address.

    Parameters
    ----------
    folder : str
        Of the dossier.
    pipe : Connection
        Takes the address.
    """
    from lidoff.bench import Settings, live, serve

    # Analysing in full takes a process that would only be ended again; all that touches the disk runs as ever.
    live._PAUSE = 3600.0
    settings = Settings(port=0, port_is_fixed=True)
    serve(Path(folder), settings, told=lambda served: pipe.send(served.address))


def server_round(folder: Path, seed: int, tally: Tally) -> None:
    """As `one_round`, with the whole server killed while edits and files come over the wire.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    seed : int
        Of the edits and of the moment.
    tally : Tally
        Takes what was found.
    """
    import httpx

    context = multiprocessing.get_context("fork")
    ours, theirs = context.Pipe(duplex=False)
    server = context.Process(target=serve_until_killed, args=(str(folder), theirs))
    server.start()
    theirs.close()
    address = str(ours.recv())
    chance = random.Random(seed)
    # Most kills come while requests are under way, not between them. The first request alone loads what is loaded once, and on
    # a busy machine takes longer than all others: but for one round in five the moment counts from its answer.
    end = threading.Timer(chance.expovariate(1 / 0.6), server.kill)
    begins_at_once = chance.random() < 0.2
    acknowledged: list[str] = []
    sent: dict[str, bytes] = {}
    kept: list[str] = []
    with httpx.Client(base_url=address.split("/enter")[0], timeout=300.0) as page:
        page.get(address)
        base = page.get("/api/state").json()["revision"]
        if begins_at_once:
            end.start()
        for number in range(1_000_000):
            if acknowledged and end.ident is None:
                end.start()
            id = f"{seed}-{number}"
            try:
                kind = chance.random()
                if kind < 0.2:
                    folder_of, ending, data = (
                        ("photos", "png", png_of(chance)) if kind < 0.05 else ("logs", "csv", csv_of(chance))
                    )
                    name = f"{id}.{ending}"
                    sent[f"{folder_of}/{name}"] = data
                    answer = page.put(
                        f"/api/files/{folder_of}/{name}", content=data, headers={"X-Edit-Id": id}
                    )
                    told = answer.raise_for_status().json()
                    kept.append(str(told["file"]))
                    base = told["revision"]
                    if folder_of == "photos":  # told to the dossier by an edit
                        acknowledged.append(id)
                    continue
                path, body = request_of(chance, id, base)
                answer = page.post(path, json=body)
            except httpx.TransportError:
                break
            if answer.status_code == 409:
                continue  # nothing to undo or redo
            base = answer.raise_for_status().json()["revision"]
            acknowledged.append(id)
    if end.ident is None:
        tally.lost.append(f"round {tally.rounds + 1}: the server ended by itself")
    else:
        end.join()
    server.join()
    ours.close()
    check(folder, acknowledged, tally)
    check_files(folder, sent, kept, tally)


def request_of(chance: random.Random, id: str, base: int) -> tuple[str, dict[str, object]]:
    """Path and body of one change.

    Parameters
    ----------
    chance : random.Random
        Chooses it.
    id : str
        Of the request.
    base : int
        Revision that it rests on.

    Returns
    -------
    tuple of str, dict
        Path and body.
    """
    edits: tuple[dict[str, object], ...] = (
        {"kind": "set", "path": ["device", "title"], "value": f"title {id}"},
        {"kind": "set", "path": ["notes"], "value": [f"note {id}" * chance.randrange(1, 400)]},
        {"kind": "add", "path": ["trials", id], "value": {"what": "killed", "seen": "nothing lost"}},
        {
            "kind": "stroke",
            "board": "main",
            "side": "front",
            "says": "legend",
            "points_mm": [[chance.uniform(1.0, 30.0), 2.0], [5.0, 5.0]],
        },
    )
    step = chance.randrange(10)
    body: dict[str, object] = {"id": id, "base": base, "shows": {}}
    if step < 3:
        return ("/api/undo" if step < 2 else "/api/redo"), body
    return "/api/edits", {**body, "edit": chance.choice(edits)}


def csv_of(chance: random.Random) -> bytes:
    """Log of some length."""
    rows = (f"{second},{chance.random():.6f}" for second in range(chance.randrange(2, 20_000)))
    return ("time [s],I [A]\n" + "\n".join(rows) + "\n").encode()


def png_of(chance: random.Random) -> bytes:
    """Photo of noise."""
    import io

    from PIL import Image

    out = io.BytesIO()
    size = chance.randrange(64, 512)
    Image.frombytes("L", (size, size), chance.randbytes(size * size)).save(out, "PNG")
    return out.getvalue()


def check_files(folder: Path, sent: dict[str, bytes], kept: list[str], tally: Tally) -> None:
    """Look whether every acknowledged file is there, and no file is there in part.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    sent : dict of str to bytes
        What was sent for each path.
    kept : list of str
        Paths of those that were acknowledged.
    tally : Tally
        Takes what was found.
    """
    from lidoff.bench.files import drop_unfinished

    drop_unfinished(folder)  # as the next start of the server does
    tally.files += len(kept)
    tally.lost += [f"{path} is not there" for path in kept if not (folder / path).is_file()]
    for file in (*folder.glob("logs/*"), *folder.glob("photos/*")):
        path = file.relative_to(folder).as_posix()
        if path in sent and file.read_bytes() != sent[path]:
            tally.lost.append(f"{path} is not what was sent")
        if file.name.startswith("."):
            tally.lost.append(f"{path} was left behind")


def main() -> int:
    """Kill so often as asked, and say what was lost."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--times", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--server", action="store_true", help="kill the whole server")
    parser.add_argument(
        "--minutes", type=float, default=float("inf"), help="stop after so long, with what was seen"
    )
    arguments = parser.parse_args()
    tally = Tally()
    with tempfile.TemporaryDirectory() as place:
        warm_up(Path(place) / "warm", server=arguments.server)
        until = time.monotonic() + 60.0 * arguments.minutes
        for number in range(arguments.times):
            if time.monotonic() > until:
                break
            folder = Path(place) / str(number // 50)
            if (
                not folder.exists()
            ):  # a fresh dossier now and then, so that the journal does not grow without end
                shutil.copytree(DEMO, folder)
            (server_round if arguments.server else one_round)(
                folder, arguments.seed * 100_000 + number, tally
            )
            if number % 50 == 49:
                print(json.dumps({"so far": str(tally)}), flush=True)
    print(tally)
    return 1 if tally.lost else 0


if __name__ == "__main__":
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    sys.exit(main())
