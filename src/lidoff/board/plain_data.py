"""Plain data taken apart, every fault kept with its place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lidoff.board.frame import SIDES
from lidoff.board.layout import Place
from lidoff.errors import DossierError

__all__ = ["PlainReader"]

LARGEST = 1e15
"""Size above which a number is none that could be meant; a comparison refuses infinity, no number, and whole numbers that no
float holds alike."""


class PlainReader:
    """Takes plain data apart and keeps every fault with its place."""

    def __init__(self) -> None:
        self.faults: list[DossierError] = []

    def fault(self, what: str, where: str, remedy: str) -> None:
        """Keep one fault."""
        self.faults.append(DossierError(what, where=where, remedy=remedy))

    def table(self, data: object, where: str, known: Sequence[str]) -> dict[str, Any]:
        """A table with known keys only."""
        if not isinstance(data, dict):
            self.fault(f"{data!r:.40} is no table", where, f"give a table with {', '.join(known)}")
            return {}
        for key in data:
            if key not in known:
                self.fault(f"unknown key {key!r}", where, f"known: {', '.join(known)}")
        return data

    def rows(self, data: object, where: str) -> list[Any]:
        """A list."""
        if isinstance(data, list):
            return data
        self.fault(f"{data!r:.40} is no list", where, "give a list")
        return []

    def number(self, table: dict[str, Any], key: str, where: str, default: float | None = None) -> float:
        """A finite number."""
        value = table.get(key, default)
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) <= LARGEST:
            self.fault(f"{key} is {value!r}", where, "give a finite number")
            return 1.0
        return float(value)

    def text(self, table: dict[str, Any], key: str, where: str, default: str | None = None) -> str:
        """A text."""
        value = table.get(key, default)
        if not isinstance(value, str):
            self.fault(f"{key} is {value!r}", where, "give a text")
            return ""
        return value

    def flag(self, table: dict[str, Any], key: str, where: str, default: bool) -> bool:
        """True or false."""
        value = table.get(key, default)
        if not isinstance(value, bool):
            self.fault(f"{key} is {value!r}", where, "give true or false")
            return default
        return value

    def side(self, table: dict[str, Any], where: str) -> str:
        """The name of a side."""
        value = self.text(table, "side", where)
        if value not in SIDES:
            self.fault(f"side is {value!r}", where, f"one of {', '.join(SIDES)}")
            return SIDES[0]
        return value

    def place(self, data: object, where: str) -> Place:
        """A place [mm]."""
        if (
            isinstance(data, list)
            and len(data) == 2
            and all(
                isinstance(v, (int, float)) and not isinstance(v, bool) and abs(v) <= LARGEST for v in data
            )
        ):
            return (float(data[0]), float(data[1]))
        self.fault(f"{data!r:.40} is no place", where, "give [x, y] in mm")
        return (0.0, 0.0)

    def ring(self, data: object, where: str) -> tuple[Place, ...]:
        """A list of places [mm]."""
        return tuple(self.place(item, where) for item in self.rows(data, where))
