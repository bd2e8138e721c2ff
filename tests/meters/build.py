"""Meters and clocks that do what a test tells them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from lidoff.errors import MeterLost

__all__ = ["MadeClock", "MadeMeter", "Shelf"]


@dataclass
class MadeClock:
    """A clock that goes on only when somebody waits."""

    seconds: float = 0.0

    def now(self) -> datetime:
        return datetime(2026, 3, 1, 12, tzinfo=UTC) + timedelta(seconds=self.seconds)

    def elapsed(self) -> float:
        return self.seconds

    def wait(self, seconds: float) -> None:
        self.seconds += seconds


@dataclass
class MadeMeter:
    """A meter that gives its answers one after the other; None stands for silence."""

    answers: Iterable[str | None]
    identity: str = "Fernmess,FM-1 (invented),7,1.0"
    closed: int = 0
    _left: Iterator[str | None] = field(init=False)

    def __post_init__(self) -> None:
        self._left = iter(self.answers)

    def ask(self, question: str) -> str:
        answer = next(self._left)
        if answer is None:
            raise MeterLost(f"no answer to {question}", where="made")
        return answer

    def close(self) -> None:
        self.closed += 1


@dataclass
class Shelf:
    """Meters that are handed out one after the other; None stands for one that cannot be opened."""

    meters: list[MadeMeter | None]
    opened: list[str] = field(default_factory=list)

    def open(self, address: str) -> MadeMeter:
        self.opened.append(address)
        meter = self.meters[0] if len(self.meters) == 1 else self.meters.pop(0)
        if meter is None:
            raise MeterLost("the meter cannot be opened", where=address)
        return meter
