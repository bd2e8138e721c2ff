"""Kills a process that edits a dossier at random moments, again and again, and counts what was lost.

Each round a process opens the dossier and makes edits, undoes and redoes, telling each that was acknowledged; it is killed
without warning. Then the dossier is opened again: it must open, every acknowledged edit must be in its history, and its files
must hold the last state. With ``--server`` the process is the whole server, and the edits come over the wire.

    python scripts/kill_desk.py --times 1000
"""

from __future__ import annotations

import argparse
import contextlib
import json
import multiprocessing
import os
import random
import shutil
import signal
import socket
import subprocess
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
        self.lost: list[str] = []

    def __str__(self) -> str:
        return (
            f"{self.rounds} kills, {self.acknowledged} edits acknowledged, {len(self.lost)} lost, "
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


def warm_up(folder: Path) -> None:
    """Load all that edits need once, not in every process."""
    from lidoff.dossier.edits import Set, Stroke
    from lidoff.dossier.opening import open_desk

    shutil.copytree(DEMO, folder)
    desk = open_desk(folder, now)
    desk.edit(Set(path=("device", "title"), value="warm"), base=0, id="")
    stroke = Stroke(board="main", side="back", says="cut", points_mm=((1.0, 2.0), (5.0, 5.0)))
    desk.edit(stroke, base=1, id="")
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


def server_round(folder: Path, seed: int, tally: Tally) -> None:
    """As `one_round`, with the whole server killed while edits come over the wire."""
    import httpx

    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    begin = "from lidoff.cli import main; raise SystemExit(main())"
    words = [
        sys.executable,
        "-c",
        begin,
        "bench",
        str(folder),
        "--no-open",
        "--port",
        str(port),
    ]
    server = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    assert server.stdout is not None
    address = next(line.split()[1] for line in server.stdout if line.startswith("page"))
    moment = random.Random(seed).uniform(0.0, 1.0)
    end = threading.Timer(moment, server.send_signal, (signal.SIGKILL,))
    acknowledged: list[str] = []
    with httpx.Client(base_url=f"http://127.0.0.1:{port}", timeout=5.0) as page:
        page.get(address)
        base = page.get("/api/state").json()["revision"]
        number = 0
        while True:
            if number == 1:  # the first edit loads much; the moments that matter come after it
                end.start()
            id = f"{seed}-{number}"
            edit = {"kind": "set", "path": ["device", "title"], "value": f"title {id}"}
            try:
                answer = page.post("/api/edits", json={"id": id, "base": base, "edit": edit})
            except httpx.TransportError:
                break
            base = answer.raise_for_status().json()["revision"]
            acknowledged.append(id)
            number += 1
    server.wait()
    check(folder, acknowledged, tally)


def main() -> int:
    """Kill so often as asked, and say what was lost."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--times", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--server", action="store_true", help="kill the whole server (slower)")
    arguments = parser.parse_args()
    tally = Tally()
    with tempfile.TemporaryDirectory() as place:
        warm_up(Path(place) / "warm")
        for number in range(arguments.times):
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
