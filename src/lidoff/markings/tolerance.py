"""Tolerances: the letters of IEC 60062, and limits from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from lidoff.markings.meaning import Limits

__all__ = ["TOLERANCE_LETTERS", "Tolerance", "limits_from", "limits_of_capacitance", "limits_of_letter"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """One tolerance: how far the value may lie below and above, in percent.

    Parameters
    ----------
    minus, plus : float
        Both zero or above [%].
    from_memory : bool
        True where the entry was recalled and not read in a table.
    """

    minus: float
    plus: float
    from_memory: bool = True

    @property
    def printed(self) -> str:
        """The tolerance as a reader would write it.

        Examples
        --------
        >>> Tolerance(minus=20, plus=80).printed
        '+80 % −20 %'
        """
        if self.minus == self.plus:
            return f"±{self.plus:g} %"
        return f"+{self.plus:g} % −{self.minus:g} %"


def _even(percent: float, *, from_memory: bool = True) -> Tolerance:
    return Tolerance(minus=percent, plus=percent, from_memory=from_memory)


# IEC 60062; F, G, P and W were read in copied tables, the rest is from memory.
TOLERANCE_LETTERS: Mapping[str, Tolerance] = MappingProxyType(
    {
        "E": _even(0.005),
        "L": _even(0.01),
        "P": _even(0.02, from_memory=False),
        "W": _even(0.05, from_memory=False),
        "B": _even(0.1),
        "C": _even(0.25),
        "D": _even(0.5),
        "F": _even(1.0, from_memory=False),
        "G": _even(2.0, from_memory=False),
        "H": _even(3.0),
        "J": _even(5.0),
        "K": _even(10.0),
        "M": _even(20.0),
        "N": _even(30.0),
        "Q": Tolerance(minus=10.0, plus=30.0),
        "S": Tolerance(minus=20.0, plus=50.0),
        "T": Tolerance(minus=10.0, plus=50.0),
        "Z": Tolerance(minus=20.0, plus=80.0),
    }
)
"""Tolerance by letter, in percent of the value."""

# Capacitors below 10 pF: the letter stands for picofarads (IEC 60062, from memory).
_PICOFARADS = {"B": 0.1, "C": 0.25, "D": 0.5, "F": 1.0, "G": 2.0}
_TEN_PICOFARADS = 10e-12


def limits_from(value: float, tolerance: Tolerance) -> Limits:
    """Least and greatest value under a tolerance.

    Parameters
    ----------
    value : float
        Nominal value, zero or above, in any unit.
    tolerance : Tolerance
        In percent of it.

    Returns
    -------
    Limits
        In the unit of `value`.

    Examples
    --------
    >>> limits = limits_from(100.0, Tolerance(minus=20, plus=80))
    >>> limits.low, limits.high
    (80.0, 180.0)
    """
    return Limits(
        low=value * (100 - tolerance.minus) / 100,
        high=value * (100 + tolerance.plus) / 100,
        printed=tolerance.printed,
    )


def limits_of_letter(value: float, letter: str) -> Limits | None:
    """Find the limits that a tolerance letter sets.

    Parameters
    ----------
    value : float
        Nominal value, zero or above, in any unit.
    letter : str
        One capital letter.

    Returns
    -------
    Limits or None
        None where the letter means no tolerance.
    """
    tolerance = TOLERANCE_LETTERS.get(letter)
    return limits_from(value, tolerance) if tolerance else None


def limits_of_capacitance(farads: float, letter: str) -> Limits | None:
    """Find the limits that a tolerance letter sets for a capacitor.

    Parameters
    ----------
    farads : float
        Capacitance [F].
    letter : str
        Below 10 pF, B, C, D, F and G mean picofarads, at 10 pF still B, C and D; every other letter is a
        percentage.

    Returns
    -------
    Limits or None
        In farads; None where the letter means no tolerance.

    Examples
    --------
    >>> limits_of_capacitance(4.7e-12, "C").printed
    '±0.25 pF'
    """
    if farads < _TEN_PICOFARADS or (farads == _TEN_PICOFARADS and letter in "BCD"):
        picofarads = _PICOFARADS.get(letter)
        if picofarads is not None:
            step = picofarads * 1e-12
            return Limits(low=max(0.0, farads - step), high=farads + step, printed=f"±{picofarads:g} pF")
    return limits_of_letter(farads, letter)
