"""A record of live meters: asked at even times, written row by row to a file that survives all that may happen.

Every row is on the disk before the next is asked for. A meter that goes silent leaves a gap, which whoever reads the record
is told of, and is looked for until it answers again; another meter in its place is refused, also where a record goes on.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Protocol

from lidoff.errors import ImpossibleValue, LidoffError, MeterLost
from lidoff.meters.asking import Ask, answer_of
from lidoff.meters.row_file import RowFile, row_file
from lidoff.meters.visa import Meter, Opener

__all__ = ["Clock", "Listener", "Plan", "Recorded", "Told", "record"]

SOONEST = 1.0
LATEST = 30.0
"""Seconds until a lost meter is looked for again: doubled from the first to the second; our choice."""
STAYS = 3
"""Rows that a value must stay past a level to end the record, so that one spike does not; our choice."""


class Clock(Protocol):
    """Where the time comes from."""

    def now(self) -> datetime:
        """Date and time of day in UTC."""

    def elapsed(self) -> float:
        """Seconds on a clock that is never set."""

    def wait(self, seconds: float) -> None:
        """Let time go by."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What is to be recorded.

    Attributes
    ----------
    asks : tuple of (str, Ask)
        Address of a meter, and what it is asked.
    every : float
        From row to row [s].
    lasts : float or None
        Length of the record [s]; None until it is stopped.
    until : tuple of (str, bool, float) or None
        Heading's name, whether it must lie below, and the level in the unit asked for; None for no level.
    """

    asks: tuple[tuple[str, Ask], ...]
    every: float = 1.0
    lasts: float | None = None
    until: tuple[str, bool, float] | None = None

    def check(self) -> None:
        """Refuse what cannot be recorded.

        Raises
        ------
        ImpossibleValue
            Nothing is asked, two columns have one name, a time is not above zero, or the level is of no column.
        """
        names = [ask.name for _, ask in self.asks]
        if not names:
            raise ImpossibleValue("nothing is to be read", remedy='say what, such as --read "voltage dc"')
        twice = next((name for name in names if names.count(name) > 1), "")
        if twice:
            raise ImpossibleValue(
                f"two columns are called {twice!r}", remedy=f'name one, such as "{twice}2 = voltage dc"'
            )
        for seconds, what in ((self.every, "the time from row to row"), (self.lasts, "the length")):
            if seconds is not None and not seconds > 0.0:
                raise ImpossibleValue(f"{what} is not above zero", remedy="give a time above zero")
        if self.until is not None and self.until[0] not in names:
            raise ImpossibleValue(
                f"no column is called {self.until[0]!r}", remedy=f"known: {', '.join(names)}"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One row, or one thing that happened.

    Attributes
    ----------
    seconds : float
        Since the first row.
    cells : mapping of str to str
        By heading; empty for what is no row.
    word : str
        What happened: a meter went silent, or came back.
    """

    seconds: float
    cells: Mapping[str, str]
    word: str = ""


Listener = Callable[[Told], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """What a record came to.

    Attributes
    ----------
    file : Path
        Where it lies.
    rows : int
        Rows written.
    lost : int
        How often a meter went silent.
    why : str
        Why it ended.
    """

    file: Path
    rows: int
    lost: int
    why: str


def record(
    plan: Plan,
    file: Path,
    open_meter: Opener,
    clock: Clock,
    *,
    listener: Listener | None = None,
    resume: bool = False,
    stopped: Callable[[], bool] = lambda: False,
) -> Recorded:
    """Record live meters to a file until the plan or the person ends it.

    Parameters
    ----------
    plan : Plan
        What, how often and how long.
    file : Path
        Comma-separated; date and time of day in UTC in the first column.
    open_meter : callable (str) → Meter
        Opens a meter at an address.
    clock : Clock
        Where the time comes from.
    listener : callable (Told), optional
        Hears every row and everything that happens.
    resume : bool, optional
        Whether rows are put behind those that the file holds already.
    stopped : callable () → bool, optional
        Asked before every row.

    Returns
    -------
    Recorded
        How many rows, and why it ended.

    Raises
    ------
    ImpossibleValue
        The plan cannot be followed, or the file holds another record or that of another meter.
    MeterLost
        A meter does not answer at the very start, when cable or address are likely wrong.
    OutputRefused
        The file cannot be written, or is there already.
    """
    plan.check()
    line = Line(plan, open_meter)
    try:
        line.connect()
        headings = ("time", *(ask.heading for _, ask in plan.asks))
        with row_file(file, headings, meters=line.identities, resume=resume) as out:
            if out.dropped and listener is not None:
                word = f"the last line of the file was cut short and is left out: {out.dropped!r}"
                listener(Told(seconds=0.0, cells={}, word=word))
            return _rows(plan, file, out, line, clock, listener or _unheard, stopped)
    finally:
        line.close()


def _unheard(told: Told) -> None:
    """Nobody listens."""


class Line:
    """The meters of a plan: open, lost, and found again."""

    def __init__(self, plan: Plan, open_meter: Opener) -> None:
        self._asks = plan.asks
        self._open_meter = open_meter
        self._meters: dict[str, Meter] = {}
        self._identities: dict[str, str] = {}

    def connect(self) -> None:
        """Open every meter that is not.

        Raises
        ------
        MeterLost
            One cannot be opened, or is another than before.
        """
        for address, _ in self._asks:
            if address in self._meters:
                continue
            meter = self._open_meter(address)
            known = self._identities.setdefault(address, meter.identity)
            if meter.identity != known:
                with suppress(LidoffError):
                    meter.close()
                raise MeterLost(
                    f"another meter answers there now: {meter.identity or 'one without a name'}, and not {known}",
                    where=address,
                    remedy="connect the meter that the record began with",
                )
            self._meters[address] = meter

    @property
    def identities(self) -> tuple[str, ...]:
        """What the meters answer to ``*IDN?``, in the order of the plan; empty for one that does not."""
        return tuple(self._identities.values())

    def row(self) -> tuple[list[str], list[Decimal | None]]:
        """Cells and numbers of one row.

        Returns
        -------
        cells : list of str
            As the file holds them.
        numbers : list of Decimal or None
            Of the same.

        Raises
        ------
        MeterLost
            A meter does not answer; all are let go of, since a line that broke once may hold a late answer.
        """
        try:
            answers = [answer_of(self._meters[address].ask(ask.question)) for address, ask in self._asks]
        except MeterLost:
            self.close()
            raise
        return [answer.cell for answer in answers], [answer.number for answer in answers]

    def close(self) -> None:
        """Let go of all meters."""
        for meter in self._meters.values():
            meter.close()
        self._meters.clear()


def _rows(
    plan: Plan,
    file: Path,
    out: RowFile,
    line: Line,
    clock: Clock,
    listener: Listener,
    stopped: Callable[[], bool],
) -> Recorded:
    """Rows until the end."""
    # The moments come from the clock that is never set, so that no correction of the date bends the record.
    began, start = clock.now(), clock.elapsed()
    rows, lost, past = 0, 0, 0
    names = [ask.name for _, ask in plan.asks]
    for due in _ticks(plan, clock, start):
        _wait_until(due, clock, stopped)
        if stopped():
            return Recorded(file=file, rows=rows, lost=lost, why="stopped")
        try:
            line.connect()
            before = clock.elapsed()
            cells, numbers = line.row()
            # Asking takes time: the row belongs to its middle.
            moment = began + timedelta(seconds=0.5 * (before + clock.elapsed()) - start)
        except MeterLost as error:
            lost += 1
            listener(Told(seconds=clock.elapsed() - start, cells={}, word=f"silent: {error.what}"))
            if not _found_again(line, clock, listener, start, plan.lasts, stopped):
                why = "stopped" if stopped() else "the time was up while a meter was silent"
                return Recorded(file=file, rows=rows, lost=lost, why=why)
            continue
        out.write([f"{moment:%Y-%m-%dT%H:%M:%S}.{moment.microsecond // 1000:03}Z", *cells])
        rows += 1
        listener(Told(seconds=clock.elapsed() - start, cells=dict(zip(names, cells, strict=True))))
        past = past + 1 if _is_past(plan, dict(zip(names, numbers, strict=True))) else 0
        if past >= STAYS and plan.until is not None:
            name, below, level = plan.until
            unit = next(ask.unit for _, ask in plan.asks if ask.name == name)
            why = f"{name} {'<' if below else '>'} {f'{level:g} {unit}'.rstrip()} for {STAYS} rows"
            return Recorded(file=file, rows=rows, lost=lost, why=why)
    return Recorded(file=file, rows=rows, lost=lost, why="the time was up")


def _is_past(plan: Plan, numbers: Mapping[str, Decimal | None]) -> bool:
    """Whether a row lies past the level that ends the record."""
    if plan.until is None:
        return False
    name, below, level = plan.until
    number = numbers[name]
    return number is not None and ((float(number) < level) if below else (float(number) > level))


def _ticks(plan: Plan, clock: Clock, start: float) -> Iterator[float]:
    """Moments at which rows are due; those that went by while a row took long are left out."""
    number = 0
    while plan.lasts is None or number * plan.every <= plan.lasts * (1.0 + 1e-9):
        yield start + number * plan.every
        number = max(number + 1, math.ceil((clock.elapsed() - start) / plan.every - 1e-9))


def _wait_until(due: float, clock: Clock, stopped: Callable[[], bool]) -> None:
    """Wait, looking up now and then whether the person has had enough."""
    while not stopped() and (left := due - clock.elapsed()) > 0.0:
        clock.wait(min(left, 0.5))


def _found_again(
    line: Line,
    clock: Clock,
    listener: Listener,
    start: float,
    lasts: float | None,
    stopped: Callable[[], bool],
) -> bool:
    """Look for lost meters, less and less often, until all answer; False where the record is over before."""
    pause, said = SOONEST, ""
    while not stopped():
        until = clock.elapsed() + pause
        if lasts is not None and until - start > lasts:
            return False
        _wait_until(until, clock, stopped)
        try:
            line.connect()
        except MeterLost as error:
            if error.what != said:
                said = error.what
                listener(Told(seconds=clock.elapsed() - start, cells={}, word=f"still silent: {error.what}"))
            pause = min(2.0 * pause, LATEST)
            continue
        listener(Told(seconds=clock.elapsed() - start, cells={}, word="answers again"))
        return True
    return False
