"""The time column of a log → seconds from its first row."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import ImpossibleValue
from lidoff.evidence.logs.cells import number_of
from lidoff.evidence.logs.log import Remark
from lidoff.quantities import find_spelling, is_spelling, unit_named

__all__ = ["Times", "looks_like_time", "read_times"]

DAY = 86400.0
_DATE = re.compile(
    r"(?P<a>\d{1,4})(?P<sign>[-/.])(?P<b>\d{1,2})[-/.](?P<c>\d{1,4})"
    r"|(?P<day>\d{1,2})[- .](?P<month>[A-Za-z]{3})[a-z]*\.?[- .,]+(?P<year>\d{2,4})"
)
_CLOCK = re.compile(
    r"(?:(?P<days>\d{1,5})\s*(?:d|days?)[,.:\s]*)?(?P<one>\d{1,6}):(?P<two>\d{1,2})(?::(?P<three>\d{1,2}))?(?:[.,:](?P<part>\d{1,9}))?"
    r"\s*(?P<half>[AaPp])?(?(half)\.?[Mm]\.?)"
)
_ZONE = re.compile(r"\s*(?:Z|UTC|GMT|[+-]\d{2}:?\d{2})?$", re.IGNORECASE)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
# Seconds since 1970 in some unit: a number of this size is no time since the start, which would be years.
_EPOCHS = ((1e17, "ns", 1e-9), (1e14, "µs", 1e-6), (1e11, "ms", 1e-3), (3e8, "s", 1.0))
_NAMED = re.compile(
    r"time|zeit|temps|tiempo|tempo|tid|date|datum|elapsed|stamp|uhr|clock|seconds|^t$|^sec|^hh|^h:m",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Times:
    """Times of every row.

    Attributes
    ----------
    seconds : ndarray of shape (N,)
        From the first row; NaN where a cell could not be read [s].
    step : float
        Step of the last digit [s].
    start : str
        Date and time of the first row as far as the file tells; empty for mere seconds.
    words : str
        How they were read.
    remarks : tuple of Remark
        What was chosen.
    """

    seconds: NDArray[np.float64]
    step: float
    start: str
    words: str
    remarks: tuple[Remark, ...] = ()


def looks_like_time(name: str, unit: str, cells: Sequence[str]) -> int:
    """How much a column looks like the time: 0 not at all, up to 4.

    Parameters
    ----------
    name, unit : str
        Of its heading.
    cells : sequence of str
        Some of its cells.

    Returns
    -------
    int
        For comparing columns.
    """
    filled = [cell for cell in cells if cell]
    if filled and all(_DATE.match(cell) and _CLOCK.search(cell) for cell in filled):
        return 4
    if filled and all(_CLOCK.match(cell) for cell in filled):
        return 3
    if filled and all(_DATE.match(cell) for cell in filled):
        return 2 if _NAMED.search(name) else 1
    timed = is_spelling(unit) and unit_named(unit).dimension == "time"
    if _NAMED.search(name) and (timed or not unit):
        return 2
    return 1 if timed else 0


def read_times(
    cells: Sequence[str], *, decimal: str, unit: str, name: str, hint: str, days: Sequence[str] = ()
) -> Times:
    """Times of a column.

    Parameters
    ----------
    cells : sequence of str, length N
        One for each row.
    decimal : str
        Decimal sign.
    unit, name : str
        Of the heading.
    hint : str
        What the analyst tells, one of `TIME_HINTS` or empty.
    days : sequence of str, length N, optional
        A column of dates beside it.

    Returns
    -------
    Times
        From the first row that can be read.

    Raises
    ------
    ImpossibleValue
        The column cannot be read, or can be read in two ways that differ by a factor.
    """
    if days:
        cells = [f"{day} {cell}" for day, cell in zip(days, cells, strict=True)]
    sample = [cell for cell in cells[:400] if cell]
    if not sample:
        raise ImpossibleValue(
            "the time column is empty", remedy='tell the time from row to row: every = "1 s"'
        )
    dated = sum(_DATE.match(cell) is not None for cell in sample)
    clocked = sum(_CLOCK.match(cell) is not None for cell in sample)
    if 2 * dated > len(sample):
        times = _dated(cells, hint)
    elif 2 * clocked > len(sample):
        times = _clocked(cells, name, unit, hint)
    else:
        times = _counted(cells, decimal, unit, name, hint)
    finite = np.isfinite(times.seconds)
    if np.count_nonzero(finite) < 2:
        raise ImpossibleValue(
            f"the time column {name!r} cannot be read, such as {sample[0]!r}",
            remedy="write times as 2026-11-25 20:14:58, 1:02:03 or seconds",
        )
    return times


def _counted(cells: Sequence[str], decimal: str, unit: str, name: str, hint: str) -> Times:
    """Plain numbers: seconds or another unit from some start, or a date as a number."""
    numbers = [number_of(cell, decimal) for cell in cells]
    values = np.array([float("nan") if one is None else one.value for one in numbers])
    places = [one.place for one in numbers if one is not None]
    place = min(places, default=0)
    finite = values[np.isfinite(values)]
    size = float(np.median(finite)) if finite.size else 0.0
    in_cells = next((one.unit for one in numbers if one is not None), "")
    remarks: list[Remark] = []
    told = hint if hint in ("µs", "ms", "s", "min", "h", "d") else unit or in_cells
    start = ""
    if told and is_spelling(told) and unit_named(told).dimension == "time":
        factor, words = float(find_spelling(told).factor), f"counted in {told}"
        if factor * size > 3e8:
            start = _moment(factor * float(finite[0]))
    else:
        epoch = next(((label, factor) for limit, label, factor in _EPOCHS if size > limit), None)
        if epoch is not None:
            factor, words = epoch[1], f"{epoch[0]} since the start of 1970, UTC"
            start = _moment(factor * float(finite[0]))
        elif re.search("dat[eu]", name, re.IGNORECASE) and 2e4 < size < 8e4:
            factor, words = DAY, "days of a spreadsheet's calendar"
        else:
            factor, words = 1.0, "counted in seconds"
            remarks.append(
                Remark(
                    about="time unit",
                    text=f"the heading {name or 'of the times'!r} tells no unit; taken as seconds",
                )
            )
    first = float(finite[0]) if finite.size else 0.0
    return Times(
        seconds=(values - first) * factor,
        step=factor * 10.0**place,
        start=start,
        words=words,
        remarks=tuple(remarks),
    )


def _moment(seconds: float) -> str:
    try:
        moment = datetime.datetime.fromtimestamp(seconds, tz=datetime.UTC)
    except (OverflowError, OSError, ValueError):
        return ""
    return moment.strftime("%Y-%m-%d %H:%M:%S UTC")


def _seconds_of(found: re.Match[str], *, two_parts: str) -> tuple[float, int]:
    """Seconds of a clock time or a time since the start, and the power of ten of its last digit."""
    one, two, three = int(found["one"]), int(found["two"]), found["three"]
    part = found["part"] or ""
    if three is None and two_parts == "min:s":
        seconds, place = 60.0 * one + two, 0
    elif three is None:
        seconds, place = 3600.0 * one + 60.0 * two, 0
    else:
        if found["half"]:
            one = one % 12 + (12 if found["half"] in "pP" else 0)
        seconds, place = 3600.0 * one + 60.0 * two + int(three), 0
    if three is None and found["half"]:
        seconds = 3600.0 * (one % 12 + (12 if found["half"] in "pP" else 0)) + 60.0 * two
    if part and (three is not None or two_parts == "min:s"):
        seconds, place = seconds + int(part) / 10.0 ** len(part), -len(part)
    if found["days"]:
        seconds += DAY * int(found["days"])
    return seconds, place


def _clocked(cells: Sequence[str], name: str, unit: str, hint: str) -> Times:
    """Clock times, or hours, minutes and seconds since the start."""
    matches = [_CLOCK.match(cell) for cell in cells]
    found = [one for one in matches if one is not None]
    two_parts = _meaning_of_two(found, name, unit, hint)
    read = [None if one is None else _seconds_of(one, two_parts=two_parts) for one in matches]
    values = np.array([float("nan") if one is None else one[0] for one in read])
    remarks = []
    # Past midnight the clock falls by a day.
    finite = np.flatnonzero(np.isfinite(values))
    falls = np.diff(values[finite]) < -0.5 * DAY
    if np.any(falls) and float(np.nanmax(values)) <= DAY:
        days = np.concatenate([[0.0], np.cumsum(falls)])
        values[finite] += DAY * days
        remarks.append(
            Remark(about="midnight", text=f"the clock passes midnight {_times(int(np.count_nonzero(falls)))}")
        )
    first = float(values[finite[0]]) if finite.size else 0.0
    place = min((one[1] for one in read if one is not None), default=0)
    step = 10.0**place if any(one["three"] for one in found) or two_parts == "min:s" else 60.0
    words = "minutes:seconds" if two_parts == "min:s" and not found[0]["three"] else "hours:minutes:seconds"
    start = cells[int(finite[0])] if finite.size and first != 0.0 else ""
    return Times(seconds=values - first, step=step, start=start, words=words, remarks=tuple(remarks))


def _meaning_of_two(found: Sequence[re.Match[str]], name: str, unit: str, hint: str) -> str:
    """What ``12:34`` means, where there are only two parts."""
    if all(one["three"] for one in found):
        return "h:min"
    if hint in ("h:min", "min:s"):
        return hint
    told = f"{name} {unit}".lower().replace(" ", "")
    if re.search(r"mm:ss|m:s|min:s", told) or any(one["part"] for one in found):
        return "min:s"
    if re.search(r"hh:mm|h:m|uhr", told) or any(one["half"] for one in found):
        return "h:min"
    if any(int(one["one"]) > 23 for one in found):
        return "min:s"
    raise ImpossibleValue(
        f"times such as {found[0].group()!r} may be hours and minutes, or minutes and seconds",
        remedy='tell which: time = "h:min" or time = "min:s"',
    )


def _times(number: int) -> str:
    return "once" if number == 1 else f"{number} times"


def _dated(cells: Sequence[str], hint: str) -> Times:
    """Dates with clock times."""
    orders = _orders(cells, hint)
    series: dict[str, NDArray[np.float64]] = {}
    place = 0
    for order in orders:
        known: dict[str, float] = {}
        values: NDArray[np.float64] = np.full(len(cells), np.nan)
        for row, cell in enumerate(cells):
            date = _DATE.match(cell)
            if date is None:
                continue
            text = date.group()
            if text not in known:
                known[text] = _day_of(date, order)
            rest = cell[date.end() :].strip(" T,;_-")
            clock = _CLOCK.match(rest)
            if clock is None:
                values[row] = known[text] * DAY if not rest else float("nan")
                continue
            if not _ZONE.match(rest[clock.end() :]):
                continue
            seconds, digits = _seconds_of(clock, two_parts="h:min")
            place = min(place, digits)
            values[row] = known[text] * DAY + seconds
        if np.count_nonzero(np.isfinite(values)) >= 0.5 * len(cells):
            series[order] = values
    if not series:
        raise ImpossibleValue(
            f"dates such as {cells[0]!r} cannot be read", remedy="write them as 2026-11-25 20:14:58"
        )
    order, remarks = _likeliest(series, cells)
    first = float(series[order][np.isfinite(series[order])][0])
    whole_minutes = not any(one["three"] for cell in cells[:400] if (one := _CLOCK.search(cell)))
    return Times(
        seconds=series[order] - first,
        step=60.0 if whole_minutes else 10.0**place,
        start=_calendar(first),
        words=f"date and time, {order}",
        remarks=remarks,
    )


def _orders(cells: Sequence[str], hint: str) -> tuple[str, ...]:
    date = next((found for cell in cells if (found := _DATE.match(cell))), None)
    if hint in ("day first", "month first", "year first"):
        return (hint,)
    if date is None or date["a"] is None:
        return ("day first",)
    if len(date["a"]) == 4:
        return ("year first",)
    return ("day first", "month first") if len(date["c"]) in (2, 4) else ("year first",)


def _day_of(date: re.Match[str], order: str) -> float:
    """Number of a day in the calendar; NaN for one that is not in it."""
    if date["month"]:
        month = date["month"].lower()
        if month not in _MONTHS:
            return float("nan")
        year, number, day = int(date["year"]), _MONTHS.index(month) + 1, int(date["day"])
    else:
        a, b, c = int(date["a"]), int(date["b"]), int(date["c"])
        year, number, day = {"year first": (a, b, c), "month first": (c, a, b), "day first": (c, b, a)}[order]
    try:
        return float(datetime.date(year + 2000 if year < 100 else year, number, day).toordinal())
    except ValueError:
        return float("nan")


def _likeliest(
    series: dict[str, NDArray[np.float64]], cells: Sequence[str]
) -> tuple[str, tuple[Remark, ...]]:
    """Order under which time runs forward over the shorter span; told where two orders are possible."""
    if len(series) == 1:
        return next(iter(series)), ()

    def faults(order: str) -> tuple[int, float]:
        values = series[order][np.isfinite(series[order])]
        return int(np.count_nonzero(np.diff(values) < 0.0)) + int(len(cells) - values.size), float(
            np.ptp(values)
        )

    order = min(series, key=faults)
    if faults("day first") == faults("month first"):
        order = "day first"
        same = "; times between rows are the same either way"
    else:
        same = ", since then time runs forward without a leap"
    return order, (Remark(about="day order", text=f"dates such as {cells[0]!r} are taken as {order}{same}"),)


def _calendar(seconds: float) -> str:
    days, rest = divmod(seconds, DAY)
    day = datetime.date.fromordinal(max(1, int(days)))
    hours, minutes = divmod(int(rest) // 60, 60)
    return f"{day.isoformat()} {hours:02d}:{minutes:02d}:{int(rest) % 60:02d}"
