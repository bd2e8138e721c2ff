"""What the hazard checks look at: the circuit with its solutions, and what the dossier tells beside it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from lidoff.circuit import (
    Circuit,
    Part,
    Situation,
    Solution,
    Spreading,
    Tolerance,
    Waveforms,
    kind_of,
    periodic_steady_state,
    settings_of,
)
from lidoff.circuit.kind import Array
from lidoff.errors import LidoffError
from lidoff.hazards.told import Distance, Light
from lidoff.quantities import Quantity

__all__ = ["Repeating", "Subject", "is_alternating", "is_connected", "is_unpluggable", "unplugged"]

COARSE = Tolerance(relative=1e-3)
"""Peaks and effective values to a thousandth, where limits are known to a percent at best."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Repeating:
    """The waveform of one situation, or why there is none.

    Attributes
    ----------
    situation : Situation
    waveforms : Waveforms or None
        One period.
    why : str
        Why there is none.
    stands_for : tuple of str
        Further situations with the same supplies, for which it is taken as well.
    """

    situation: Situation
    waveforms: Waveforms | None
    why: str = ""
    stands_for: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class Subject:
    """One device, as far as the checks know it.

    Attributes
    ----------
    circuit : Circuit
    situations : mapping of str to Situation
        Those that settled, by name.
    place : mapping of str to int
        Sample of each in `spreading`.
    spreading : Spreading or None
        Operating points with their spread; None without a circuit.
    distances : tuple of Distance
    lights : tuple of Light
    """

    circuit: Circuit
    situations: Mapping[str, Situation] = field(default_factory=dict)
    place: Mapping[str, int] = field(default_factory=dict)
    spreading: Spreading | None = None
    distances: tuple[Distance, ...] = ()
    lights: tuple[Light, ...] = ()

    def at_rest(self, ask: Callable[[Solution], Array], unit: str) -> Mapping[str, Quantity]:
        """Any number of the solution in every settled situation, with its spread."""
        if self.spreading is None:
            return {}
        prediction = self.spreading.of(ask)
        numbers = {
            name: (float(prediction.value[index]), float(prediction.uncertainty[index]))
            for name, index in self.place.items()
        }
        return {
            name: Quantity(value, unit, spread)
            for name, (value, spread) in numbers.items()
            if np.isfinite(value) and np.isfinite(spread)
        }

    def alternates(self, situation: Situation) -> bool:
        """Whether a supply that changes with time is connected."""
        return any(is_alternating(part) and is_connected(part, situation) for part in self.circuit.parts)

    @cached_property
    def repeating(self) -> tuple[Repeating, ...]:
        """Waveforms of the situations in which a supply alternates, one for each setting of the supplies."""
        groups: dict[tuple[tuple[tuple[str, float], ...], ...], list[Situation]] = {}
        for situation in self.situations.values():
            if self.alternates(situation):
                fed = tuple(
                    tuple(settings_of(part, situation.settings.get(part.reference)).items())
                    for part in self.circuit.parts
                    if kind_of(part).supplies
                )
                groups.setdefault(fed, []).append(situation)
        return tuple(_repeating(self.circuit, group) for group in groups.values())


def _repeating(circuit: Circuit, group: list[Situation]) -> Repeating:
    first, others = group[0], tuple(situation.name for situation in group[1:])
    try:
        waveforms = periodic_steady_state(circuit, situation=first, tolerance=COARSE, points=25)
    except LidoffError as error:
        return Repeating(situation=first, waveforms=None, why=error.what, stands_for=others)
    return Repeating(situation=first, waveforms=waveforms, stands_for=others)


def is_alternating(part: Part) -> bool:
    """Whether the part drives the circuit with something that changes with time."""
    kind = kind_of(part)
    return kind.supplies and any(element.law.timed for element in kind.elements(part))


def is_connected(part: Part, situation: Situation) -> bool:
    """Whether a supply drives the circuit in the situation."""
    return settings_of(part, situation.settings.get(part.reference)).get("connected", 1.0) > 0.0


def is_unpluggable(part: Part) -> bool:
    """Whether the part is a supply from outside, rather than a cell that stays when the plug is pulled."""
    kind = kind_of(part)
    parameter = kind.parameters_of(part).get("connected")
    return kind.supplies and parameter is not None and "disconnected" in parameter.words


def unplugged(circuit: Circuit, situation: Situation) -> Situation:
    """Return the situation with every supply from outside disconnected."""
    settings = {reference: dict(values) for reference, values in situation.settings.items()}
    for part in circuit.parts:
        if is_unpluggable(part):
            settings.setdefault(part.reference, {})["connected"] = "disconnected"
    return Situation(name=f"{situation.name}, unplugged", settings=settings)
