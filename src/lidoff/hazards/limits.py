"""The tables of limits, as data files with their source and whether they were read or recalled."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from lidoff.errors import ImpossibleValue

__all__ = ["FROM_MEMORY", "LimitTable", "limit_table", "straight_between"]

FROM_MEMORY = "from memory: look it up before relying on it"


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitTable:
    """One table of limits.

    Attributes
    ----------
    name : str
        Of its file.
    source : str
        Standard, edition, table.
    from_memory : bool
        Whether it was recalled rather than read.
    seen : str
        How it was read, where it was.
    entries : mapping of str to anything
        What the file holds.
    """

    name: str
    source: str
    from_memory: bool
    seen: str
    entries: Mapping[str, Any]

    @property
    def words(self) -> str:
        """Source as it is printed beside a verdict."""
        return f"{self.source} ({FROM_MEMORY if self.from_memory else self.seen})"


@cache
def limit_table(name: str) -> LimitTable:
    """Table of a data file.

    Parameters
    ----------
    name : str
        Of the file, without its ending.

    Returns
    -------
    LimitTable
        Read once.
    """
    text = (files("lidoff.hazards") / "tables" / f"{name}.toml").read_text(encoding="utf-8")
    entries = tomllib.loads(text)
    return LimitTable(
        name=name,
        source=entries.pop("source"),
        from_memory=entries.pop("from_memory"),
        seen=entries.pop("seen", ""),
        entries=MappingProxyType(entries),
    )


def straight_between(at: float, places: Sequence[float], values: Sequence[float], what: str) -> float:
    """Value on the straight lines between a table's rows; below the first row, that row's.

    Parameters
    ----------
    at : float
        Where.
    places, values : sequence of float
        Of the rows, places rising.
    what : str
        What `at` is, for the message.

    Returns
    -------
    float

    Raises
    ------
    ImpossibleValue
        `at` lies beyond the last row.

    Examples
    --------
    >>> straight_between(230.0, (200.0, 250.0), (2.0, 2.5), "voltage")
    2.3
    """
    if at > places[-1]:
        raise ImpossibleValue(
            f"the {what} of {at:g} lies beyond the table, which ends at {places[-1]:g}",
            remedy="take the standard itself",
        )
    if at <= places[0]:
        return values[0]
    upper = next(number for number, place in enumerate(places) if place >= at)
    low, high = places[upper - 1], places[upper]
    share = (at - low) / (high - low)
    return values[upper - 1] + share * (values[upper] - values[upper - 1])
