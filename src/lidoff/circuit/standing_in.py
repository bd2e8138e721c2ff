"""Stand-ins: steady supplies that are no part of a device, but stand for parts of it on average.

At rest no current passes a capacitor, so an operating point shows nothing of a mains supply behind a capacitor, and nothing of
a rectified one. An analyst puts a steady supply of the same mean in its place. The two must never feed the circuit together:
at rest the stand-in does, and the supplies that it stands for are left out; over time it is the other way round.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from lidoff.circuit.kind import kind_of, settings_of
from lidoff.circuit.netlist import Circuit, Part, Situation

__all__ = ["Replaced", "at_rest", "can_be_left_out", "in_force", "over_time", "replaced_at_rest"]

SWITCH = "connected"
"""Parameter by which a supply is left out of a circuit."""


def can_be_left_out(part: Part) -> bool:
    """Whether the part is a supply that a situation can disconnect, as stand-ins and what they stand for must be."""
    kind = kind_of(part)
    return kind.supplies and SWITCH in kind.parameters_of(part)


def in_force(circuit: Circuit, situation: Situation) -> Mapping[str, tuple[str, ...]]:
    """Stand-ins that take the place of connected supplies in a situation.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation

    Returns
    -------
    mapping of str to tuple of str
        References of the supplies that each stands for, by its own; only where both it and they are set as connected.
    """
    parts = {part.reference: part for part in circuit.parts}
    found: dict[str, tuple[str, ...]] = {}
    for part in circuit.parts:
        if not part.stands_for or not _connected(part, situation):
            continue
        supplies = tuple(
            reference
            for reference in part.stands_for
            if reference in parts
            and can_be_left_out(parts[reference])
            and _connected(parts[reference], situation)
        )
        if supplies:
            found[part.reference] = supplies
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Replaced:
    """What says nothing in a situation at rest, because a stand-in takes its place there.

    Attributes
    ----------
    by : mapping of str to tuple of str
        For each stand-in in force, all parts that it stands for.
    nets : frozenset of str
        Nets on which nothing else hangs.
    """

    by: Mapping[str, tuple[str, ...]]
    nets: frozenset[str]

    @property
    def parts(self) -> frozenset[str]:
        """All parts that are stood for."""
        return frozenset(name for names in self.by.values() for name in names)


def replaced_at_rest(circuit: Circuit, situation: Situation) -> Replaced:
    """Parts and nets whose place a stand-in takes in a situation; none where no stand-in is in force."""
    by = {name: circuit.part(name).stands_for for name in in_force(circuit, situation)}
    parts = {name for names in by.values() for name in names}
    nets = frozenset(net for net, pins in circuit.nets.items() if all(pin.reference in parts for pin in pins))
    return Replaced(by=by, nets=nets)


def at_rest(circuit: Circuit, situation: Situation) -> Situation:
    """Situation as it is solved at rest: without the supplies that a connected stand-in stands for."""
    return _without(situation, (name for names in in_force(circuit, situation).values() for name in names))


def over_time(circuit: Circuit, situation: Situation) -> Situation:
    """Situation as it is followed over time: without the stand-ins whose supplies are connected."""
    return _without(situation, in_force(circuit, situation))


def _without(situation: Situation, references: Iterable[str]) -> Situation:
    settings = {reference: dict(values) for reference, values in situation.settings.items()}
    for reference in references:
        settings.setdefault(reference, {})[SWITCH] = 0.0
    return Situation(name=situation.name, settings=settings, title=situation.title)


def _connected(part: Part, situation: Situation) -> bool:
    return settings_of(part, situation.settings.get(part.reference)).get(SWITCH, 1.0) > 0.0
