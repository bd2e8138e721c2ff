"""What a part's body says of its ratings, where the dossier tells none."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lidoff.circuit import Part
from lidoff.hazards.limits import limit_table
from lidoff.markings import Fact, decode
from lidoff.quantities import Quantity

__all__ = ["BodyRating", "has_mains_class", "rating_of_body"]

_SIZE = re.compile(r"(?<![\d.,])(\d{4,5})(?![\d.,])")
_WATTS = re.compile(r"(?<![\d.,])(\d+(?:[.,]\d+)?) ?(m?)W\b")
_AXIAL = re.compile(r"\baxial\b|\bleaded\b|\bwirewound\b|\bmetal film\b|\bcarbon film\b")
_CLASS = re.compile(r"\b[XY][1-4]\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyRating:
    """A rating that follows from the body.

    Attributes
    ----------
    value : float
        [W] or [V].
    why : str
        Where it comes from.
    """

    value: float
    why: str


def rating_of_body(part: Part, rating: str) -> BodyRating | None:
    """Power or voltage that a body of its size usually stands.

    Parameters
    ----------
    part : Part
        Its package is read: a power in words, or a resistor's chip size.
    rating : str
        Parameter that holds the rating, such as ``power_rating``.

    Returns
    -------
    BodyRating or None
        None where the body says nothing of it.

    Examples
    --------
    >>> rating_of_body(Part(reference="R1", kind="resistor", pins={}, package="0805"), "power_rating").value
    0.125
    """
    if rating == "power_rating":
        told = _WATTS.search(part.package)
        if told is not None:
            value = float(told[1].replace(",", ".")) * (1e-3 if told[2] else 1.0)
            return BodyRating(value=value, why=f"by its body ({part.package})")
    size = _SIZE.search(part.package)
    if part.kind != "resistor":
        return None
    if size is None:
        return _axial_voltage(part) if rating == "voltage_rating" else None
    if rating == "power_rating":
        power = _chip_power(size[1])
        return (
            None
            if power is None
            else BodyRating(value=power, why=f"usual for a chip resistor of size {size[1]}")
        )
    if rating == "voltage_rating":
        volts = limit_table("resistor_bodies").entries["voltage"].get(size[1])
        return (
            None
            if volts is None
            else BodyRating(value=volts, why=f"usual for a chip resistor of size {size[1]}")
        )
    return None


def _axial_voltage(part: Part) -> BodyRating | None:
    told = _WATTS.search(part.package)
    if told is None and _AXIAL.search(part.package) is None:
        return None
    power = float(told[1].replace(",", ".")) * (1e-3 if told[2] else 1.0) if told else 0.25
    rows = limit_table("resistor_bodies").entries["leaded"]
    volts = next((row["voltage"] for row in reversed(rows) if power >= row["power"]), rows[0]["voltage"])
    return BodyRating(value=volts, why=f"usual for a leaded resistor of {power:g} W")


def _chip_power(size: str) -> float | None:
    for meaning in decode(size):
        if meaning.what == "chip size":
            for fact in meaning.facts:
                if fact.name == "rated power as a resistor":
                    return _value(fact)
            return None
    return None


def _value(fact: Fact) -> float | None:
    return fact.value.value if isinstance(fact.value, Quantity) else None


def has_mains_class(part: Part) -> bool:
    """Whether a class of capacitors for the mains, such as X2, is printed on the part."""
    return _CLASS.search(f"{part.marking} {part.package}") is not None
