"""Cells of a log: rows cut at their separator, numbers with either decimal sign, and marks of overload."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from functools import lru_cache

__all__ = ["MISSING", "NUMBER", "OVERLOAD", "Number", "cells_of", "is_overload", "number_of"]

NUMBER = re.compile(
    r"([+\-−]?)\s*([0-9]+(?:[.,' ][0-9]{3}(?![0-9]))*(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE]([+\-]?[0-9]{1,3}))?"
)
"""Sign, digits and power of a number; what follows it is its unit."""
MISSING = frozenset({"", "-", "--", "nan", "na", "n/a", "n.a.", "null", "none", "#n/a", "?", "error", "err"})
"""Cells, in small letters, that say that there is no value; common practice, no source."""
OVERLOAD = re.compile(
    r"[+\-−]?\s*(?:o\.?l\.?|0\.?l\.?|o\.?f\.?l\.?|ovld|ovl|ovr|over(?:load|flow|range)?|out of range"
    r"|-{3,}|_{3,}|∞|inf(?:inity)?|1\.?#inf\d*)",
    re.IGNORECASE,
)
"""Cells that say that the value is beyond the range; common practice of makers, no source."""
TOO_LARGE = 9.0e37
"""From here up a number is the mark of overload (9.9E37) or of no value (9.91E37) of SCPI 1999, vol. 1, 7.2 (from memory)."""


@dataclass(frozen=True, slots=True)
class Number:
    """One number as written: its value, the power of ten of its last digit, and the unit behind it."""

    value: float
    place: int
    unit: str
    grouped: bool


def cells_of(line: str, separator: str) -> list[str]:
    """Cells of one line, without the spaces and quotes around them.

    Parameters
    ----------
    line : str
        Without its line end.
    separator : str
        One character; a space stands for any run of spaces and tabs.

    Returns
    -------
    list of str
        Empty for an empty line.
    """
    if '"' in line:
        # One line at a time: a stray quote may not swallow the lines below it.
        try:
            row = next(csv.reader([line], delimiter=separator, skipinitialspace=True), [])
        except csv.Error:
            row = line.split(separator)
        if separator != " ":
            return [cell.strip() for cell in row]
        return [cell.strip() for cell in row if cell.strip()]
    if separator == " ":
        return line.split()
    return [cell.strip() for cell in line.split(separator)] if line.strip() else []


# Kept, since each cell is looked at twice and a display shows the same digits again and again.
@lru_cache(maxsize=16_384)
def number_of(cell: str, decimal: str) -> Number | None:
    """Number of a cell with its unit, if it starts with one.

    Parameters
    ----------
    cell : str
        What stands in the cell.
    decimal : str
        The decimal sign; the other one may part thousands.

    Returns
    -------
    Number or None
        None for words, and for a number that the decimal sign does not allow.
    """
    found = NUMBER.match(cell)
    if found is None:
        return None
    sign, digits, power = found.groups()
    whole, mark, part = digits.rpartition(decimal)
    if not mark:
        whole, part = digits, ""
    grouped = not whole.isdigit() and bool(whole)
    if grouped:
        groups = re.split(r"[.,' ]", whole)
        signs = {one for one in whole if not one.isdigit()}
        if len(signs) > 1 or decimal in signs or any(len(group) != 3 for group in groups[1:]):
            return None
        if not 1 <= len(groups[0]) <= 3:
            return None
        whole = "".join(groups)
    if part and not part.isdigit():
        return None
    exponent = int(power) if power else 0
    value = float(f"{whole or '0'}.{part or '0'}e{exponent}")
    return Number(
        value=-value if sign in ("-", "−") else value,
        place=exponent - len(part),
        unit=cell[found.end() :].strip(),
        grouped=grouped,
    )


def is_overload(cell: str) -> bool:
    """Whether a cell says that the value is beyond the instrument's range.

    Parameters
    ----------
    cell : str
        What stands in the cell.

    Returns
    -------
    bool
        Also for a mark with a unit behind it, such as ``OL MΩ``.
    """
    found = OVERLOAD.match(cell)
    return found is not None and len(cell) - found.end() <= 4 and not cell[found.end() :][:1].isalnum()
