"""Letter-and-digit codes: a letter stands for the decimal point and the power of ten ("4K7", "n47")."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from lidoff.markings.text import decimal_value, power_of_ten

__all__ = ["CAPACITANCE_LETTERS", "RESISTANCE_LETTERS", "LetterCode", "read_letters"]

# IEC 60062, from memory.
RESISTANCE_LETTERS: Mapping[str, int] = MappingProxyType({"L": -3, "R": 0, "K": 3, "M": 6, "G": 9, "T": 12})
"""Power of ten by letter, in ohms."""

CAPACITANCE_LETTERS: Mapping[str, int] = MappingProxyType(
    {"p": -12, "n": -9, "u": -6, "µ": -6, "m": -3, "F": 0}
)
"""Power of ten by letter, in farads."""

_CODE = re.compile(r"(\d{0,4})([A-Za-zµ])(\d{0,4})", re.ASCII)
_MOST_DIGITS = 4  # 1N4148 is a type number, R0047 a value


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterCode:
    """One letter-and-digit code taken apart.

    Parameters
    ----------
    number : str
        The decimal number with its point where the letter stands.
    letter : str
        The letter as printed.
    """

    number: str
    letter: str

    def value(self, exponent: int) -> float:
        """Value under the power of ten that the letter stands for.

        Examples
        --------
        >>> LetterCode(number="4.7", letter="K").value(3)
        4700.0
        """
        return decimal_value(self.number, exponent)

    def how(self, exponent: int, unit: str) -> str:
        """How the code was read, in words.

        Examples
        --------
        >>> LetterCode(number="4.7", letter="K").how(3, "Ω")
        '4.7 × 10³ Ω, K marks the decimal point'
        """
        product = f"{self.number} × {power_of_ten(exponent)} {unit}" if exponent else f"{self.number} {unit}"
        place = "the decimal point" if "." in self.number else f"the unit, {power_of_ten(exponent)} {unit}"
        return f"{product}, {self.letter} marks {place}"


def read_letters(text: str) -> LetterCode | None:
    """Letter-and-digit code taken apart, or None where the text is none.

    Parameters
    ----------
    text : str
        The code alone, without a tolerance letter.

    Returns
    -------
    LetterCode or None
        None also where there are no digits, or too many.

    Examples
    --------
    >>> read_letters("R047").number
    '0.047'
    """
    match = _CODE.fullmatch(text)
    if match is None or not 1 <= len(match[1]) + len(match[3]) <= _MOST_DIGITS:
        return None
    fraction = f".{match[3]}" if match[3] else ""
    return LetterCode(number=f"{match[1] or '0'}{fraction}", letter=match[2])
