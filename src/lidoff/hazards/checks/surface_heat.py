"""Whether surfaces that are touched get too hot: as measured, or by the heat of the parts beneath."""

from __future__ import annotations

from lidoff.evidence import titled
from lidoff.hazards.check import Hazard, HazardCheck, at_most
from lidoff.hazards.limits import limit_table
from lidoff.hazards.loads import Load
from lidoff.hazards.subject import Subject
from lidoff.hazards.thermal import in_usual_room, usual_room, warmed
from lidoff.hazards.told import Surface
from lidoff.hazards.words import listed
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS", "surface_limits"]


def surface_limits(material: str, touch: str) -> tuple[float, float]:
    """Temperatures up to which a touched surface hurts nobody, and from which it burns [°C].

    Examples
    --------
    >>> surface_limits("metal", "1 s to 10 s")
    (60.0, 70.0)
    """
    table = limit_table("surface_heat").entries
    return table["felt"][touch][material], table["burns"][touch][material]


def _look(subject: Subject) -> tuple[Hazard, ...]:
    return tuple(_answer(subject, surface) for surface in subject.surfaces)


def _answer(subject: Subject, surface: Surface) -> Hazard:
    measured = surface.read("temperature")
    if measured is not None:
        return _measured(surface, measured)
    found = warmed(subject, surface)
    if found is None:
        why = (
            f"the reading {surface.reading} gives no temperature" if surface.reading else "nothing was solved"
        )
        return _told(
            surface,
            None,
            f"The temperature of {_name(surface)} is not known: {why}.",
            remedy="measure it with a thermocouple under tape",
        )
    load = found.load
    through = f" and {listed(found.way)}" if found.way else ""
    what = (
        f"{format_quantity(load.value)} of heat pass {_name(surface)} ({load.seen} in {titled(load.situation)}); through "
        f"{surface.resistance}{through} to {format_quantity(found.room)} it comes to {format_quantity(found.temperature)}"
    )
    return _told(surface, found.temperature, what, load=load)


def _measured(surface: Surface, measured: Quantity) -> Hazard:
    """The temperature as measured, carried over to the room for which the limits hold."""
    room = surface.read("room")
    if room is None:
        return _told(
            surface, measured, f"{_name(surface).capitalize()} was measured at {format_quantity(measured)}"
        )
    usual = usual_room()
    found = in_usual_room(measured, room)
    return _told(
        surface,
        found,
        f"{_name(surface).capitalize()} was measured at {format_quantity(measured)} in a room of {format_quantity(room)}, so "
        f"it would come to {format_quantity(found)} at {format_quantity(usual)}",
    )


def _name(surface: Surface) -> str:
    return f"the surface {surface.name.replace('_', ' ')}"


def _told(
    surface: Surface, found: Quantity | None, what: str, *, load: Load | None = None, remedy: str = ""
) -> Hazard:
    table = limit_table("surface_heat")
    felt, burns = surface_limits(surface.material, surface.touch)
    limit = Quantity(felt, "°C")
    outcome = "cannot tell" if found is None else at_most(found, limit)
    burning = "within the limit" if found is None else at_most(found, Quantity(burns, "°C"))
    grave = burning != "within the limit"  # what may burn is as grave as what does
    says = (
        "can burn skin"
        if burning == "beyond the limit"
        else "may burn skin"
        if grave
        else "too hot to touch"
        if outcome == "beyond the limit"
        else "and its heat"
    )
    if found is not None:
        what += (
            f"; {surface.material} touched {_time(surface.touch)} may have {format_quantity(limit)}, and can burn skin from "
            f"{format_quantity(Quantity(burns, '°C'))}."
        )
    assumed = [] if load is None else ["all heat of these parts leaves through it", *load.assumed]
    if found is not None and load is None and not surface.room:
        assumed.append("measured in a room of 25 °C")
    situations = [load.situation] if load is not None else [surface.situation] if surface.situation else []
    return Hazard(
        check="surface heat",
        title=f"{_name(surface)} {says}",
        outcome=outcome,
        severity="fault" if grave else "caution",
        what=what,
        value=found,
        limit=limit if found is not None else None,
        limit_says=f"{surface.material}, touched {_time(surface.touch)}",
        source=table.words,
        from_memory=True,
        assumed=tuple(assumed),
        parts=surface.parts,
        situations=tuple(situations),
        remedy=remedy
        or "let it cool before touching; measure again after an hour of full load, in the place it is used",
    )


def _time(touch: str) -> str:
    return "in the hand" if touch == "held" else f"for {touch.replace('below', 'less than')}"


MEMBERS = (
    HazardCheck(
        name="surface heat",
        title="Heat of surfaces",
        look=_look,
        says="Whether each told surface gets too hot for its material and the time it is touched.",
        source="IEC 62368-1:2018, Table 38, from memory; T = T_room + P·R",
        cautions=("heat",),
        not_checked=(
            "surfaces that the dossier does not tell",
            "sun, blankets, and faults",
            "how warm it gets over hours where it was measured sooner",
        ),
    ),
)
