"""Small pieces that decoders share: tidy text in, powers of ten out."""

from __future__ import annotations

import unicodedata
from decimal import Decimal

from lidoff.errors import ImpossibleValue

__all__ = ["LONGEST_MARKING", "decimal_value", "power_of_ten", "power_product", "tidy"]

LONGEST_MARKING = 120  # characters; a print on a part is far shorter, a page pasted by mistake far longer

_LOOKALIKES = str.maketrans(
    {
        "\u03bc": "µ",  # Greek mu; the micro sign is the one used in prints
        "\u2126": "Ω",  # ohm sign
        "\u2212": "-",
        "\u2013": "-",
        "\u2014": "-",
        "\u00d7": "x",
    }
)
_SUPERSCRIPTS = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def tidy(text: str) -> str:
    """Marking with look-alike signs made equal and runs of blanks made one.

    Parameters
    ----------
    text : str
        What is printed on the part, one line or several.

    Returns
    -------
    str
        The same in one line; letters keep their case, since m and M differ.

    Raises
    ------
    ImpossibleValue
        Nothing is left, or the text is too long to be a print on a part.

    Examples
    --------
    >>> tidy("  220 μF ")
    '220 µF'
    """
    cleaned = " ".join(unicodedata.normalize("NFC", text).translate(_LOOKALIKES).split())
    if not cleaned:
        raise ImpossibleValue("the marking is empty", remedy="type what is printed on the part")
    if len(cleaned) > LONGEST_MARKING:
        raise ImpossibleValue(
            f"the marking is {len(cleaned)} characters long, beginning {cleaned[:20]!r}",
            remedy=f"give the print of one part, at most {LONGEST_MARKING} characters",
        )
    return cleaned


def decimal_value(digits: str, exponent: int) -> float:
    """Number nearest to decimal digits times a power of ten.

    Parameters
    ----------
    digits : str
        Decimal number such as ``"47"`` or ``"4.7"``.
    exponent : int
        Power of ten.

    Returns
    -------
    float
        The float nearest to the exact product.

    Examples
    --------
    >>> decimal_value("4.7", -9)
    4.7e-09
    """
    return float(Decimal(digits).scaleb(exponent))


def power_of_ten(exponent: int) -> str:
    """Power of ten in print.

    Parameters
    ----------
    exponent : int
        Any whole number.

    Returns
    -------
    str
        With raised digits.

    Examples
    --------
    >>> power_of_ten(-2)
    '10⁻²'
    """
    return "10" + str(exponent).translate(_SUPERSCRIPTS)


def power_product(digits: str, exponent: int, unit: str) -> str:
    """Product with a power of ten in print.

    Parameters
    ----------
    digits : str
        Number before the power.
    exponent : int
        Power of ten.
    unit : str
        Unit behind it.

    Returns
    -------
    str
        Number, power and unit.

    Examples
    --------
    >>> power_product("47", 2, "Ω")
    '47 × 10² Ω'
    """
    return f"{digits} × {power_of_ten(exponent)} {unit}"
