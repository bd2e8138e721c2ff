"""Quantity → text with the prefix people expect and the digits its uncertainty deserves."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal, localcontext
from functools import cache

from lidoff.errors import ImpossibleValue
from lidoff.quantities.quantity import Quantity
from lidoff.quantities.unit import PREFIXES, Unit
from lidoff.quantities.units import find_spelling

__all__ = ["format_quantity"]

DIGITS_WITHOUT_UNCERTAINTY = 4


def format_quantity(
    quantity: Quantity,
    *,
    digits: int | None = None,
    decimal: str = ".",
    with_uncertainty: bool = True,
    shown_in: str | None = None,
) -> str:
    """Text of a quantity for people: value ± expanded uncertainty, as `Quantity.expanded`, both in the same unit.

    The expanded uncertainty is given to one significant digit, or to two where it starts with 1, or with 2 and a digit
    that is not 0; the value ends at the same place, so rounding moves it by a quarter of the expanded uncertainty at most
    (JCGM 100:2008, 7.2.6 asks for at most two digits). Without uncertainty the value has four significant digits, trailing
    zeros dropped.

    Parameters
    ----------
    quantity : Quantity
        What to write.
    digits : int, optional
        Significant digits instead of the rule above, of the uncertainty where there is one, else of the value; trailing
        zeros stay.
    decimal : {".", ","}, optional
        Decimal sign.
    with_uncertainty : bool, optional
        Whether the ± part is written; the value keeps its deserved digits either way.
    shown_in : str, optional
        The unit to write in, such as "mAh" or "ms", instead of the one that fits the size.

    Returns
    -------
    str
        The text, without powers of ten.

    Raises
    ------
    ImpossibleValue
        `shown_in` is of another dimension, or `digits` or `decimal` cannot be.

    Examples
    --------
    >>> format_quantity(Quantity(0.00158, "A", 0.00002))
    '1.58 mA ± 0.04 mA'
    >>> format_quantity(Quantity(4700.0, "Ω"))
    '4.7 kΩ'
    """
    if decimal not in (".", ","):
        raise ImpossibleValue(f"decimal sign {decimal!r}", remedy='use "." or ","')
    if digits is not None and not 1 <= digits <= 15:
        raise ImpossibleValue(f"{digits} significant digits", remedy="ask for 1 to 15")
    with localcontext() as context:
        context.prec = 60
        value = Decimal(f"{quantity.value:.15g}")
        spread = Decimal(f"{quantity.expanded:.15g}")
        labels = _labels(quantity.kept_unit) if shown_in is None else {shown_in: _label(quantity, shown_in)}
        label, place = _chosen(quantity.kept_unit, value, spread, labels, digits)
        factor, offset = labels[label].factor, labels[label].offset
        number = _rounded((value - offset) / factor, place)
        text = _plain(number, place, strip=not spread and digits is None)
        tail = _tail(label)
        if spread and with_uncertainty:
            other = _plain(_rounded(spread / factor, place), place, strip=False)
            text = f"{text}{tail} ± {other}{tail}"
        else:
            text = f"{text}{tail}"
    return text.replace(".", ",") if decimal == "," else text


class _Label:
    """One way to show a unit: its factor, offset and the magnitude from which it is used."""

    __slots__ = ("factor", "offset", "start")

    def __init__(self, factor: Decimal, start: Decimal, offset: Decimal = Decimal(0)) -> None:
        self.factor = factor
        self.start = start
        self.offset = offset


@cache
def _labels(unit: Unit) -> Mapping[str, _Label]:
    """Ways to show a unit, smallest first."""
    if unit.shown:
        return {
            label: _Label(find_spelling(label, expected=unit).factor, Decimal(repr(start)))
            for label, start in unit.shown
        }
    ordered = sorted(("", *unit.prefixes), key=PREFIXES.__getitem__)
    return {prefix + unit.symbol: _Label(PREFIXES[prefix], PREFIXES[prefix]) for prefix in ordered}


def _label(quantity: Quantity, shown_in: str) -> _Label:
    """The unit asked for, as a label."""
    unit = quantity.kept_unit
    spelling = find_spelling(shown_in, expected=unit)
    if spelling.unit.dimension != unit.dimension:
        raise ImpossibleValue(
            f"{unit.dimension} in {unit.symbol} cannot be shown in {shown_in!r}",
            remedy=f"ask for a unit of {unit.dimension}",
        )
    between = Decimal(spelling.unit.size) / Decimal(unit.size)
    return _Label(spelling.factor * between, Decimal(0), spelling.offset)


def _chosen(
    unit: Unit, value: Decimal, spread: Decimal, labels: Mapping[str, _Label], digits: int | None
) -> tuple[str, int]:
    """Label that fits, and the power of ten of the last digit in it."""
    if not value and not spread:
        symbol = unit.symbol if unit.symbol in labels else list(labels)[-1]
        return symbol, _place(value, spread, digits)
    names = list(labels)
    index = 0
    for step, name in enumerate(names):
        if max(abs(value), spread) >= labels[name].start:
            index = step
    while True:
        label = labels[names[index]]
        place = _place((value - label.offset) / label.factor, spread / label.factor, digits)
        rounded = abs(_rounded((value - label.offset) / label.factor, place) * label.factor)
        larger = index + 1 < len(names)
        # Rounding can lift 999.96 Ω into the next prefix, and 1234 Ω ± 200 Ω has no digits below the hundreds.
        if larger and (rounded >= labels[names[index + 1]].start or (spread and place > 0)):
            index += 1
            continue
        return names[index], place


def _place(value: Decimal, spread: Decimal, digits: int | None) -> int:
    """Power of ten of the last digit that is shown."""
    if not spread:
        wanted = DIGITS_WITHOUT_UNCERTAINTY if digits is None else digits
        return _rounded_adjusted(value, wanted) - wanted + 1 if value else 0
    if digits is not None:
        return _rounded_adjusted(spread, digits) - digits + 1
    two = spread.adjusted() - 1
    kept = _rounded(spread, two)
    leading = int(kept.scaleb(-kept.adjusted()))
    second = int(kept.scaleb(1 - kept.adjusted())) % 10
    return kept.adjusted() - 1 if leading == 1 or (leading == 2 and second) else kept.adjusted()


def _rounded_adjusted(number: Decimal, digits: int) -> int:
    """Power of ten of the first digit once the number has been rounded to so many digits."""
    return _rounded(number, number.adjusted() - digits + 1).adjusted()


def _rounded(number: Decimal, place: int) -> Decimal:
    """Number rounded at a power of ten, halves away from zero as people do."""
    return number.quantize(Decimal(1).scaleb(place), rounding=ROUND_HALF_UP)


def _plain(number: Decimal, place: int, *, strip: bool) -> str:
    """Digits without powers of ten; a true minus sign."""
    text = f"{abs(number):.{max(0, -place)}f}"
    if strip and "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"−{text}" if number < 0 else text


def _tail(label: str) -> str:
    """Space and unit behind a number; a ratio has none, a degree of angle no space."""
    if label == "1":
        return ""
    return label if label == "°" else f" {label}"
