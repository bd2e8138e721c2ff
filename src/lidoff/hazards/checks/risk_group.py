"""Risk groups of lamps, by the distance that the standard asks for."""

from __future__ import annotations

import math

from lidoff.hazards.check import Hazard, HazardCheck, at_most
from lidoff.hazards.checks.light import assumed_of
from lidoff.hazards.limits import FROM_MEMORY, limit_table
from lidoff.hazards.shining import illuminance, irradiance, solid_angle_of
from lidoff.hazards.subject import Subject
from lidoff.hazards.told import Light
from lidoff.hazards.weights import ACTINIC, BLUE, NEAR_ULTRAVIOLET
from lidoff.quantities import Quantity, format_quantity

__all__ = ["GROUPS", "MEMBERS", "risk_group"]

GROUPS = ("exempt group", "risk group 1 (low)", "risk group 2 (moderate)", "risk group 3 (high)")


def risk_group(value: float, highest: tuple[float, float, float]) -> int:
    """Number of the risk group of a value, by the highest values of the groups below the last.

    Examples
    --------
    >>> risk_group(20.0, (10.0, 33.0, 100.0))
    1
    """
    return sum(value > most for most in highest)


def _look(subject: Subject) -> tuple[Hazard, ...]:
    return tuple(_group(light) for light in subject.lights if not light.spectrum or light.content is not None)


def _distance(light: Light) -> tuple[Quantity, str]:
    """Distance at which the group is told [m], with the reason."""
    row = limit_table("light_limits").entries["risk"]
    near = Quantity(row["distance"], "m")
    if light.use != "general lighting":
        return near, "for lamps that are not for general lighting"
    far = near.value * math.sqrt(illuminance(light, near) / row["illuminance"])
    if far <= near.value:
        return near, "as general lighting gives less than 500 lx even there"
    return Quantity(far, "m"), "where general lighting gives 500 lx"


def _group(light: Light) -> Hazard:
    row = limit_table("light_limits").entries["risk"]
    distance, why = _distance(light)
    size = light.read("source_size")
    found: list[tuple[int, str, Quantity, tuple[float, float, float]]] = []
    for key, action in (("actinic", ACTINIC), ("near_ultraviolet", NEAR_ULTRAVIOLET), ("blue", BLUE)):
        value, limits = irradiance(light, action, distance), tuple(row[key])
        large = limit_table("light_limits").entries["blue_radiance"]["large_from"]
        if key == "blue" and size is not None and size.value / distance.value > large:
            angle = solid_angle_of(size.value, distance.value)
            value = Quantity(value.value / angle, "W/(m²·sr)", value.uncertainty / angle)
            limits = tuple(row["blue_radiance"])
        found.append((risk_group(value.value, limits), action.title, value, limits))
    group, title, value, limits = max(found, key=lambda one: (one[0], one[2].value / one[3][0]))
    each = "; ".join(f"{told} {format_quantity(sum_)}, {GROUPS[number]}" for number, told, sum_, _ in found)
    return Hazard(
        check="risk group",
        title=f"light of {light.name.replace('_', ' ')}: {GROUPS[group]}",
        outcome=at_most(value, Quantity(limits[0], value.unit)),
        severity="note" if group < 2 else "caution",
        what=f"At {format_quantity(distance, digits=2)}, {why}: {each}. The highest of them, {title}, decides.",
        value=value,
        limit=Quantity(limits[0], value.unit),
        limit_says="highest of the exempt group",
        source=f"{row['source']} ({FROM_MEMORY})",
        from_memory=True,
        assumed=assumed_of(light),
        parts=light.parts,
        remedy="look for a risk group on the box; from group 2 on do not look into it, and cover it while working",
    )


MEMBERS = (
    HazardCheck(
        name="risk group",
        title="Risk group of lamps",
        look=_look,
        says="Which risk group of lamps a light falls into by its ultraviolet and blue light.",
        source="IEC 62471:2006, Table 6.1, from memory",
        cautions=("uv",),
        not_checked=(
            "heat of the retina and infrared, which the standard asks for as well",
            "pulsed light",
            "what a laboratory would measure",
        ),
    ),
)
