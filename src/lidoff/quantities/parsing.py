"""Text as people write it → quantity: "4.7 kΩ", "4k7", "60W", "4,40 V ± 0,02 V", "4.40(2) V"."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import Decimal

from lidoff.errors import ImpossibleValue
from lidoff.quantities.quantity import COVERAGE, Quantity
from lidoff.quantities.rkm import read_rkm
from lidoff.quantities.unit import Unit
from lidoff.quantities.units import Spelling, find_spelling, is_spelling, unit_named

__all__ = ["parse_quantity", "resolution_of", "unit_as_written"]

LONGEST = 200
"""Characters; longer text is refused unread."""
LONGEST_SYMBOL = 3
"""Letters; what is longer, such as "hours", is a word and no symbol."""

# Twins of letters and signs, by code point where the twin looks the same.
_TWINS = str.maketrans(
    {
        "\u03bc": "µ", "\u2126": "Ω", "\u212a": "K", "\u2103": "°C", "\u2109": "°F", "\u00ba": "°", "\u02da": "°",
        "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u2013": "-", "\ufe63": "-", "\uff0d": "-",
        "\u00a0": " ", "\u2007": " ", "\u2009": " ", "\u200a": " ", "\u202f": " ", "\t": " ",
        "\u22c5": "·", "\u2219": "·", "\u2022": "·", "\u2044": "/", "\u2215": "/", "\u00d7": "×",
    }
)  # fmt: skip
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")
_PLUS_MINUS = re.compile(r"±|\+\s?/\s?-|\+-")
_NUMBER = re.compile(
    r"""(?P<sign>[+-]?)\s*
    (?P<digits>[0-9]{1,3}(?:[ ][0-9]{3})+(?![0-9])(?:[.,][0-9]+)?  # 1 000 or 12 000.5, groups of three
      |[0-9]{1,3}/[1-9][0-9]{0,2}(?=\s*[A-Za-z])  # 1/4 W, as resistors are rated
      |[0-9]+(?:[.,][0-9]*)*|[.,][0-9]+)
    (?P<bracket>\([0-9]+\))?
    (?:[eE](?P<power>[+-]?[0-9]{1,3})(?![0-9])
      |\s*[×x*·]\s*10(?:\^\s*(?P<caret>[+-]?[0-9]{1,3})(?![0-9])|(?P<signed>[+-][0-9]{1,3})(?![0-9])
                       |(?P<raised>[⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,3})))?""",
    re.VERBOSE,
)
_GROUPED = re.compile(
    r"(?P<whole>[0-9]{1,3}(?P<sign>[.,])[0-9]{3}(?:(?P=sign)[0-9]{3})*)(?:(?!(?P=sign))[.,](?P<part>[0-9]*))?"
)
"""Thousands parted by points or commas, and perhaps the other sign before a fraction."""
_ABOUT_UNIT = re.compile(r"[A-Za-zµΩ°%‰/()·*^²³0-9. -]*")


@dataclass(frozen=True, slots=True)
class _Written:
    """A number as written: value, power of ten of its last digit, bracketed uncertainty, text of the unit."""

    number: Decimal
    place: int
    bracket: Decimal | None
    unit: str


def parse_quantity(text: str, *, unit: str | None = None, decimal: str | None = None) -> Quantity:
    """Quantity that a text states.

    "±" states the expanded uncertainty (k = 2), halved here; digits in brackets state the standard uncertainty in units
    of the last digit (JCGM 100:2008, 7.2.2). "± 3 %" is relative, except behind a ratio, where it is absolute.

    Parameters
    ----------
    text : str
        What a person wrote, of at most 200 characters.
    unit : str, optional
        The unit that is expected and that the result is kept in; then a number with only a prefix or letter will do.
    decimal : {".", ","}, optional
        The decimal sign; needed where the text can be read in two ways ("1,000 V").

    Returns
    -------
    Quantity
        Value and standard uncertainty in the kept unit.

    Raises
    ------
    ImpossibleValue
        The text is no number with unit, or of another dimension, or can be read in two ways.
    UnknownName
        The unit is unknown; suggests the nearest.

    Examples
    --------
    >>> parse_quantity("4.40 V ± 0.02 V")
    Quantity(value=4.4, unit='V', uncertainty=0.01, dof=inf)
    >>> parse_quantity("4k7", unit="Ω").value
    4700.0
    """
    expected = unit_named(unit) if unit is not None else None
    value_text, spread_text = _halves(_clean(text), text)
    if spread_text is not None and expected is None and _bare(value_text, decimal, text):
        # "(4.40 ± 0.02) V" and "4.40 ± 0.02 V": one unit for both numbers.
        value_text = f"{value_text} {_written(spread_text, decimal, text).unit}"
    elif spread_text is not None and expected is not None and _bare(value_text, decimal, text):
        shared = _written(spread_text, decimal, text).unit
        if shared:
            value_text = f"{value_text} {shared}"
    number, _, spelling, bracket = _understood(value_text, expected, decimal, text)
    if expected is None:
        expected = spelling.unit
    _same_dimension(spelling, expected, text)
    value = _kept(number, spelling, expected)
    standard = Decimal(0) if bracket is None else _difference(bracket, spelling, expected)
    if spread_text is not None:
        if bracket is not None:
            raise ImpossibleValue(
                f"{text!r} states its uncertainty twice", remedy="keep either the brackets or the ±"
            )
        standard = _spread(spread_text, value, spelling, expected, decimal, text) / Decimal(int(COVERAGE))
    return Quantity(_finite(value, text), expected.symbol, _finite(standard, text))


def resolution_of(text: str, *, unit: str | None = None, decimal: str | None = None) -> Quantity:
    """Step of the last digit of a reading, from the digits as typed.

    Parameters
    ----------
    text : str
        The reading: "4.40 V", "1.2e-3 A", "4k7"; an uncertainty behind it is passed over.
    unit, decimal : str, optional
        As for `parse_quantity`.

    Returns
    -------
    Quantity
        One unit of the last digit, in the kept unit.

    Raises
    ------
    ImpossibleValue, UnknownName
        As for `parse_quantity`.

    Examples
    --------
    >>> resolution_of("4.40 V").value
    0.01
    """
    parse_quantity(text, unit=unit, decimal=decimal)
    expected = unit_named(unit) if unit is not None else None
    value_text, spread_text = _halves(_clean(text), text)
    if spread_text is not None and _bare(value_text, decimal, text):
        value_text = f"{value_text} {_written(spread_text, decimal, text).unit}"
    _, place, spelling, _ = _understood(value_text, expected, decimal, text)
    expected = expected or spelling.unit
    return Quantity(_finite(_difference(Decimal(1).scaleb(place), spelling, expected), text), expected.symbol)


def unit_as_written(text: str) -> str:
    """Symbol of the unit that a text is written in, so that other values can be shown beside it in the same.

    Parameters
    ----------
    text : str
        A quantity as `parse_quantity` reads it.

    Returns
    -------
    str
        Such as "mAh" or "l/min"; empty where there is no unit, or it is written as a word or in another way that no one
        would print beside a number.

    Examples
    --------
    >>> unit_as_written("2000mAh"), unit_as_written("4 hours"), unit_as_written("4k7")
    ('mAh', '', '')
    """
    found = _NUMBER.match(_clean(text))
    if found is None:
        return ""
    unit = _PLUS_MINUS.split(_clean(text)[found.end() :])[0].strip()
    is_word = unit.isalpha() and len(unit) > LONGEST_SYMBOL
    return unit if is_spelling(unit) and not is_word else ""


def _clean(text: str) -> str:
    """Text with one kind of each sign and no space around it."""
    if len(text) > LONGEST:
        raise ImpossibleValue(
            f"a quantity of {len(text)} characters, {text[:20]!r}…",
            remedy=f"keep it under {LONGEST} characters",
        )
    return text.translate(_TWINS).strip()


def _halves(text: str, original: str) -> tuple[str, str | None]:
    """Value part and uncertainty part of a text; brackets round both are opened."""
    parts = _PLUS_MINUS.split(text)
    if len(parts) == 1:
        return text, None
    if len(parts) > 2 or not parts[0].strip() or not parts[1].strip():
        raise ImpossibleValue(
            f"{original!r} cannot be read as value ± uncertainty", remedy='write it like "4.40 V ± 0.02 V"'
        )
    value, spread = (part.strip() for part in parts)
    if value.startswith("("):
        inside, closed, behind = spread.partition(")")
        if not closed:
            raise ImpossibleValue(
                f"{original!r} has a bracket that does not close", remedy='write it like "(4.40 ± 0.02) V"'
            )
        return value[1:].strip(), f"{inside.strip()} {behind.strip()}".strip()
    return value, spread


def _bare(value_text: str, decimal: str | None, original: str) -> bool:
    """Whether a value part is a number with nothing behind it."""
    found = _NUMBER.fullmatch(value_text)
    return found is not None and _written(value_text, decimal, original).unit == ""


def _written(text: str, decimal: str | None, original: str, expected: Unit | None = None) -> _Written:
    """Number and unit text at the start of a text."""
    example = f"4.40 {'V' if expected is None else expected.symbol}".removesuffix(" 1")
    found = _NUMBER.match(text)
    if found is None:
        raise ImpossibleValue(
            f"{original!r} does not start with a number",
            remedy=f'write number and unit, for instance "{example}"',
        )
    over, _, under = found["digits"].partition("/")
    digits = _decimal_point(over.replace(" ", ""), decimal, original)
    if under:
        digits = f"{Decimal(over) / Decimal(under):f}"
    rest = text[found.end() :].strip()
    if not _ABOUT_UNIT.fullmatch(rest) or rest.startswith("-"):
        raise ImpossibleValue(
            f"{original!r} cannot be read as one number with a unit",
            remedy=f'write it like "{example}" or "{example} ± {example.replace("4.40", "0.02")}"',
        )
    power = found["power"] or found["caret"] or found["signed"] or (found["raised"] or "0").translate(_RAISED)
    place = int(power) - len(digits.partition(".")[2])
    sign = "-" if found["sign"] == "-" else ""
    bracket = found["bracket"]
    return _Written(
        number=Decimal(f"{sign}{digits}").scaleb(int(power)),
        place=place,
        bracket=None if bracket is None else Decimal(bracket[1:-1]).scaleb(place),
        unit=rest,
    )


def _decimal_point(digits: str, decimal: str | None, original: str) -> str:
    """Digits with a point as decimal sign; refuses a comma that may part thousands."""
    signs = [sign for sign in digits if sign in ".,"]
    if not signs:
        return digits
    if decimal is not None:
        if signs != [decimal]:
            raise ImpossibleValue(
                f"{original!r} has other signs than one {decimal!r}",
                remedy=f"use {decimal!r} once, and spaces for thousands",
            )
        return digits.replace(decimal, ".")
    if len(signs) > 1:
        raise _many_signs(digits, len(signs), original)
    whole, _, part = digits.partition(signs[0])
    if signs[0] == "," and len(part) == 3 and 1 <= len(whole) <= 3 and whole.strip("0") != "":
        small, large = (_rewritten(original, digits, plain) for plain in (f"{whole}.{part}", whole + part))
        raise ImpossibleValue(
            f"{original!r} can be read in two ways: a comma may be the decimal sign or part thousands",
            remedy=f'write "{small}" or "{large}"',
        )
    return f"{whole}.{part}"


def _many_signs(digits: str, count: int, original: str) -> ImpossibleValue:
    """Error of a number with several points and commas."""
    grouped = _GROUPED.fullmatch(digits)
    if grouped is not None:
        thousands = grouped["whole"].replace(grouped["sign"], " ")
        part = f".{grouped['part']}" if grouped["part"] else ""
        return ImpossibleValue(
            f"{original!r} parts thousands by {grouped['sign']!r}, which may also be a decimal sign",
            remedy=f'write "{_rewritten(original, digits, thousands + part)}"',
        )
    many = {2: "two", 3: "three"}.get(count, str(count))
    return ImpossibleValue(
        f"{original!r} is no number: {digits!r} has {many} decimal signs",
        remedy='look at it again, and write it with one decimal sign, such as "4.40 V"',
    )


def _rewritten(original: str, digits: str, plain: str) -> str:
    """The text as typed, with its digits written otherwise."""
    return original.strip().replace(digits, plain, 1)


def _understood(
    text: str, expected: Unit | None, decimal: str | None, original: str
) -> tuple[Decimal, int, Spelling, Decimal | None]:
    """Number, place of its last digit, meaning of its unit and bracketed uncertainty of a value part."""
    letters = read_rkm(text, expected)
    if letters is not None:
        number, place, unit = letters
        return number, place, Spelling(unit, Decimal(1)), None
    written = _written(text, decimal, original, expected)
    if not written.unit:
        if expected is None or expected.symbol != "1":
            wanted = expected.symbol if expected is not None else "V"
            raise ImpossibleValue(
                f"{original!r} is a value without unit",
                remedy=f'write for instance "{text.strip()} {wanted}"',
            )
        return written.number, written.place, Spelling(expected, Decimal(1)), written.bracket
    spelling = _spelling_or_letter(written.unit, expected, spaced=" " in text.strip(), original=original)
    return written.number, written.place, spelling, written.bracket


def _spelling_or_letter(text: str, expected: Unit | None, *, spaced: bool, original: str) -> Spelling:
    """What a unit's text stands for; where nothing is expected a lone letter may tell the unit."""
    if expected is None and text in {"R", "k", "p", "n", "µ", "u"}:
        # IEC 60062 codes only resistance (R, K) and capacitance (p, n, µ).
        unit = unit_named("Ω" if text in {"R", "k"} else "F")
        return Spelling(unit, Decimal(1)) if text == "R" else find_spelling(text, expected=unit)
    if expected is None and text == "K" and not spaced:
        raise ImpossibleValue(f"{original!r} can mean kiloohm or kelvin", remedy='write "10 kΩ" or "10 K"')
    return find_spelling(text, expected=expected, within=original)


def _same_dimension(spelling: Spelling, expected: Unit, original: str) -> None:
    """Refuse a unit of another dimension than the one looked for."""
    if spelling.unit.dimension != expected.dimension:
        raise ImpossibleValue(
            f"{original!r} states {spelling.unit.dimension} [{spelling.unit.symbol}], "
            f"but {expected.dimension} [{expected.symbol}] is expected",
            remedy=f"give it in {expected.symbol}",
        )


def _kept(number: Decimal, spelling: Spelling, expected: Unit) -> Decimal:
    """Number in the kept unit."""
    return _difference(number, spelling, expected) + spelling.offset


def _difference(number: Decimal, spelling: Spelling, expected: Unit) -> Decimal:
    """Difference in the kept unit: no offset of scales."""
    scaled = number * spelling.factor
    if spelling.unit.size != expected.size:
        scaled = scaled * Decimal(spelling.unit.size) / Decimal(expected.size)
    return scaled


def _spread(
    text: str, value: Decimal, of_value: Spelling, expected: Unit, decimal: str | None, original: str
) -> Decimal:
    """Expanded uncertainty in the kept unit, from the text behind the ±."""
    written = _written(text, decimal, original)
    if written.number < 0 or written.bracket is not None:
        raise ImpossibleValue(
            f"{original!r} has no plain positive number behind the ±", remedy="write ± 0.02 V"
        )
    if not written.unit:
        return _difference(written.number, of_value, expected)
    celsius = expected.symbol == "°C"
    spelling = find_spelling(written.unit, expected=None if celsius else expected, within=original)
    if spelling.unit.dimension == "ratio" and expected.dimension != "ratio":
        return abs(value) * written.number * spelling.factor
    if celsius and spelling.unit.symbol == "K":
        return written.number * spelling.factor
    _same_dimension(spelling, expected, original)
    return _difference(written.number, spelling, expected)


def _finite(number: Decimal, original: str) -> float:
    """Nearest float; refuses what a float cannot hold."""
    nearest = float(number)
    if not math.isfinite(nearest) or (nearest == 0.0 and number != 0):
        raise ImpossibleValue(
            f"{original!r} is too large or too small to be held", remedy="stay between 1e-300 and 1e300"
        )
    return nearest + 0.0
