"""Readings that say something of a part's current or voltage, also by way of the parts in series with it."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence

from lidoff.circuit import kind_of
from lidoff.evidence import AcrossPart, Comparison, InPart, NetVoltage
from lidoff.insight.block import Beside
from lidoff.insight.view import View
from lidoff.insight.wording import told_parts
from lidoff.quantities import Quantity

__all__ = ["across_read", "current_read", "in_series", "voltage_read"]


def in_series(view: View, reference: str) -> frozenset[str]:
    """Parts that carry the same current, wires among them.

    Parameters
    ----------
    view : View
    reference : str
        A part.

    Returns
    -------
    frozenset of str
        The part itself, and the two-pin parts that follow it through nets which nothing else touches.
    """
    return view.series.get(reference, frozenset({reference}))


def current_read(view: View, comparisons: Sequence[Comparison], reference: str) -> list[Beside]:
    """Readings of a part's current: of it, of parts in series with it, and of the voltage across resistors among them."""
    alike = in_series(view, reference)
    twins = {name: one for one in view.parts for name in one.references if one.twins}
    found = []
    for one in comparisons:
        target = one.measured.reading.target
        if isinstance(target, AcrossPart | InPart) and target.reference in twins:
            stands = twins[target.reference].reference
            if stands not in alike or isinstance(target, InPart):
                # The current of one resistor of several side by side is not that of all of them.
                continue
            quantity = _over_resistance(view, stands, one.measured.quantity)
            if quantity is not None:
                names = told_parts(twins[target.reference].references)
                found.append(_read(one, quantity, f"voltage across {names} over their resistance"))
        elif isinstance(target, InPart) and target.what == "current" and target.reference in alike:
            found.append(_read(one, one.measured.quantity, ""))
        elif isinstance(target, AcrossPart) and target.reference in alike:
            quantity = _over_resistance(view, target.reference, one.measured.quantity)
            if quantity is not None:
                found.append(_read(one, quantity, f"voltage across {target.reference} over its resistance"))
    return found


def _over_resistance(view: View, reference: str, volts: Quantity) -> Quantity | None:
    """Current that a voltage across a resistor tells, with the resistor's tolerance."""
    one = view.by_reference.get(reference)
    if one is None or one.kind != "resistor":
        return None
    ohms = one.value("resistance")
    if not ohms:
        return None
    spread = one.part.spreads.get(
        "resistance", kind_of(one.part).parameters_of(one.part)["resistance"].spread
    ).standard(ohms)
    value = abs(volts.value) / ohms
    return Quantity(value, "A", math.hypot(volts.uncertainty / ohms, value * spread / ohms))


def across_read(comparisons: Sequence[Comparison], references: Collection[str]) -> list[Beside]:
    """Readings of the voltage across parts."""
    return [
        _read(one, one.measured.quantity, "")
        for one in comparisons
        if isinstance(target := one.measured.reading.target, AcrossPart) and target.reference in references
    ]


def voltage_read(view: View, comparisons: Sequence[Comparison], net: str) -> list[Beside]:
    """Readings of a joined net's voltage against the ground."""
    found = []
    for one in comparisons:
        target = one.measured.reading.target
        if isinstance(target, NetVoltage) and view.joined.get(target.net) == net:
            against = view.joined.get(target.against, view.ground) if target.against else view.ground
            if against == view.ground:
                found.append(_read(one, one.measured.quantity, ""))
    return found


def _read(one: Comparison, quantity: Quantity, how: str) -> Beside:
    return Beside(what=one.reading, situation=one.measured.reading.situation, quantity=quantity, how=how)
