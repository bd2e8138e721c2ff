"""The rows of a log's table: every number to its column, every line that is no row counted."""

from __future__ import annotations

import io
from array import array
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import ImpossibleValue, LidoffError
from lidoff.evidence.logs.cells import MISSING, TOO_LARGE, cells_of, is_overload, number_of
from lidoff.evidence.logs.headings import Heading
from lidoff.evidence.logs.layout import LONGEST_LINE, Layout
from lidoff.evidence.logs.log import MOST_ROWS
from lidoff.quantities import find_spelling

__all__ = ["COUNTS_ROWS", "Column", "Rows", "read_rows", "table_of"]

COUNTS_ROWS = frozenset(
    {"no", "nr", "no.", "nr.", "#", "index", "idx", "sample", "record", "row", "n", "point", "count"}
)
"""Headings, in small letters, of columns that count the rows; common practice, no source."""
_UNIT_COLUMN = frozenset({"unit", "units", "einheit", "unité", "unidad", "unita", "unità"})


@dataclass(slots=True)
class Column:
    """One column while it is read."""

    heading: Heading
    values: array[float] = field(default_factory=lambda: array("d"))
    places: dict[str, int] = field(default_factory=dict)
    overloads: int = 0
    overload_line: int = 0
    overload_mark: str = ""
    words: int = 0
    word: str = ""
    grouped: str = ""
    holds_units: bool = False

    def __post_init__(self) -> None:
        """Look once whether the column tells units."""
        self.holds_units = self.heading.name.lower() in _UNIT_COLUMN


@dataclass(slots=True)
class Rows:
    """The table while it is read: times as written, numbers as numbers, and what was passed over."""

    columns: list[Column]
    times: list[str] = field(default_factory=list)
    days: list[str] = field(default_factory=list)
    lines: array[int] = field(default_factory=lambda: array("q"))
    passed: dict[str, list[str | int]] = field(default_factory=dict)

    def pass_over(self, why: str, line: int, text: str) -> None:
        """Count a line that is no row, keeping the first of each sort."""
        entry = self.passed.setdefault(why, [0, line, text[:60]])
        entry[0] = int(entry[0]) + 1


def read_rows(
    text: str, layout: Layout, headings: Sequence[Heading], clock: int | None, day: int | None
) -> Rows:
    """Every row of the table; lines that are none are counted."""
    rows = Rows(columns=[Column(heading) for heading in headings])
    width = len(headings)
    whole = text.endswith(("\n", "\r"))
    number = 0
    for number, raw in enumerate(io.StringIO(text, newline=None), start=1):
        if number < layout.first_line:
            continue
        line = raw.rstrip("\n")
        if len(line) > LONGEST_LINE:
            rows.pass_over("too long", number, line)
            continue
        if line.startswith("#"):
            rows.pass_over("comment", number, line)
            continue
        cells = cells_of(line, layout.separator)
        if not any(cells):
            continue
        if tuple(cells) in layout.heads:
            rows.pass_over("heading again", number, line)
            continue
        cut = len(cells) < width and not raw.endswith("\n") and not whole
        if cut or not _has_number(cells, layout.decimal, clock):
            rows.pass_over("cut short" if cut else "no numbers", number, line)
            continue
        if len(cells) < width:
            rows.pass_over("too few cells", number, line)
        elif any(cells[width:]):
            rows.pass_over("too many cells", number, line)
        if len(rows.lines) == MOST_ROWS:
            raise ImpossibleValue(
                f"the log has more than {MOST_ROWS} rows", remedy="cut it into parts, or keep every tenth row"
            )
        cells = [*cells, *[""] * (width - len(cells))][:width]
        rows.lines.append(number)
        rows.times.append(cells[clock] if clock is not None else "")
        if day is not None:
            rows.days.append(cells[day])
        _add(rows.columns, cells, number, layout.decimal, (clock, day))
    return rows


def _has_number(cells: Sequence[str], decimal: str, clock: int | None) -> bool:
    """Whether a row tells a value; a clock time alone is none."""
    return any(
        number_of(cell, decimal) is not None or is_overload(cell)
        for place, cell in enumerate(cells)
        if place != clock
    ) or (clock is not None and len(cells) > 1 and clock < len(cells) and bool(cells[clock][:1].isdigit()))


def _add(
    columns: Sequence[Column], cells: Sequence[str], line: int, decimal: str, timed: tuple[int | None, ...]
) -> None:
    """One row's numbers to their columns."""
    unit_beside = ""
    for place in range(len(cells) - 1, -1, -1):
        column, cell = columns[place], cells[place]
        if place in timed:
            continue
        if column.holds_units:
            unit_beside = cell  # of the column to the left, which is read next
            column.words += 1
            column.values.append(float("nan"))
            continue
        number = number_of(cell, decimal)
        value = float("nan")
        if number is not None and number.unit and is_overload(cell):
            number = None  # 0L is the mark, not nought litres
        if number is not None and abs(number.value) < TOO_LARGE:
            unit = number.unit or unit_beside
            factor = _factor(unit, column)
            if factor is None:
                column.words += 1
                column.word = column.word or cell
            else:
                value = number.value * factor[0] + factor[1]
                column.places[unit] = min(number.place, column.places.get(unit, number.place))
                if number.grouped:
                    column.grouped = column.grouped or cell
        elif is_overload(cell) or (number is not None and abs(number.value) < 9.905e37):
            column.overloads += 1
            if column.overloads == 1:
                column.overload_line, column.overload_mark = line, cell
        elif number is None and cell.lower() not in MISSING:
            column.words += 1
            column.word = column.word or cell
        column.values.append(value)
        unit_beside = ""


_PLAIN = (1.0, 0.0)
"""Factor and offset of a number without unit."""


@lru_cache(maxsize=1000)
def _spelling(unit: str) -> tuple[str, float, float] | None:
    """Symbol, factor and offset of a unit; kept, since the search for a misspelt one is slow and cells repeat."""
    try:
        found = find_spelling(unit) if len(unit) <= 20 else None
    except LidoffError:
        return None
    return None if found is None else (found.unit.symbol, float(found.factor), float(found.offset))


def _factor(unit: str, column: Column) -> tuple[float, float] | None:
    """Factor and offset of a cell's unit, else of the heading's; None for a unit that is not the heading's."""
    known = column.heading.unit
    if not unit and not known:
        return _PLAIN
    spelling = _spelling(unit or known)
    if spelling is None:
        return None
    if known and unit:
        heading = _spelling(known)
        if heading is None or heading[0] != spelling[0]:
            return None
    if not known:
        column.heading = Heading(column.heading.name, spelling[0])
    return spelling[1:]


def table_of(rows: Rows) -> NDArray[np.float64]:
    """All numbers, shape (columns, rows), for finding rows that are there twice."""
    whole = [column for column in rows.columns if len(column.values) == len(rows.lines)]
    return np.array([np.frombuffer(column.values) for column in whole]).reshape(len(whole), len(rows.lines))
