"""Live meters recorded from the bench: each record in a process of its own, that is heard and can be stopped.

While a record grows it lies in a folder of its own, so that no analysis is set off by every row; once it ends it becomes one of
the dossier's logs. What an end of the server left there is taken up as it is when the next one starts.
"""

from __future__ import annotations

import multiprocessing
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from pydantic import Field

from lidoff.bench.beside import let_imports_end
from lidoff.bench.events import Events
from lidoff.bench.files import keep, safe_name
from lidoff.bench.jobs import Teller
from lidoff.bench.models import Closed, Name, Plain
from lidoff.bench.trouble import Trouble, trouble_of
from lidoff.errors import EditRefused, OutputRefused, UnknownName
from lidoff.meters.over_a_line import record_over

if TYPE_CHECKING:
    from lidoff.meters import Plan

__all__ = ["ReadAsked", "RecordAsked", "Recording", "Recordings", "seen_meters", "take_up_records"]

UNDER_WAY = "logs/recording"
MOST = 4
"""Records at one time."""
_BETWEEN = 0.25
"""Least time between two rows that pages are told of [s]."""
_PATIENCE = 8.0
"""How long a record that was stopped may take to let go of its meters [s]: a little more than an answer may."""


class ReadAsked(Closed):
    """One column: the address of a meter, and what it is asked for, as for the command."""

    meter: str = Field(min_length=1, max_length=200)
    read: str = Field(min_length=1, max_length=300)


class RecordAsked(Closed):
    """What to record, under which name, how often and how long; empty for as long as nobody stops it."""

    name: str = Field(min_length=1, max_length=80)
    reads: list[ReadAsked] = Field(min_length=1, max_length=32)
    every: Name = "1 s"
    lasts: Name = ""
    until: Name = ""


class Recording(Closed):
    """One record: how it stands, its last row, what last happened, and why it ended.

    `file` is its path in the dossier's folder, once it is one of the logs.
    """

    recording: str
    name: str
    state: Literal["starting", "recording", "silent", "ended"] = "starting"
    file: str = ""
    rows: int = 0
    lost: int = 0
    seconds: float = 0.0
    cells: dict[str, str] = Field(default_factory=dict)
    units: dict[str, str] = Field(default_factory=dict)
    word: str = ""
    why: str = ""
    problem: Trouble | None = None


def seen_meters(tell: Teller, backend: str) -> Plain:
    """Addresses of the meters that can be seen, and what a meter can be asked for; runs in the process of a job.

    Parameters
    ----------
    tell : callable (text, share)
        Told of progress.
    backend : str
        What is spoken through.

    Returns
    -------
    dict
        ``addresses`` and ``questions``.

    Raises
    ------
    MeterLost
        Nothing can be looked for.
    """
    from lidoff.meters import QUESTIONS, addresses

    tell("looking for meters", 0.0)
    return {"addresses": list(addresses(backend=backend)), "questions": list(QUESTIONS)}


def take_up_records(folder: Path) -> list[Path]:
    """Make logs of the records that an earlier server's end left under way.

    Parameters
    ----------
    folder : Path
        Of the dossier, whose lock is held: nobody else is recording.

    Returns
    -------
    list of Path
        The logs.
    """
    place = folder / UNDER_WAY
    if not place.is_dir() or not _lies_in(place, folder):
        return []
    found = [keep(file, file.name, folder / "logs") for file in sorted(place.glob("*.csv"))]
    with suppress(OSError):
        place.rmdir()
    return found


def _lies_in(place: Path, folder: Path) -> bool:
    """Whether no link leads from the place out of the dossier, or to another place in it."""
    return place.resolve() == folder.resolve() / UNDER_WAY


def _made_in(folder: Path) -> Path:
    """Folder of the records under way."""
    place = folder / UNDER_WAY
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputRefused(
            f"{UNDER_WAY} cannot be made ({error.strerror or error})",
            where=str(folder),
            remedy="make room on the disk or check the permissions, then try again",
        ) from None
    if not _lies_in(place, folder):
        raise OutputRefused(f"{UNDER_WAY} is a link", where=str(folder), remedy="put a folder in its place")
    return place


@dataclass(slots=True)
class _Running:
    """A record under way: its process, the line to it, and its file."""

    process: BaseProcess
    line: Connection
    file: Path
    stopped: bool = False


class Recordings:
    """Records of one start of the server.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    events : Events
        Told how each record stands.
    backend : str
        What meters are spoken to through.
    on_log : callable ()
        Called when one more log lies in the folder.
    """

    def __init__(self, folder: Path, events: Events, backend: str, on_log: Callable[[], None]) -> None:
        self._folder = folder
        self._events = events
        self._backend = backend
        self._on_log = on_log
        self._guard = threading.Lock()
        self._told: dict[str, Recording] = {}
        self._running: dict[str, _Running] = {}

    def start(self, asked: RecordAsked) -> Recording:
        """Begin a record.

        Parameters
        ----------
        asked : RecordAsked
            What to record.

        Returns
        -------
        Recording
            Starting; what comes of it is told by events.

        Raises
        ------
        ImpossibleValue, UnknownName
            It cannot be recorded so.
        EditRefused
            Enough is recorded already.
        OutputRefused
            Nothing can be written into the dossier's logs.
        """
        plan = _plan(asked)
        name = safe_name(f"{asked.name}.csv")
        place = _made_in(self._folder)
        with self._guard:
            if len(self._running) >= MOST:
                raise EditRefused(
                    f"{MOST} records are under way already", code="busy", remedy="stop one of them"
                )
            number = len(self._told) + 1
            file = place / f"{Path(name).stem}-{time.time_ns()}.csv"
            context = multiprocessing.get_context("spawn")
            ours, theirs = context.Pipe()
            let_imports_end()
            process = context.Process(
                target=record_over, args=(theirs, plan, file, self._backend), daemon=True
            )
            process.start()
            theirs.close()
            told = Recording(
                recording=f"record-{number}", name=name, units={ask.name: ask.unit for _, ask in plan.asks}
            )
            self._told[told.recording] = told
            self._running[told.recording] = running = _Running(process, ours, file)
        thread = threading.Thread(target=self._follow, args=(told.recording, running), daemon=True)
        thread.start()
        return told

    def all(self) -> list[Recording]:
        """Records of this start, the newest first."""
        with self._guard:
            return list(reversed(self._told.values()))

    def told(self, name: str) -> Recording:
        """How a record stands.

        Raises
        ------
        UnknownName
            There is no such record.
        """
        with self._guard:
            if name not in self._told:
                raise UnknownName(f"there is no record {name!r}", name=name, known=self._told)
            return self._told[name]

    def file(self, name: str) -> Path:
        """File of a record, wherever it lies now; see `told`."""
        told = self.told(name)
        with self._guard:
            running = self._running.get(name)
        file = self._folder / told.file if running is None else running.file
        if (not told.file and running is None) or not file.is_file():
            raise UnknownName(f"the record {name!r} has no row yet", remedy="wait for its first row")
        return file

    def stop(self, name: str) -> Recording:
        """End a record; one that is over stays as it is."""
        told = self.told(name)
        with self._guard:
            running = self._running.get(name)
        if running is not None:
            self._let_go(running)
        return told

    def close(self) -> None:
        """End all records; their rows are on the disk."""
        with self._guard:
            every = list(self._running.values())
        for running in every:
            self._let_go(running)
        for running in every:
            running.process.join(1.0)

    def _let_go(self, running: _Running) -> None:
        if running.stopped:
            return
        running.stopped = True
        with suppress(OSError):
            running.line.send("stop")
        # A meter that hangs must not hold the record: all rows so far are on the disk.
        end = threading.Timer(_PATIENCE, running.process.terminate)
        end.daemon = True
        end.start()

    def _put(self, name: str, **changes: object) -> Recording:
        with self._guard:
            self._told[name] = told = self._told[name].model_copy(update=changes)
        return told

    def _follow(self, name: str, running: _Running) -> None:
        """Hear the record until it ends, then make a log of it."""
        last, why, problem = 0.0, "", None
        while True:
            try:
                sort, told = running.line.recv()
            except (EOFError, OSError):
                if not why and problem is None:
                    why = "stopped" if running.stopped else "its process ended"
                break
            if sort == "row":
                seconds, cells = told
                rows = self.told(name).rows + 1
                self._put(name, state="recording", rows=rows, seconds=seconds, cells=cells, word="")
            elif sort == "word":
                seconds, word = told
                silent = word != "answers again"
                lost = self.told(name).lost + word.startswith("silent")
                state = "silent" if silent else "recording"
                self._put(name, state=state, lost=lost, seconds=seconds, word=word)
            elif sort == "ended":
                why = told
            else:
                problem = trouble_of(told)
            if sort != "row" or time.monotonic() - last >= _BETWEEN:
                last = time.monotonic()
                self._events.tell("recording", **self.told(name).model_dump())
        running.line.close()
        running.process.join(5.0)
        self._end(name, running.file, why, problem)

    def _end(self, name: str, file: Path, why: str, problem: Trouble | None) -> None:
        kept = ""
        try:
            if file.is_file() and self.told(name).rows:
                kept = f"logs/{keep(file, self.told(name).name, self._folder / 'logs').name}"
            else:
                file.unlink(missing_ok=True)
            with suppress(OSError):
                file.parent.rmdir()  # the last one out
        except OSError as error:
            problem = Trouble(
                code="output_refused",
                what=f"the record cannot be put among the logs ({error.strerror or error})",
                where=str(file),
                remedy="its rows are there; it is put among them when the workbench is started again",
            )
        told = self._put(name, state="ended", why=why, problem=problem, file=kept)
        with self._guard:
            self._running.pop(name, None)
        self._events.tell("recording", **told.model_dump())
        if kept:
            self._events.tell("files", path=kept)
            self._on_log()


def _plan(asked: RecordAsked) -> Plan:
    from lidoff.meters import Plan, ask_from, level_from
    from lidoff.quantities import parse_quantity

    asks = tuple((one.meter.strip(), ask_from(one.read)) for one in asked.reads)
    plan = Plan(
        asks=asks,
        every=parse_quantity(asked.every, unit="s").value,
        lasts=parse_quantity(asked.lasts, unit="s").value if asked.lasts.strip() else None,
        until=level_from(asked.until, [ask for _, ask in asks]) if asked.until.strip() else None,
    )
    plan.check()
    return plan
