"""A small network of heat: parts warm surfaces, surfaces pass their heat on to others or to the room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lidoff.circuit import Solution, Waveforms, kind_of
from lidoff.circuit.kind import Array
from lidoff.hazards.heating import inside_air
from lidoff.hazards.limits import limit_table
from lidoff.hazards.loads import Ask, Load, loads_of
from lidoff.hazards.subject import Subject
from lidoff.hazards.told import Surface
from lidoff.quantities import Quantity, propagate

__all__ = ["Warmed", "air_around", "surface_temperature", "usual_room", "warmed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Warmed:
    """A surface in the situation where it is hottest.

    Attributes
    ----------
    surface : Surface
    temperature : Quantity
        [°C]
    load : Load
        Heat that passes it.
    room : Quantity
        At the end of its way [°C]; of a way that ends at a measured surface, that one's temperature.
    way : tuple of str
        Surfaces that its heat passes after it.
    """

    surface: Surface
    temperature: Quantity
    load: Load
    room: Quantity
    way: tuple[str, ...]


def surface_temperature(room: Quantity, *steps: tuple[Quantity, Quantity]) -> Quantity:
    """Steady temperature of a surface at the head of a way to the room.

    Parameters
    ----------
    room : Quantity
        Where the way ends [°C].
    *steps : (Quantity, Quantity)
        Heat that passes each surface on the way [W], and its thermal resistance to what follows [K/W].

    Returns
    -------
    Quantity
        T = T_room + Σ P·R [°C].

    Examples
    --------
    >>> surface_temperature(Quantity(25.0, "°C"), (Quantity(2.0, "W"), Quantity(9.0, "K/W"))).value
    43.0
    """

    def reckon(around: float, *pairs: float) -> float:
        return around + sum(
            watts * resistance for watts, resistance in zip(pairs[::2], pairs[1::2], strict=True)
        )

    return propagate(reckon, (room, *(one for step in steps for one in step)), unit="°C")


def usual_room() -> Quantity:
    """Temperature of the room where none is told."""
    return Quantity(limit_table("surface_heat").entries["room"], "°C")


def warmed(subject: Subject, surface: Surface) -> Warmed | None:
    """Temperature of a surface by the heat of the parts, in the situation where it is hottest.

    Parameters
    ----------
    subject : Subject
    surface : Surface
        With a thermal resistance.

    Returns
    -------
    Warmed or None
        None where it, or one on its way, has no resistance, or where nothing was solved.
    """
    way = _way(subject, surface)
    end = way[-1]
    measured = end.read("temperature")
    passing = way if measured is None else way[:-1]
    resistances = [one.read("resistance") for one in passing]
    if not passing or None in resistances:
        return None
    heat = [
        {load.situation: load for load in loads_of(subject, _heat(subject, one), "W", "mean")}
        for one in passing
    ]
    room = measured if measured is not None else end.read("room") or usual_room()
    found = []
    for situation, load in heat[0].items():
        steps = [
            (loads[situation].value, resistance)
            for loads, resistance in zip(heat, resistances, strict=True)
            if resistance is not None and situation in loads
        ]
        found.append(
            Warmed(
                surface=surface,
                temperature=surface_temperature(room, *steps),
                load=load,
                room=room,
                way=tuple(one.name for one in way[1:]),
            )
        )
    return max(found, key=lambda one: one.temperature.value, default=None)


def air_around(subject: Subject, reference: str) -> tuple[Quantity, str]:
    """Temperature around a part: of the surface that it is told to warm, else of the usual inside of a case.

    Parameters
    ----------
    subject : Subject
    reference : str
        Of the part.

    Returns
    -------
    (Quantity, str)
        [°C], and where it comes from.
    """
    for surface in subject.surfaces:
        if reference in surface.parts and surface.resistance:
            found = warmed(subject, surface)
            if found is not None:
                return found.temperature, f"the surface {surface.name.replace('_', ' ')} around it"
    return inside_air(), "air inside the case"


def _way(subject: Subject, surface: Surface) -> list[Surface]:
    """The surface and those that its heat passes after it."""
    surfaces = {one.name: one for one in subject.surfaces}
    way = [surface]
    while way[-1].to in surfaces and len(way) <= len(surfaces):
        way.append(surfaces[way[-1].to])
    return way


def _heat(subject: Subject, surface: Surface) -> Ask:
    """Heat of all parts whose heat passes a surface."""
    references = _passing(subject, surface)

    def ask(solved: Solution | Waveforms) -> Array:
        total: Array = np.array([solved.power(reference) for reference in references]).sum(axis=0)
        return total

    return ask


def _passing(subject: Subject, surface: Surface) -> Sequence[str]:
    all_of_it = [part.reference for part in subject.circuit.parts if not kind_of(part).supplies]
    if not surface.parts:
        return all_of_it
    found = dict.fromkeys(surface.parts)
    for other in subject.surfaces:
        if other.name != surface.name and surface.name in [one.name for one in _way(subject, other)]:
            found.update(dict.fromkeys(other.parts or all_of_it))
    return tuple(found)
