"""Rows of a log in the order of time: rows told twice, stamps shared by several rows, leaps back, gaps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import ImpossibleValue
from lidoff.evidence.logs.log import Remark
from lidoff.evidence.logs.telling import time_words

__all__ = ["GAP", "Order", "gaps_of", "ordered"]

GAP = 5.0
"""Usual intervals from which a longer one is called a gap; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Order:
    """Rows that count, and their times.

    Attributes
    ----------
    seconds : ndarray of shape (N,)
        Strictly rising, from 0 [s].
    kept : ndarray of int, shape (N,)
        Which rows of the file they are.
    remarks : tuple of Remark
        What was left out or moved.
    """

    seconds: NDArray[np.float64]
    kept: NDArray[np.int64]
    remarks: tuple[Remark, ...]


def gaps_of(seconds: NDArray[np.float64]) -> NDArray[np.int64]:
    """Places whose interval to the next row is a gap.

    Parameters
    ----------
    seconds : ndarray of shape (N,)
        Strictly rising [s].

    Returns
    -------
    ndarray of int
        Index of the row before each gap.
    """
    steps = np.diff(seconds)
    return np.flatnonzero(steps > GAP * np.median(steps)).astype(np.int64)


def ordered(seconds: NDArray[np.float64], lines: NDArray[np.int64], table: NDArray[np.float64]) -> Order:
    """Rows in the order of time.

    Parameters
    ----------
    seconds : ndarray of shape (M,)
        As read; NaN where a time could not be read [s].
    lines : ndarray of int, shape (M,)
        Line of each row in the file.
    table : ndarray of shape (C, M)
        The numbers, to tell a row that is there twice from two rows with one stamp.

    Returns
    -------
    Order
        At least two rows.

    Raises
    ------
    ImpossibleValue
        Most rows are not later than the one before them.
    """
    remarks: list[Remark] = []
    kept = np.arange(len(seconds))
    unread = ~np.isfinite(seconds)
    if np.any(unread):
        remarks.append(
            _left_out("time unread", "rows whose time cannot be read were left out", lines[unread])
        )
        kept = kept[~unread]
    kept = _once(seconds, lines, table, kept, remarks)
    # What lies before the latest time so far is a leap back; what shares it is one stamp for several rows.
    latest = np.maximum.accumulate(seconds[kept])
    back = seconds[kept] < latest
    if np.count_nonzero(back) > 0.5 * len(kept):
        raise ImpossibleValue(
            f"time runs back at line {lines[kept[np.argmax(back)]]}, and most rows lie behind that",
            remedy="cut the log into one file for each run",
        )
    if np.any(back):
        fall = float(np.max(latest - seconds[kept]))
        hint = ", as when a clock is set back by an hour" if 3500.0 <= fall <= 3700.0 else ""
        remarks.append(
            _left_out(
                "time runs back", f"rows earlier than one before them were left out{hint}", lines[kept[back]]
            )
        )
        kept = kept[~back]
    times = _spread(seconds[kept], lines[kept], remarks)
    if len(times) < 2:
        raise ImpossibleValue("the log has fewer than two moments", remedy="check its time column")
    times = times - times[0]
    gaps = gaps_of(times)
    if len(gaps):
        longest = gaps[np.argmax(np.diff(times)[gaps])]
        length = time_words(float(np.diff(times)[longest]))
        usual = time_words(float(np.median(np.diff(times))))
        remarks.append(
            Remark(
                about="gap",
                text=f"{len(gaps)} {'gap' if len(gaps) == 1 else 'gaps'}, the longest {length} where {usual} is usual; sums "
                "bridge them by a straight line and count what may have happened there",
                line=int(lines[kept[longest]]),
            )
        )
    return Order(seconds=times, kept=kept.astype(np.int64), remarks=tuple(remarks))


def _left_out(about: str, text: str, lines: NDArray[np.int64]) -> Remark:
    return Remark(about=about, text=f"{text} ({len(lines)})", line=int(lines[0]))


def _once(
    seconds: NDArray[np.float64],
    lines: NDArray[np.int64],
    table: NDArray[np.float64],
    kept: NDArray[np.int64],
    remarks: list[Remark],
) -> NDArray[np.int64]:
    """Rows without those that repeat the one before them in time and all numbers."""
    same = np.zeros(len(kept), dtype=bool)
    same[1:] = np.diff(seconds[kept]) == 0.0
    for column in table:
        here = column[kept]
        same[1:] &= (here[1:] == here[:-1]) | (np.isnan(here[1:]) & np.isnan(here[:-1]))
    # A meter faster than its clock repeats steady readings under one stamp; only odd ones out are copies.
    if 0 < np.count_nonzero(same) <= 0.2 * len(kept):
        remarks.append(_left_out("row twice", "rows that are there twice were left out", lines[kept[same]]))
        return kept[~same]
    return kept


def _spread(
    seconds: NDArray[np.float64], lines: NDArray[np.int64], remarks: list[Remark]
) -> NDArray[np.float64]:
    """Times in which rows that share a stamp are spread evenly until the next one."""
    starts = np.flatnonzero(np.concatenate([[True], np.diff(seconds) > 0.0]))
    counts = np.diff(np.concatenate([starts, [len(seconds)]]))
    if np.all(counts == 1):
        return seconds
    if len(starts) < 2:
        raise ImpossibleValue(
            "all rows have one time stamp", remedy='tell the time from row to row: every = "1 s"'
        )
    stamps = seconds[starts]
    # The last stamp lasts as long as the usual one.
    lengths = np.concatenate([np.diff(stamps), [np.median(np.diff(stamps))]])
    usual = np.median(np.diff(stamps))
    lengths = np.where(lengths > GAP * usual, usual, lengths)
    within = np.arange(len(seconds)) - np.repeat(starts, counts)
    shared = int(np.count_nonzero(counts > 1))
    remarks.append(
        Remark(
            about="stamp shared",
            text=f"{shared} time stamps stand for several rows each; these are spread evenly until the next stamp",
            line=int(lines[starts[np.argmax(counts > 1)]]),
        )
    )
    return np.asarray(
        np.repeat(stamps, counts) + within * np.repeat(lengths / counts, counts), dtype=np.float64
    )
