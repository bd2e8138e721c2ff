"""Bytes of a log → `Log`: which column is the time, what was left out, and what each choice was."""

from __future__ import annotations

import io
import itertools
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence.logs.cells import cells_of, number_of
from lidoff.evidence.logs.decoding import decoded
from lidoff.evidence.logs.headings import Heading, bare_name, heading_of
from lidoff.evidence.logs.layout import LONGEST_LINE, Layout, layout_of
from lidoff.evidence.logs.log import TIME_HINTS, Channel, Log, LogHints, Remark
from lidoff.evidence.logs.order import ordered
from lidoff.evidence.logs.rows import COUNTS_ROWS, Column, Rows, read_rows, table_of
from lidoff.evidence.logs.steps import moved_step
from lidoff.evidence.logs.telling import about_channel, about_passed
from lidoff.evidence.logs.times import Times, looks_like_time, read_times
from lidoff.quantities import find_spelling, parse_quantity

__all__ = ["read_log"]


def read_log(content: bytes, *, name: str = "log", hints: LogHints | None = None) -> Log:
    """Log of a file's bytes.

    Parameters
    ----------
    content : bytes
        The file.
    name : str, optional
        What messages call it.
    hints : LogHints, optional
        What the analyst tells where the file leaves it open.

    Returns
    -------
    Log
        With a remark for every choice made and everything left out.

    Raises
    ------
    ImpossibleValue
        It is no table of numbers over time, is too large, or can be read in two ways that differ.
    UnknownName
        A hint names what is not there, or is not known.
    """
    told = hints or LogHints()
    _check(told)
    text, encoding, remarks = decoded(content)
    if not text.strip():
        raise ImpossibleValue("the log is empty", remedy="name a CSV file with rows of numbers")
    layout = layout_of(text, told)
    headings, named = _headings(layout, told)
    sample = _sample(text, layout)
    clock, day = _time_columns(headings, sample, told)
    rows = read_rows(text, layout, headings, clock, day)
    if len(rows.lines) < 2:
        raise ImpossibleValue(
            "the log has fewer than two rows of numbers", remedy="check that this is the right file"
        )
    times = _times(rows, layout, headings, clock, day, told)
    order = ordered(times.seconds, np.frombuffer(rows.lines, dtype=np.int64), table_of(rows))
    channels, about = _channels(rows, order.kept, clock, day, told)
    if not channels:
        raise ImpossibleValue("no column of numbers beside the time", remedy="export the values as well")
    return Log(
        name=name,
        times=order.seconds,
        channels=channels,
        time_step=times.step if clock is not None else 0.0,
        start=times.start,
        time_words=times.words,
        separator=layout.separator,
        decimal=layout.decimal,
        encoding=encoding,
        remarks=(
            *remarks,
            *layout.remarks,
            *named,
            *times.remarks,
            *about_passed(rows),
            *order.remarks,
            *about,
        ),
    )


def _check(hints: LogHints) -> None:
    """Refuse hints that mean nothing."""
    if hints.decimal not in ("", ".", ","):
        raise ImpossibleValue(f"decimal sign {hints.decimal!r}", remedy='use "." or ","')
    if len(hints.separator) > 1 or (hints.separator and hints.separator in '\r\n"'):
        raise ImpossibleValue(f"separator {hints.separator!r}", remedy='use one character, such as ";"')
    if hints.time and hints.time not in TIME_HINTS:
        raise UnknownName(f"times are not told as {hints.time!r}", name=hints.time, known=TIME_HINTS)


def _headings(layout: Layout, hints: LogHints) -> tuple[list[Heading], tuple[Remark, ...]]:
    """Name and unit of every column; names made different where two are alike."""
    texts: Sequence[str] = layout.headings
    if hints.columns:
        if len(hints.columns) != len(texts):
            raise ImpossibleValue(
                f"{len(hints.columns)} columns are told, and the file has {len(texts)}",
                remedy="tell one for each",
            )
        texts = hints.columns
    found: list[Heading] = []
    taken: dict[str, int] = {}
    for number, text in enumerate(texts):
        heading = heading_of(text) if text else Heading(f"column {number + 1}", "")
        if not heading.unit and layout.units and layout.units[number]:
            heading = Heading(heading.name, heading_of(f"{heading.name} [{layout.units[number]}]").unit)
        taken[heading.name] = taken.get(heading.name, 0) + 1
        if taken[heading.name] > 1:
            heading = Heading(f"{heading.name} ({taken[heading.name]})", heading.unit)
        found.append(heading)
    alike = [name for name, often in taken.items() if often > 1]
    remark = Remark(
        about="headings alike", text=f"several columns are headed {', '.join(alike)}; they are numbered"
    )
    return found, (remark,) if alike else ()


def _sample(text: str, layout: Layout) -> list[list[str]]:
    """Cells of the first rows of numbers."""
    rows: list[list[str]] = []
    for number, line in enumerate(io.StringIO(text, newline=None), start=1):
        if number >= layout.first_line:
            row = cells_of(line.rstrip("\r\n")[:LONGEST_LINE], layout.separator)
            if len(row) == len(layout.headings):
                rows.append(row)
        if len(rows) == 200:
            break
    return rows


def _time_columns(
    headings: Sequence[Heading], sample: Sequence[Sequence[str]], hints: LogHints
) -> tuple[int | None, int | None]:
    """Columns of the time and, where it stands apart, of the date."""
    if hints.every:
        return None, None
    columns = list(range(len(headings)))
    likeness = {
        place: looks_like_time(headings[place].name, headings[place].unit, [row[place] for row in sample])
        for place in columns
    }
    best = max(columns, key=lambda place: (likeness[place], -place))
    if likeness[best] == 0:
        counted = [place for place in columns if headings[place].name.lower() in COUNTS_ROWS]
        if not counted and _rises(sample, 0, hints) and not headings[0].unit and len(headings) > 1:
            return 0, None
        raise ImpossibleValue(
            "no column of the log looks like the time",
            remedy='head one "time [s]", or tell the time from row to row: every = "1 s"',
        )
    if likeness[best] == 3:
        days = [
            place
            for place in columns
            if likeness[place] in (1, 2) and place != best and _is_date(sample, place)
        ]
        return best, days[0] if days else None
    return best, None


def _is_date(sample: Sequence[Sequence[str]], place: int) -> bool:
    return looks_like_time("", "", [row[place] for row in sample]) == 1


def _rises(sample: Sequence[Sequence[str]], place: int, hints: LogHints) -> bool:
    """Whether the first column only rises, as a time without heading does."""
    values = [number_of(row[place], hints.decimal or ".") for row in sample]
    told = [one.value for one in values if one is not None]
    return len(told) > 1 and len(told) == len(values) and all(b > a for a, b in itertools.pairwise(told))


def _times(
    rows: Rows,
    layout: Layout,
    headings: Sequence[Heading],
    clock: int | None,
    day: int | None,
    hints: LogHints,
) -> Times:
    """Times of all rows, from their column or by counting."""
    if clock is None:
        every = parse_quantity(hints.every, unit="s").value
        if every <= 0.0:
            raise ImpossibleValue(f"the time from row to row is {hints.every}", remedy="give one above zero")
        seconds = np.asarray(np.arange(len(rows.lines)) * every, dtype=np.float64)
        return Times(seconds=seconds, step=0.0, start="", words=f"counted, {hints.every} from row to row")
    return read_times(
        rows.times,
        decimal=layout.decimal,
        unit=hints.units.get(headings[clock].name, headings[clock].unit),
        name=headings[clock].name,
        hint=hints.time,
        days=rows.days if day is not None else (),
    )


def _channels(
    rows: Rows, kept: NDArray[np.int64], clock: int | None, day: int | None, hints: LogHints
) -> tuple[tuple[Channel, ...], tuple[Remark, ...]]:
    """Columns of numbers as channels, and what to say of each."""
    channels: list[Channel] = []
    remarks: list[Remark] = []
    units = _told_units(hints, [column.heading.name for column in rows.columns])
    left_out: list[str] = []
    for place, column in enumerate(rows.columns):
        name = column.heading.name
        if place in (clock, day):
            continue
        values = np.frombuffer(column.values)[kept]
        numbers = int(np.count_nonzero(np.isfinite(values)))
        if (
            name.lower() in COUNTS_ROWS
            or (numbers == 0 and not column.overloads)
            or column.words > 2 * numbers
        ):
            left_out.append(f"{name} ({column.word!r})" if column.word else name)
            continue
        channel = _channel(column, values.copy(), units.get(name))
        channels.append(channel)
        remarks.extend(about_channel(channel, column, numbers))
    if left_out:
        remarks.append(
            Remark(
                about="left out", text=f"columns that hold no readings were left out: {', '.join(left_out)}"
            )
        )
    return tuple(channels), tuple(remarks)


def _told_units(hints: LogHints, known: Sequence[str]) -> Mapping[str, str]:
    """Units that the analyst tells, by the column's name; its brackets may be left out where that leaves one column."""
    units: dict[str, str] = {}
    for name, unit in hints.units.items():
        meant = [name] if name in known else [one for one in known if bare_name(one) == name]
        if len(meant) != 1:
            raise UnknownName(f"the log has no column {name!r}", name=name, known=known)
        units[meant[0]] = unit
    return units


def _channel(column: Column, values: NDArray[np.float64], told: str | None) -> Channel:
    """One channel in its kept unit."""
    heading = column.heading
    spelling = find_spelling(heading.unit) if heading.unit else None
    if told is not None:
        stated = find_spelling(told)
        if spelling is not None and not (set(column.places) - {""}):
            # The heading was wrong or missing, as the analyst says: undo it, and read anew.
            values = (values - float(spelling.offset)) / float(spelling.factor)
        if spelling is None or not (set(column.places) - {""}):
            values = values * float(stated.factor) + float(stated.offset)
        spelling = stated
    factors = [
        float(find_spelling(unit).factor if unit else spelling.factor if spelling else 1) * 10.0**place
        for unit, place in column.places.items()
    ]
    return Channel(
        name=heading.name,
        unit=spelling.unit.symbol if spelling else "",
        values=values,
        step=moved_step(values, max(factors, default=0.0)),
        overloads=column.overloads,
    )
