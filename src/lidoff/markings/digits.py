"""Digit codes: significant digits followed by a power of ten ("472", "1002", "4R7")."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lidoff.errors import ImpossibleValue
from lidoff.markings.text import decimal_value

__all__ = ["DigitCode", "encode_digits", "read_digits"]

_CODE = re.compile(r"([1-9]\d{1,2})(\d)", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class DigitCode:
    """One digit code taken apart.

    Parameters
    ----------
    digits : str
        The significant digits, two or three.
    exponent : int
        The power of ten.
    """

    digits: str
    exponent: int

    def value(self, unit_exponent: int = 0) -> float:
        """Value, in units of ten to `unit_exponent`.

        Examples
        --------
        >>> DigitCode(digits="47", exponent=4).value(-12)
        4.7e-07
        """
        return decimal_value(self.digits, self.exponent + unit_exponent)


def read_digits(text: str, *, digits: int) -> DigitCode | None:
    """Digit code of a given length taken apart, or None where the text is none.

    Parameters
    ----------
    text : str
        The code alone.
    digits : int
        Its length: 3 (two significant digits) or 4 (three).

    Returns
    -------
    DigitCode or None
        None also where the first digit is zero: no maker prints such a code.

    Examples
    --------
    >>> read_digits("472", digits=3).value()
    4700.0
    """
    match = _CODE.fullmatch(text)
    if match is None or len(text) != digits:
        return None
    return DigitCode(digits=match[1], exponent=int(match[2]))


def encode_digits(value: float, *, digits: int = 3) -> str:
    """Digit code of a value, as a maker would print it.

    Parameters
    ----------
    value : float
        In the unit of the code: ohms for resistors, picofarads for capacitors, microhenries for inductors. Zero gives
        the print of a zero-ohm link.
    digits : int
        Length of the code: 3 (two significant digits) or 4 (three).

    Returns
    -------
    str
        Such as ``"472"`` or ``"4701"``; with R for the decimal point where the value is too small for a power of ten.

    Raises
    ------
    ImpossibleValue
        The value has more significant digits than the code, or lies outside its reach.

    Notes
    -----
    IEC 60062, from memory.

    Examples
    --------
    >>> encode_digits(4700.0), encode_digits(4.7), encode_digits(4700.0, digits=4)
    ('472', '4R7', '4701')
    """
    if digits not in (3, 4):
        raise ImpossibleValue(f"there is no digit code of {digits} digits", remedy="ask for 3 or 4")
    significant = digits - 1
    if value == 0:
        return "0" * digits
    if not 0 < value < 10 ** (significant + 9):
        raise ImpossibleValue(
            f"{value!r} has no digit code of {digits} digits", remedy="give a finite number, zero or above"
        )
    mantissa, _, power = f"{value:.9e}".partition("e")
    figures = mantissa.replace(".", "").rstrip("0")
    exponent = int(power) - (significant - 1)
    if len(figures) > significant or exponent < -significant:
        raise ImpossibleValue(
            f"{value!r} does not fit a code of {digits} digits",
            remedy="round it to the digits of the code, or ask for more digits",
        )
    figures = figures.ljust(significant, "0")
    if exponent >= 0:
        return f"{figures}{exponent}"
    return f"{figures[:exponent]}R{figures[exponent:]}"
