"""Reference designators: what a part may be called, wherever it is named first."""

from __future__ import annotations

from lidoff.errors import ImpossibleValue

__all__ = ["check_reference"]

LONGEST = 24
"""What a drawing and a table have room for."""
_MARKS = frozenset("_-+")


def check_reference(reference: str) -> None:
    """Refuse what cannot be the reference of a part.

    Parameters
    ----------
    reference : str
        As it was given.

    Raises
    ------
    ImpossibleValue
        It is empty or too long, or has other signs than letters, digits and the marks ``_ - +``. A dot parts a reference from
        its pin, and blanks part references in lists.

    Examples
    --------
    >>> check_reference("LED3")
    """
    remedy = "write letters and a number, such as R3 or LED12"
    if not reference:
        raise ImpossibleValue("a part without a reference", remedy=remedy)
    if len(reference) > LONGEST:
        raise ImpossibleValue(
            f"{reference[:LONGEST]!r}… cannot be a reference: it has {len(reference)} letters, and {LONGEST} are the most",
            remedy=remedy,
        )
    odd = next((sign for sign in reference if not (sign.isalnum() or sign in _MARKS)), "")
    if odd:
        sign = "a blank" if odd.isspace() else repr(odd)
        why = "a dot parts a reference from its pin: " if odd == "." else ""
        raise ImpossibleValue(
            f"{reference!r} cannot be a reference: {sign} stands in it", remedy=f"{why}{remedy}"
        )
    if not reference[0].isalnum():
        raise ImpossibleValue(f"{reference!r} cannot be a reference: it begins with no letter", remedy=remedy)
