"""What a log is once it has been read: times, channels, and every choice that was made on the way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import UnknownName
from lidoff.evidence.logs.headings import heading_of

__all__ = ["LARGEST_LOG", "MOST_ROWS", "TIME_HINTS", "Channel", "Log", "LogHints", "Remark"]

LARGEST_LOG = 64_000_000
"""Bytes; a larger log is refused unread."""
MOST_ROWS = 2_000_000
"""Rows; a longer log is refused, since it takes too much memory."""
TIME_HINTS = (
    "µs",
    "ms",
    "s",
    "min",
    "h",
    "d",
    "h:min",
    "min:s",
    "day first",
    "month first",
    "year first",
)
"""What an analyst may say about the time column: its unit, or the order of what it writes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """One thing about a log that its reader should know.

    Attributes
    ----------
    about : str
        In a word or two, such as ``gap`` or ``decimal sign``.
    text : str
        In full.
    line : int
        First line of the file that it is about; 0 for the whole file.
    """

    about: str
    text: str
    line: int = 0

    def __str__(self) -> str:
        return f"line {self.line}: {self.text}" if self.line else self.text


@dataclass(frozen=True, slots=True, kw_only=True)
class LogHints:
    """What an analyst tells about a log where the file alone leaves it open; empty for what the file tells.

    Attributes
    ----------
    decimal : str
        Decimal sign, ``.`` or ``,``.
    separator : str
        What stands between columns, one character; a space stands for any run of spaces.
    time : str
        One of `TIME_HINTS`.
    every : str
        Time from row to row, with unit, where the file has no time column.
    columns : tuple of str
        Headings in place of those in the file, such as ``"U [V]"``.
    units : mapping of str to str
        Unit of single channels, by name, such as ``{"Current": "mA"}``.
    """

    decimal: str = ""
    separator: str = ""
    time: str = ""
    every: str = ""
    columns: tuple[str, ...] = ()
    units: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Channel:
    """One column of numbers.

    Attributes
    ----------
    name : str
        The heading without its unit.
    unit : str
        Kept unit of the values; empty where neither heading nor cells tell one.
    values : ndarray of float64, shape (N,)
        In that unit; NaN where the row has no number.
    step : float
        Step of the last digit that moves, in that unit; 0 where no digit was.
    overloads : int
        Rows in which the instrument showed that the value was beyond its range.
    """

    name: str
    unit: str
    values: NDArray[np.float64]
    step: float
    overloads: int = 0

    def __post_init__(self) -> None:
        """Keep the values from being written to."""
        self.values.setflags(write=False)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Log:
    """One log: channels over time, as read from a file.

    Attributes
    ----------
    name : str
        What messages call it.
    times : ndarray of float64, shape (N,)
        Since the first row, strictly rising [s].
    channels : tuple of Channel
        In the order of the columns.
    time_step : float
        Step of the last digit of the times [s]; 0 for times that were counted from the rows.
    start : str
        Date and clock time of the first row; empty where the file does not tell.
    time_words : str
        How the times were read.
    separator, decimal, encoding : str
        How the file was read.
    remarks : tuple of Remark
        Every choice made, and everything left out.
    """

    name: str
    times: NDArray[np.float64]
    channels: tuple[Channel, ...]
    time_step: float
    start: str
    time_words: str
    separator: str
    decimal: str
    encoding: str
    remarks: tuple[Remark, ...] = ()

    def __post_init__(self) -> None:
        """Keep the times from being written to."""
        self.times.setflags(write=False)

    @property
    def duration(self) -> float:
        """From the first row to the last [s]."""
        return float(self.times[-1] - self.times[0])

    @property
    def interval(self) -> float:
        """Usual time from row to row, the median [s]."""
        return float(np.median(np.diff(self.times)))

    def channel(self, name: str) -> Channel:
        """Channel of a name.

        Parameters
        ----------
        name : str
            Its name, with or without the unit behind it.

        Returns
        -------
        Channel
            The one that is called so.

        Raises
        ------
        UnknownName
            There is none.
        """
        for one in self.channels:
            if one.name in (name, heading_of(name).name):
                return one
        raise UnknownName(
            f"the log {self.name} has no channel {name!r}",
            name=name,
            known=[one.name for one in self.channels],
        )
