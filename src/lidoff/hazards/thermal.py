"""A small network of heat: parts warm surfaces, surfaces pass their heat on to others or to the room."""

from __future__ import annotations

import math
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

__all__ = [
    "Warmed",
    "air_around",
    "in_usual_room",
    "measured_warmth",
    "surface_temperature",
    "usual_room",
    "warmed",
]


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
    measured = measured_warmth(end)
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


def measured_warmth(surface: Surface) -> Quantity | None:
    """Temperature of a surface as measured, carried over to the usual room [°C]; None where it was not measured."""
    measured, room = surface.read("temperature"), surface.read("room")
    return measured if measured is None or room is None else in_usual_room(measured, room)


def in_usual_room(measured: Quantity, room: Quantity) -> Quantity:
    """Temperature that something measured in a room of its own would have in the usual one [°C]."""
    usual = usual_room()
    return propagate(lambda hot, around: hot + usual.value - around, (measured, room), unit="°C")


def air_around(subject: Subject, reference: str) -> tuple[Quantity, str]:
    """Temperature around a part.

    Parameters
    ----------
    subject : Subject
    reference : str
        Of the part.

    Returns
    -------
    (Quantity, str)
        [°C], and where it comes from: a surface that lists the part and is reckoned, else the usual inside of a case;
        no cooler than a surface that all heat, or the heat of this part, leaves through, since heat only flows
        from hot to cold. Behind a surface it may be hotter still, so that one adds the spread of the usual inside.
    """
    usual = inside_air()
    found = (usual, "air inside the case")
    behind = []
    for surface in subject.surfaces:
        if surface.parts and reference not in surface.parts:
            continue
        name = f"the surface {surface.name.replace('_', ' ')}"
        measured = measured_warmth(surface)
        reckoned = warmed(subject, surface) if measured is None and surface.resistance else None
        if measured is not None:
            behind.append((measured, f"air inside no cooler than {name}, as measured,"))
        elif reckoned is not None and surface.parts:
            found = (reckoned.temperature, f"{name} around it")
        elif reckoned is not None:
            behind.append((reckoned.temperature, f"air inside no cooler than {name}"))
    hottest, around = max(behind, key=lambda one: one[0].value, default=found)
    if hottest.value <= found[0].value:
        return found
    return Quantity(hottest.value, "°C", math.hypot(hottest.uncertainty, usual.uncertainty)), around


def _way(subject: Subject, surface: Surface) -> list[Surface]:
    """The surface and those that its heat passes after it, as far as one that was measured."""
    surfaces = {one.name: one for one in subject.surfaces}
    way = [surface]
    while way[-1].to in surfaces and len(way) <= len(surfaces) and way[-1].read("temperature") is None:
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
