"""EIA-96: two digits for a term of the E96 series and a letter for the power of ten ("68X")."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from lidoff.errors import ImpossibleValue
from lidoff.markings.series import E_SERIES

__all__ = ["EIA96_LETTERS", "EIA96_RECALLED", "eia96_term", "encode_eia96"]

EIA96_LETTERS: Mapping[str, int] = MappingProxyType(
    {"Z": -3, "Y": -2, "R": -2, "X": -1, "S": -1, "A": 0, "B": 1, "H": 1, "C": 2, "D": 3, "E": 4, "F": 5}
)
"""Power of ten by letter; the value is the three-digit term times it, in ohms."""

EIA96_RECALLED = frozenset("RSH")
"""Letters whose meaning is from memory; the others were read in public tables."""


def eia96_term(number: int) -> int:
    """Term of the E96 series that a two-digit number stands for.

    Parameters
    ----------
    number : int
        From 1 to 96.

    Returns
    -------
    int
        Three digits.

    Raises
    ------
    ImpossibleValue
        The number lies outside 1 to 96.

    Examples
    --------
    >>> eia96_term(1), eia96_term(68)
    (100, 499)
    """
    if not 1 <= number <= len(E_SERIES["E96"]):
        raise ImpossibleValue(f"{number:02d} is no EIA-96 number", remedy="the numbers run from 01 to 96")
    return E_SERIES["E96"][number - 1]


def encode_eia96(ohms: float) -> str:
    """EIA-96 code of a resistance.

    Parameters
    ----------
    ohms : float
        A term of the E96 series times a power of ten, from 0.1 Ω to 97.6 MΩ [Ω].

    Returns
    -------
    str
        Two digits and a letter; Y and X are used rather than R and S.

    Raises
    ------
    ImpossibleValue
        The value is no such term.

    Examples
    --------
    >>> encode_eia96(49.9)
    '68X'
    """
    for letter, exponent in EIA96_LETTERS.items():
        term = ohms / 10**exponent if exponent >= 0 else ohms * 10**-exponent
        nearest = round(term) if 99 < term < 1000 else 0
        if nearest in E_SERIES["E96"] and abs(term - nearest) < 1e-6 * nearest:
            return f"{E_SERIES['E96'].index(nearest) + 1:02d}{letter}"
    raise ImpossibleValue(
        f"{ohms!r} Ω has no EIA-96 code", remedy="give a value of the E96 series from 0.1 Ω to 97.6 MΩ"
    )
