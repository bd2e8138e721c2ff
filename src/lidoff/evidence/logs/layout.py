"""How a log is laid out: what parts its columns, the decimal sign, and where the table of numbers begins."""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice

from lidoff.errors import ImpossibleValue
from lidoff.evidence.logs.cells import MISSING, cells_of, is_overload, number_of
from lidoff.evidence.logs.headings import is_unit
from lidoff.evidence.logs.log import LogHints, Remark

__all__ = ["LONGEST_LINE", "Layout", "layout_of"]

LOOKED_AT = 400
"""Lines that the layout is found from."""
LONGEST_LINE = 20_000
"""Characters; a longer line is no row."""
MOST_COLUMNS = 200
_PAIRS = (
    (";", "."), (";", ","), ("\t", "."), ("\t", ","), ("|", "."), ("|", ","),
    (",", "."), (",", ","), (" ", "."), (" ", ","),
)  # fmt: skip
"""Separators with decimal signs, the surest first: it wins where several explain a file equally well."""
_CLOCK = re.compile(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}|\d{1,3}:\d{2}|\d{1,2}[- ][A-Za-z]{3}")
_WORDS = {";": "semicolons", "\t": "tabs", "|": "upright bars", ",": "commas", " ": "spaces"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """How the lines of a log are to be read.

    Attributes
    ----------
    separator, decimal : str
        Between columns, and in numbers.
    headings : tuple of str
        One for each column; empty texts where the file has none.
    units : tuple of str
        From a row of units below the headings; empty without one.
    first_line : int
        Line of the first row of numbers, from 1.
    heads : frozenset of tuple of str
        Rows of headings and units, which may come again further down.
    remarks : tuple of Remark
        What was chosen.
    """

    separator: str
    decimal: str
    headings: tuple[str, ...]
    units: tuple[str, ...]
    first_line: int
    heads: frozenset[tuple[str, ...]]
    remarks: tuple[Remark, ...]


def layout_of(text: str, hints: LogHints) -> Layout:
    """Layout of a log, from its first lines.

    Parameters
    ----------
    text : str
        The whole log.
    hints : LogHints
        What the analyst tells.

    Returns
    -------
    Layout
        With a remark for each choice that the file does not settle.

    Raises
    ------
    ImpossibleValue
        No table of numbers is found, or decimal commas and separating commas cannot be told apart.
    """
    lines = [
        line.rstrip("\r\n")[:LONGEST_LINE] for line in islice(io.StringIO(text, newline=None), LOOKED_AT)
    ]
    remarks: list[Remark] = []
    first = lines[0].strip().lower().replace(" ", "") if lines else ""
    if first.startswith("sep=") and len(first) == 5 and not hints.separator:
        hints = replace(hints, separator=first[4])
    separator, decimal = _best_pair(lines, hints)
    rows = [
        cells_of(line.lstrip("#").lstrip() if line.startswith("#") else line, separator) for line in lines
    ]
    sound = [
        _is_row(row, decimal) and not line.startswith("#") for row, line in zip(rows, lines, strict=True)
    ]
    widths = Counter(len(row) for row, good in zip(rows, sound, strict=True) if good)
    width = max(widths, key=lambda size: (widths[size], size))
    if width > MOST_COLUMNS:
        raise ImpossibleValue(
            f"the log has {width} columns, and at most {MOST_COLUMNS} are read", remedy="export fewer columns"
        )
    # A summary above the table may hold rows of numbers too: the table begins where such rows go on.
    fitting = [place for place, good in enumerate(sound) if good and len(rows[place]) == width]
    begins = next((place for place in fitting if _goes_on(rows, sound, place, width)), fitting[0])
    if width == 1:  # nothing to part: a heading may hold spaces
        rows = [[" ".join(row)] if row else row for row in rows]
    _refuse_commas(separator, rows, begins, lines)
    head, units, used = _heads(rows, begins, width)
    if begins - used > 0:
        above = sum(1 for row in rows[: begins - used] if row)
        if above:
            remarks.append(
                Remark(about="lines above", text=f"passed over what stands above the table ({above})", line=1)
            )
    if not any(head):
        remarks.append(
            Remark(
                about="no headings",
                text="the columns have no headings, so no channel has a unit; tell them, such as time, U [V], I [A]",
            )
        )
    remarks.append(
        Remark(
            about="layout",
            text=f"columns parted by {_WORDS.get(separator, repr(separator))}, decimal "
            f"{'comma' if decimal == ',' else 'point'}",
        )
    )
    return Layout(
        separator=separator,
        decimal=decimal,
        headings=head,
        units=units,
        first_line=begins + 1,
        heads=frozenset(tuple(row) for row in rows[begins - used : begins] if row),
        remarks=tuple(remarks),
    )


def _best_pair(lines: Sequence[str], hints: LogHints) -> tuple[str, str]:
    """Separator and decimal sign under which most of the file is rows of numbers."""
    pairs = [
        (separator, decimal)
        for separator, decimal in _PAIRS
        if hints.separator in ("", separator) and hints.decimal in ("", decimal)
    ]
    if hints.separator and hints.separator not in _WORDS:
        pairs = [(hints.separator, decimal) for decimal in ".," if hints.decimal in ("", decimal)]
    quoted = any('"' in line for line in lines)
    scores: dict[tuple[str, str], float] = {}
    for separator, decimal in pairs:
        if separator == decimal and not quoted:
            continue
        rows = [row for line in lines if line.strip() for row in [cells_of(line, separator)] if row]
        good = [row for row in rows if _is_row(row, decimal)]
        if not good:
            continue
        widths = Counter(len(row) for row in good)
        width, often = max(widths.items(), key=lambda item: (item[1], item[0]))
        if width < 2 and separator != " ":
            continue
        cells = [cell for row in good if len(row) == width for cell in row]
        understood = sum(_is_understood(cell, decimal) for cell in cells) / len(cells)
        # Rows of one shape count most, then that their cells are numbers. "1.234" is more often a decimal than thousands,
        # but "1.234,5" can be nothing else.
        told = [number for cell in cells if (number := number_of(cell, decimal)) is not None]
        grouped = sum(1 for number in told if number.grouped and number.place >= 0)
        scores[separator, decimal] = (
            often / max(len(rows), 1) + understood - grouped / len(cells) + (0.05 if width > 1 else 0.0)
        )
    if not scores:
        raise ImpossibleValue(
            "no table of numbers is found in it",
            remedy="name a CSV file with a row of numbers for each moment, or tell its separator and decimal sign",
        )
    return max(scores, key=lambda pair: (round(scores[pair], 6), -_rank(pair)))


def _rank(pair: tuple[str, str]) -> int:
    return _PAIRS.index(pair) if pair in _PAIRS else 0


def _is_understood(cell: str, decimal: str) -> bool:
    number = number_of(cell, decimal)
    if number is not None and (not number.unit or is_unit(number.unit)):
        return True
    return cell.lower() in MISSING or is_overload(cell) or _CLOCK.match(cell) is not None


def _is_row(row: Sequence[str], decimal: str) -> bool:
    """Whether cells look like a row of the table: a number or clock time, and not mostly words."""
    if not row:
        return False
    numbers = told = 0
    for cell in row[:MOST_COLUMNS]:
        number = number_of(cell, decimal)
        if number is not None and (not number.unit or is_unit(number.unit)):
            numbers += 1
        elif _CLOCK.match(cell) or cell.lower() in MISSING or is_overload(cell):
            told += 1
    whole = min(len(row), MOST_COLUMNS)
    return (
        numbers > 0 or (told > 0 and any(is_overload(cell) for cell in row))
    ) and numbers + told >= 0.4 * whole


def _goes_on(rows: Sequence[Sequence[str]], sound: Sequence[bool], number: int, width: int) -> bool:
    after = [
        sound[place] and len(rows[place]) == width
        for place in range(number + 1, min(number + 6, len(rows)))
        if rows[place]
    ]
    return not after or sum(after) >= 0.5 * len(after)


def _heads(
    rows: Sequence[Sequence[str]], begins: int, width: int
) -> tuple[tuple[str, ...], tuple[str, ...], int]:
    """Headings, units below them, and how many rows above the table they take."""
    above = [place for place in range(begins) if rows[place]]
    if not above:
        return ("",) * width, (), 0
    last = rows[above[-1]]
    if len(last) not in (width, width - 1, width + 1) and not (len(last) > 1 and len(last) >= width - 2):
        return ("",) * width, (), 0
    units: tuple[str, ...] = ()
    head, used = last, begins - above[-1]
    stripped = [cell.strip("[]()") for cell in last]
    if (
        len(above) > 1
        and any(stripped)
        and all(is_unit(cell) or cell in ("", "-", "#") or _CLOCK_PATTERN.match(cell) for cell in stripped)
        and len(rows[above[-2]]) in (width, width - 1)
    ):
        units = _padded(stripped, width)
        head, used = rows[above[-2]], begins - above[-2]
    return _padded(head, width), units, used


_CLOCK_PATTERN = re.compile(r"^[hdmsyDMYH][hdmsyDMYH:/.\- ]+$")


def _padded(row: Sequence[str], width: int) -> tuple[str, ...]:
    return tuple([*row, *[""] * width][:width])


def _refuse_commas(separator: str, rows: Sequence[Sequence[str]], begins: int, lines: Sequence[str]) -> None:
    """Refuse a file whose commas both part columns and stand in its numbers."""
    above = [row for row in rows[:begins] if row]
    if separator != "," or not above or '"' in lines[begins]:
        return
    named, told = len(above[-1]), len(rows[begins])
    if 2 <= named < told and told >= 2 * named - 1:
        raise ImpossibleValue(
            f"a row has {told} cells under {named} headings: commas part its columns and its decimals alike",
            remedy="export it with semicolons or tabs between the columns, or with decimal points",
        )
