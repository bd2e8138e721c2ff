"""Risk groups of lamps, by the distance that the standard asks for."""

from __future__ import annotations

import math
from collections.abc import Sequence

from lidoff.hazards.check import Hazard, HazardCheck, at_most
from lidoff.hazards.checks.light import assumed_of
from lidoff.hazards.limits import FROM_MEMORY, limit_table
from lidoff.hazards.shining import illuminance, irradiance, solid_angle_of
from lidoff.hazards.subject import Subject
from lidoff.hazards.told import Light
from lidoff.hazards.weights import ACTINIC, BLUE, NEAR_ULTRAVIOLET
from lidoff.hazards.words import listed
from lidoff.quantities import Quantity, format_quantity

__all__ = ["GROUPS", "MEMBERS", "risk_group", "risk_groups"]

GROUPS = ("exempt group", "risk group 1 (low)", "risk group 2 (moderate)", "risk group 3 (high)")


def risk_group(value: float, highest: tuple[float, float, float]) -> int:
    """Number of the risk group of a value, by the highest values of the groups below the last.

    Examples
    --------
    >>> risk_group(20.0, (10.0, 33.0, 100.0))
    1
    """
    return sum(value > most for most in highest)


def risk_groups(value: Quantity, highest: tuple[float, float, float]) -> tuple[int, int]:
    """Lowest and highest risk group that a value's expanded uncertainty leaves.

    Examples
    --------
    >>> risk_groups(Quantity(30.0, "W/m²", 6.5), (10.0, 33.0, 100.0))
    (1, 2)
    """
    return risk_group(value.value - value.expanded, highest), risk_group(
        value.value + value.expanded, highest
    )


def _named(lowest: int, highest: int) -> str:
    """Groups as a person names them."""
    if lowest == highest:
        return GROUPS[lowest]
    return f"{GROUPS[lowest]} {'or' if highest == lowest + 1 else 'to'} {GROUPS[highest]}"


def _look(subject: Subject) -> tuple[Hazard, ...]:
    alike: dict[tuple[object, ...], list[Light]] = {}
    for light in subject.lights:
        if not light.spectrum or light.content is not None:
            found = _group([light])
            alike.setdefault((found.what, found.assumed, found.parts), []).append(light)
    return tuple(map(_group, alike.values()))


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


def _group(alike: Sequence[Light]) -> Hazard:
    """Answer for a light, and for others that differ from it in distance and time alone, of which a group says nothing."""
    light = alike[0]
    names = listed([one.name.replace("_", " ") for one in alike])
    row = limit_table("light_limits").entries["risk"]
    distance, why = _distance(light)
    size = light.read("source_size")
    found: list[tuple[tuple[int, int], str, Quantity, tuple[float, float, float]]] = []
    for key, action in (("actinic", ACTINIC), ("near_ultraviolet", NEAR_ULTRAVIOLET), ("blue", BLUE)):
        value, limits = irradiance(light, action, distance), tuple(row[key])
        large = limit_table("light_limits").entries["blue_radiance"]["large_from"]
        if key == "blue" and size is not None and size.value / distance.value > large:
            angle = solid_angle_of(size.value, distance.value)
            value = Quantity(value.value / angle, "W/(m²·sr)", value.uncertainty / angle)
            limits = tuple(row["blue_radiance"])
        found.append((risk_groups(value, limits), action.title, value, limits))
    lowest = max(groups[0] for groups, _, _, _ in found)
    (_, highest), title, value, limits = max(
        found, key=lambda one: (one[0][1], one[0][0], one[2].value / one[3][0])
    )
    each = "; ".join(f"{told} {format_quantity(sum_)}, {_named(*groups)}" for groups, told, sum_, _ in found)
    # Where the group is sure, the exempt group's end is what it is held against; else the end that leaves it open.
    open_at = lowest if highest > lowest else 0
    limit = Quantity(limits[open_at], value.unit)
    return Hazard(
        check="risk group",
        title=f"light of {names}: {_named(lowest, highest)}",
        outcome=at_most(value, limit),
        severity="note" if highest < 2 else "caution",
        what=f"At {format_quantity(distance, digits=2)}, {why}: {each}. The highest of them, {title}, decides.",
        value=value,
        limit=limit,
        limit_says=f"highest of {'the ' if open_at == 0 else ''}{GROUPS[open_at]}",
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
