"""How hot the inside of a part gets by its own power: temperature of the air around it plus power times thermal resistance."""

from __future__ import annotations

import re

from lidoff.circuit import Part
from lidoff.hazards.limits import limit_table
from lidoff.quantities import Quantity, propagate

__all__ = ["body_resistance", "inside_air", "junction_limit", "junction_temperature"]


def body_resistance(part: Part) -> tuple[Quantity, str] | None:
    """Thermal resistance from junction to air, by the part's body.

    Parameters
    ----------
    part : Part
        Its package is read.

    Returns
    -------
    (Quantity, str) or None
        [K/W] with its spread, and the body it was taken for; None where the body is not in the table.

    Examples
    --------
    >>> found = body_resistance(Part(reference="Q1", kind="npn", pins={}, package="SOT-23"))
    >>> found[0].value
    250.0
    """
    table = limit_table("thermal_bodies").entries
    # The longest name first, as SOT-23-5 also reads as SOT-23.
    for body in sorted(table["bodies"], key=len, reverse=True):
        if re.search(rf"(?<![\w.,-]){re.escape(body)}(?![\w-])", part.package, re.IGNORECASE):
            value = table["bodies"][body]
            return Quantity(value, "K/W", 0.5 * table["spread"] * value), body
    return None


def junction_limit(kind: str) -> float | None:
    """Highest usual junction temperature of a kind of part [°C]; None for kinds without one."""
    limit: float | None = limit_table("thermal_bodies").entries["junction"].get(kind)
    return limit


def inside_air() -> Quantity:
    """Temperature of the air around the parts where nothing is told."""
    table = limit_table("thermal_bodies").entries
    return Quantity(table["inside"], "°C", 0.5 * table["inside_spread"])


def junction_temperature(power: Quantity, resistance: Quantity, air: Quantity) -> Quantity:
    """Steady temperature of a junction.

    Parameters
    ----------
    power : Quantity
        Turned into heat [W].
    resistance : Quantity
        From junction to air [K/W].
    air : Quantity
        Around the part [°C].

    Returns
    -------
    Quantity
        T = T_air + P·R [°C].

    Examples
    --------
    >>> junction_temperature(Quantity(0.2, "W"), Quantity(300.0, "K/W"), Quantity(35.0, "°C")).value
    95.0
    """
    return propagate(
        lambda watts, kelvin_per_watt, around: around + watts * kelvin_per_watt,
        (power, resistance, air),
        unit="°C",
    )
