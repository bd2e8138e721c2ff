"""Preferred numbers: the E series of IEC 60063.

E3 to E24 are historical lists. E48, E96 and E192 are the rounded terms of a geometric series, with one exception in
E192 (920 where the formula gives 919), and are computed here rather than listed.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from lidoff.errors import ImpossibleValue, UnknownName

__all__ = ["E_SERIES", "nearest_preferred", "series_of"]

_E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)
_EXCEPTION_E192 = {919: 920}  # IEC 60063 lists 920; the formula gives 919


def _geometric(steps: int) -> tuple[int, ...]:
    terms = (round(100 * 10 ** (step / steps)) for step in range(steps))
    return tuple(_EXCEPTION_E192.get(term, term) if steps == 192 else term for term in terms)


E_SERIES: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {
        "E3": _E24[::8],
        "E6": _E24[::4],
        "E12": _E24[::2],
        "E24": _E24,
        "E48": _geometric(48),
        "E96": _geometric(96),
        "E192": _geometric(192),
    }
)
"""Series by name, coarsest first; terms as two or three significant digits without a decimal point."""


def series_of(value: float) -> str:
    """Coarsest E series that holds a value, or an empty text where none does.

    Parameters
    ----------
    value : float
        Any quantity above zero, in any unit: only its significant digits count.

    Returns
    -------
    str
        ``"E3"`` … ``"E192"``, or ``""``.

    Raises
    ------
    ImpossibleValue
        The value is not a number above zero.

    Notes
    -----
    Terms after IEC 60063. Values that need more than three digits lie in no series.

    Examples
    --------
    >>> series_of(4700.0), series_of(4.99), series_of(5000.0)
    ('E3', 'E96', '')
    """
    digits = _three_digits(value)
    return _series_by_digits().get(digits, "") if digits else ""


def nearest_preferred(value: float, *, series: str) -> float:
    """Term of a series that lies nearest to a value, by ratio.

    Parameters
    ----------
    value : float
        Any quantity above zero.
    series : str
        Name of the series, ``"E3"`` … ``"E192"``.

    Returns
    -------
    float
        The term, in the unit of `value`.

    Raises
    ------
    ImpossibleValue
        The value is not a number above zero.
    UnknownName
        There is no series of that name.

    Examples
    --------
    >>> nearest_preferred(5000.0, series="E24")
    5100.0
    """
    if series not in E_SERIES:
        raise UnknownName(f"{series!r} is not an E series", name=series, known=E_SERIES)
    exponent = _exponent(value)
    terms = E_SERIES[series]
    places = len(str(terms[0])) - 1
    candidates = [
        _scaled(term, decade - places) for decade in (exponent - 1, exponent, exponent + 1) for term in terms
    ]
    return min(candidates, key=lambda term: max(term / value, value / term))


def _scaled(term: int, exponent: int) -> float:
    # One division or product of exact integers, so that 47 × 10⁻¹ is the float 4.7 and not a neighbour of it.
    return float(term * 10**exponent) if exponent >= 0 else term / 10**-exponent


def _exponent(value: float) -> int:
    if not 0 < value < float("inf"):
        raise ImpossibleValue(
            f"{value!r} has no place in an E series", remedy="give a finite number above zero"
        )
    return int(f"{value:.9e}".partition("e")[2])


def _three_digits(value: float) -> int:
    exponent = _exponent(value)
    mantissa = f"{value:.9e}".partition("e")[0].replace(".", "")
    del exponent
    return int(mantissa[:3]) if not mantissa[3:].strip("0") else 0


@cache
def _series_by_digits() -> Mapping[int, str]:
    found: dict[int, str] = {}
    for name, terms in E_SERIES.items():
        for term in terms:
            found.setdefault(term * 10 if term < 100 else term, name)
    return found
