"""What the hazard checks look at: the circuit with its solutions, and what the dossier tells beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields
from functools import cached_property
from typing import TYPE_CHECKING

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
    rests_on_loose,
    settings_of,
)
from lidoff.circuit.kind import Array
from lidoff.errors import LidoffError
from lidoff.hazards.told import CellTold, Distance, Laser, Light, Surface
from lidoff.hazards.words import listed
from lidoff.quantities import Quantity

if TYPE_CHECKING:
    from lidoff.hazards.fault_effect import FaultEffect
    from lidoff.hazards.stress import Stress

__all__ = [
    "Loose",
    "Repeating",
    "Subject",
    "alternating_supplies",
    "changing_parts",
    "found_repeating",
    "half_full",
    "is_alternating",
    "is_connected",
    "is_unpluggable",
    "patterned_pins",
    "unplugged",
]

COARSE = Tolerance(relative=1e-3)
"""Peaks and effective values to a thousandth, where limits are known to a percent at best."""
POINTS = 50
"""At least so many steps a period: with fewer, the steps themselves cost some thousandths of a reactive current."""
MOST_WAVEFORMS = 4
"""So many situations are followed each for itself, at a tenth to half a second each."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Loose:
    """A voltage that hangs on nets which nothing fixes.

    Attributes
    ----------
    nets : tuple of str
        Those nets.
    lowest, highest : float
        Between which it lies where only leakage decides: what is loose is not all above, nor all below, the rest [V].
    """

    nets: tuple[str, ...]
    lowest: float
    highest: float

    @property
    def most(self) -> Quantity:
        """Largest size."""
        return Quantity(max(self.highest, -self.lowest), "V")


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
    lasers : tuple of Laser
    surfaces : tuple of Surface
    cells : tuple of CellTold
    accessible : tuple of str
        Nets that can be touched from outside.
    touched : mapping of str to tuple of str
        For each such net, what the dossier calls it there; a wire may join that to a net of another name.
    protection_class : str
        Class of protection against electric shock as printed on the device; empty where not told.
    words : tuple of str
        What the dossier says in prose: notes, what parts do, cautions.
    """

    circuit: Circuit
    situations: Mapping[str, Situation] = field(default_factory=dict)
    place: Mapping[str, int] = field(default_factory=dict)
    spreading: Spreading | None = None
    distances: tuple[Distance, ...] = ()
    lights: tuple[Light, ...] = ()
    lasers: tuple[Laser, ...] = ()
    surfaces: tuple[Surface, ...] = ()
    cells: tuple[CellTold, ...] = ()
    accessible: tuple[str, ...] = ()
    touched: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    protection_class: str = ""
    words: tuple[str, ...] = ()

    def touchable(self, net: str) -> str:
        """What can be touched as the dossier calls it, such as a shell that a screw joins to a net of another name."""
        told = [name for name in self.touched.get(net, ()) if name != net]
        return f"{listed(told)} (net {net})" if told else net

    def the_touchable(self, net: str) -> str:
        """The same at the head of a sentence."""
        name = self.touchable(net)
        return f"The net {net}" if name == net else name[0].upper() + name[1:]

    def at_rest(self, ask: Callable[[Solution], Array], unit: str) -> Mapping[str, Quantity]:
        """Any number of the solution in every settled situation, with its spread; none that hangs on what nothing fixes."""
        if self.spreading is None:
            return {}
        prediction = self.spreading.of(ask)
        unknown = self.unfixed(ask) if unit == "V" else self._hanging(ask)
        numbers = {
            name: (float(prediction.value[index]), float(prediction.uncertainty[index]))
            for name, index in self.place.items()
        }
        return {
            name: Quantity(value, unit, spread)
            for name, (value, spread) in numbers.items()
            if np.isfinite(value) and np.isfinite(spread) and name not in unknown
        }

    def unfixed(self, ask: Callable[[Solution], Array]) -> Mapping[str, Loose]:
        """How far the answer, a voltage, may go in each situation where it hangs on nets that nothing fixes."""
        if self.spreading is None:
            return {}
        solution = self.spreading.solution
        adrift = {
            name: (*solution.adrift[index], *self._islands(index)) for name, index in self.place.items()
        }
        plain, found = ask(solution), dict[str, Loose]()
        for nets in {nets for groups in adrift.values() for nets in groups}:
            moves = ask(_Moved.by_a_volt(solution, nets)) - plain
            for name, index in self.place.items():
                if nets not in adrift[name] or abs(moves[index]) < 1e-6:
                    continue
                volts = float(plain[index])
                known = found.get(name, Loose(nets=(), lowest=volts, highest=volts))
                ways = [float(moves[index]) * way for way in self._room(index, nets)]
                found[name] = Loose(
                    nets=tuple(sorted({*known.nets, *nets})),
                    lowest=known.lowest + min(ways),
                    highest=known.highest + max(ways),
                )
        return found

    def _hanging(self, ask: Callable[[Solution], Array]) -> frozenset[str]:
        """Situations in which a current or power would be another if loose nets, such as an open gate, lay elsewhere."""
        assert self.spreading is not None
        solution = self.spreading.solution
        return frozenset(name for name, index in self.place.items() if rests_on_loose(solution, index, ask))

    def _islands(self, index: int) -> Iterator[frozenset[str]]:
        """Nets that conduct to each other and not to the ground, or where none is named not to the largest such set."""
        assert self.spreading is not None
        solution = self.spreading.solution
        islands: dict[str, set[str]] = {}
        for net in self.circuit.nets:
            if net not in solution.undetermined[index]:
                islands.setdefault(solution.system.references[net], set()).add(net)
        ground = self.circuit.ground
        base = ground if ground in islands else max(islands, key=lambda one: len(islands[one]), default="")
        return (frozenset(nets) for reference, nets in islands.items() if reference != base)

    def _room(self, index: int, nets: frozenset[str]) -> tuple[float, float]:
        """How far loose nets may move together until the last of them leaves the range of all others: down, up."""
        assert self.spreading is not None
        solution = self.spreading.solution
        volts = {net: float(solution.voltage(net)[index]) for net in self.circuit.nets}
        own = [volts[net] for net in nets]
        others = [value for net, value in volts.items() if net not in nets] or [0.0]
        return min(others) - max(own), max(others) - min(own)

    def alternates(self, situation: Situation) -> bool:
        """Whether something changes with time: a supply that is connected, or a controller's pin with a pattern."""
        return bool(changing_parts(self.circuit, situation))

    def fed_alternating(self, situation: Situation) -> bool:
        """Whether a supply that changes with time is connected."""
        return bool(alternating_supplies(self.circuit, situation))

    @cached_property
    def repeating(self) -> tuple[Repeating, ...]:
        """Waveforms where something changes with time, one a situation, or where many, one for each setting of the supplies."""
        alternating = [one for one in self.situations.values() if self.alternates(one)]
        alone = {_set(self.circuit.parts, one): one for one in reversed(alternating)}
        if len(alone) <= MOST_WAVEFORMS:
            keys = [_set(self.circuit.parts, one) for one in alternating]
        else:
            supplies = [
                part for part in self.circuit.parts if kind_of(part).supplies or _may_follow_pattern(part)
            ]
            keys = [_set(supplies, one) for one in alternating]
        groups: dict[_Set, list[Situation]] = {}
        for key, situation in zip(keys, alternating, strict=True):
            groups.setdefault(key, []).append(situation)
        return tuple(found_repeating(self.circuit, group) for group in groups.values())

    @cached_property
    def fault_effects(self) -> tuple[FaultEffect, ...]:
        """Every single fault with its worst effect, worst first."""
        from lidoff.hazards.single_faults import fault_effects

        return fault_effects(self)

    @cached_property
    def stresses(self) -> tuple[Stress, ...]:
        """Highest load of each part on each of its ratings, the nearest to its limit first."""
        from lidoff.hazards.stress import stresses_of

        return stresses_of(self)

    def supply_spread(self, situation: Situation) -> float:
        """Relative standard uncertainty of the alternating supplies, to which crests are in proportion."""
        found = [0.0]
        for part in alternating_supplies(self.circuit, situation):
            value = settings_of(part, situation.settings.get(part.reference)).get("voltage", 0.0)
            spread = part.spreads.get("voltage")
            if spread is not None and value:
                found.append(spread.standard(value) / abs(value))
        return max(found)


@dataclass(frozen=True, kw_only=True, eq=False)
class _Moved(Solution):
    """A solution in which some nets stand one volt higher."""

    moved: frozenset[str]

    @classmethod
    def by_a_volt(cls, solution: Solution, nets: frozenset[str]) -> _Moved:
        own = {one.name: getattr(solution, one.name) for one in fields(Solution)}
        return cls(**own, moved=nets)

    def voltage(self, net: str) -> Array:
        return super().voltage(net) + float(net in self.moved)


_Set = tuple[tuple[tuple[str, float], ...], ...]


def _set(parts: Sequence[Part], situation: Situation) -> _Set:
    return tuple(tuple(settings_of(part, situation.settings.get(part.reference)).items()) for part in parts)


def found_repeating(circuit: Circuit, group: Sequence[Situation]) -> Repeating:
    """Waveform of the first of some situations, which stands for the others too, or why there is none."""
    first, others = group[0], tuple(situation.name for situation in group[1:])
    why = ""
    for start in (None, half_full(circuit)):
        try:
            waveforms = periodic_steady_state(
                circuit, situation=first, tolerance=COARSE, points=POINTS, start=start
            )
        except LidoffError as error:
            why = why or error.what
        else:
            return Repeating(situation=first, waveforms=waveforms, stands_for=others)
    return Repeating(situation=first, waveforms=None, why=why, stands_for=others)


def half_full(circuit: Circuit) -> Mapping[str, float]:
    """Another start of the search for a period: smoothing capacitors at half of what they stand [V], by reference."""
    return {
        part.reference: 0.5 * settings_of(part)["voltage_rating"]
        for part in circuit.parts
        if {"ripple_rating", "voltage_rating"} <= set(kind_of(part).parameters_of(part))
    }


def is_alternating(part: Part) -> bool:
    """Whether the part drives the circuit with something that changes with time."""
    kind = kind_of(part)
    return kind.supplies and any(element.law.timed for element in kind.elements(part))


def _may_follow_pattern(part: Part) -> bool:
    return any("pattern" in parameter.words for parameter in kind_of(part).parameters_of(part).values())


def patterned_pins(part: Part, situation: Situation) -> tuple[str, ...]:
    """Pins of a controller that follow a pattern in the situation."""
    settings = settings_of(part, situation.settings.get(part.reference))
    return tuple(
        name
        for name, parameter in kind_of(part).parameters_of(part).items()
        if "pattern" in parameter.words and settings.get(name) == parameter.words["pattern"]
    )


def is_connected(part: Part, situation: Situation) -> bool:
    """Whether a supply drives the circuit in the situation."""
    return settings_of(part, situation.settings.get(part.reference)).get("connected", 1.0) > 0.0


def alternating_supplies(circuit: Circuit, situation: Situation) -> tuple[Part, ...]:
    """Supplies that drive a circuit with something that changes with time.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
        In which supplies may be disconnected.

    Returns
    -------
    tuple of Part
        In the order of the circuit.
    """
    return tuple(part for part in circuit.parts if is_alternating(part) and is_connected(part, situation))


def changing_parts(circuit: Circuit, situation: Situation) -> tuple[Part, ...]:
    """Parts by which a circuit changes with time: alternating supplies, and controllers with a pin that follows a pattern.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation

    Returns
    -------
    tuple of Part
        The supplies first.
    """
    pulsed = (part for part in circuit.parts if patterned_pins(part, situation))
    return (*alternating_supplies(circuit, situation), *pulsed)


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
