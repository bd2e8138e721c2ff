"""References in a sentence."""

from __future__ import annotations

import re
from collections.abc import Iterable

__all__ = ["by_number", "told_parts"]

MOST_NAMED = 6
"""Up to so many references are written out."""


def by_number(reference: str) -> tuple[str, int, str]:
    """Key that sorts R2 before R10.

    Examples
    --------
    >>> sorted(["R10", "R2", "C3"], key=by_number)
    ['C3', 'R2', 'R10']
    """
    found = re.fullmatch(r"(\D*)(\d*)(.*)", reference)
    letters, digits, rest = found.groups() if found else (reference, "", "")
    return (letters, int(digits or 0), rest)


def told_parts(references: Iterable[str]) -> str:
    """References as a person lists them.

    Parameters
    ----------
    references : iterable of str
        Without repeats.

    Returns
    -------
    str
        With "and" before the last; more than a handful are counted and told by the first and last.

    Examples
    --------
    >>> told_parts(["R10", "R2"])
    'R2 and R10'
    >>> told_parts(f"LED{number}" for number in range(1, 10))
    'LED1 to LED9 (9 parts)'
    """
    ordered = sorted(references, key=by_number)
    if len(ordered) > MOST_NAMED:
        return f"{ordered[0]} to {ordered[-1]} ({len(ordered)} parts)"
    if len(ordered) < 2:
        return "".join(ordered)
    return f"{', '.join(ordered[:-1])} and {ordered[-1]}"
