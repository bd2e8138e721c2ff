"""Values with the prefix or unit letter in place of the decimal point: 4k7, 2R2, 100n, 4V7.

The letters for resistance and capacitance follow IEC 60062 (from memory: R, K, M, G, T and p, n, µ, m, F); the small
k, u for µ and the unit letters V, A, H, W are common practice, no source.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal

from lidoff.errors import ImpossibleValue
from lidoff.quantities.unit import PREFIXES, Unit
from lidoff.quantities.units import unit_named

__all__ = ["format_rkm", "read_rkm"]

_INNER = re.compile(r"([0-9]{1,9})([A-Za-zµ])([0-9]{1,9})")
_LEADING = re.compile(r"([A-Za-zµ])([0-9]{1,9})")
_LETTERS = {"u": "µ", "K": "k", "r": "R"}
# What a letter alone tells where no unit is expected; M, G, T, m could be anything and tell nothing.
_TELLS = {"R": "Ω", "k": "Ω", "p": "F", "n": "F", "µ": "F", "V": "V", "A": "A", "F": "F", "H": "H", "W": "W"}
_ONE_LETTER = {"Ω": "R", "F": "F", "H": "H", "V": "V", "A": "A", "W": "W"}


def read_rkm(text: str, expected: Unit | None) -> tuple[Decimal, int, Unit] | None:
    """Value, place of the last digit and unit of a text whose letter stands for the decimal point.

    Parameters
    ----------
    text : str
        Text without spaces around it.
    expected : Unit or None
        The unit looked for; without it only the letters that tell a unit are read.

    Returns
    -------
    tuple of Decimal, int, Unit, or None
        Value in the unit, power of ten of its last digit, unit; None where the text is not of this form.

    Examples
    --------
    >>> read_rkm("4k7", None)[0]
    Decimal('4700')
    """
    inner = _INNER.fullmatch(text)
    leading = _LEADING.fullmatch(text) if inner is None else None
    if inner is not None:
        whole, letter, part = inner.groups()
    elif leading is not None and expected is not None:
        # A leading letter with no unit expected could as well be a part's reference: R47, C12.
        whole, letter, part = "0", *leading.groups()
    else:
        return None
    letter = _LETTERS.get(letter, letter)
    if expected is None:
        symbol = _TELLS.get(letter)
        if symbol is None:
            return None
        unit = unit_named(symbol)
    else:
        unit = expected
    if letter == _ONE_LETTER.get(unit.symbol):
        factor = Decimal(1)
    elif letter in unit.prefixes and unit.bare_prefix:
        factor = PREFIXES[letter]
    else:
        return None
    exponent = factor.adjusted() - len(part)
    return Decimal(f"{whole}.{part}") * factor + 0, exponent, unit


def format_rkm(value: float, unit: str, *, digits: int = 4) -> str:
    """Value with the prefix or unit letter as the decimal point.

    Parameters
    ----------
    value : float
        Value from zero up, in `unit`; rounded to `digits` significant digits.
    unit : str
        "Ω", "F", "H", "V", "A" or "W".
    digits : int, optional
        Significant digits kept.

    Returns
    -------
    str
        The text; trailing zeros behind the letter are left out.

    Raises
    ------
    ImpossibleValue
        The value is negative, not finite or beyond the prefixes, or the unit has no letter.

    Examples
    --------
    >>> format_rkm(4700, "Ω"), format_rkm(1e-7, "F"), format_rkm(2.2, "Ω"), format_rkm(0.47, "Ω")
    ('4k7', '100n', '2R2', 'R47')
    """
    letter = _ONE_LETTER.get(unit)
    if letter is None:
        raise ImpossibleValue(
            f"{unit!r} has no letter that stands for a decimal point",
            remedy="use one of " + ", ".join(_ONE_LETTER),
        )
    if not math.isfinite(value) or value < 0.0:
        raise ImpossibleValue(f"{value} {unit} has no letter form", remedy="give a finite value from zero up")
    rounded = Decimal(f"{value:.{digits - 1}e}")
    if rounded == 0:
        return f"0{letter}"
    steps = {name: PREFIXES[name] for name in ("", *unit_named(unit).prefixes)}
    if unit == "Ω":  # small resistances are written R47, R005, not with m, µ
        steps = {name: factor for name, factor in steps.items() if factor >= 1}
    fitting = [name for name in steps if steps[name] <= rounded]
    name = max(fitting, key=steps.__getitem__) if fitting else min(steps, key=steps.__getitem__)
    whole, _, part = f"{rounded / steps[name]:f}".partition(".")
    part = part.rstrip("0")
    if len(whole) > 4 or len(part) > 9:
        raise ImpossibleValue(
            f"{value:g} {unit} is beyond the letters", remedy="write it with its unit instead"
        )
    point = name or letter
    return f"{whole if whole != '0' else ''}{point}{part}" if part else f"{whole}{point}"
