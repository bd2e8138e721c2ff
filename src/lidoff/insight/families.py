"""Explanations that say one thing and leave open another, as one: a pin that is not on its net, wherever it may be instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.circuit import Circuit, Pin
from lidoff.insight.believed import Believed

__all__ = ["WAYS", "Family", "families_of"]

ASTRAY = ("other_net", "two_nets")
"""Kinds of slip that may take a single pin off its net."""


WAYS = 4
"""Members that are told at most; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Explanations told together.

    Attributes
    ----------
    title : str
        What all of them say; of a single one its own title.
    members : tuple of Believed
        The most probable first.
    """

    title: str
    members: tuple[Believed, ...]

    @property
    def probability(self) -> float:
        """Of all of them."""
        return sum(one.probability for one in self.members)

    @property
    def told(self) -> tuple[Believed, ...]:
        """The members worth naming."""
        return self.members[:WAYS]

    @property
    def first(self) -> Believed:
        """The most probable one."""
        return self.members[0]


def families_of(circuit: Circuit, explanations: Sequence[Believed]) -> tuple[Family, ...]:
    """Put explanations together that take the same pin off its net.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    explanations : sequence of Believed
        The most probable first.

    Returns
    -------
    tuple of Family
        The most probable first.
    """
    groups: dict[object, list[Believed]] = {}
    for one in explanations:
        pin = _astray(one)
        groups.setdefault(one.title if pin is None else pin, []).append(one)
    found = [
        Family(
            title=f"{key} is not on {circuit.part(key.reference).pins[key.pin]}"
            if isinstance(key, Pin) and len(members) > 1
            else members[0].title,
            members=tuple(members),
        )
        for key, members in groups.items()
    ]
    return tuple(sorted(found, key=lambda family: -family.probability))


def _astray(one: Believed) -> Pin | None:
    """The one pin that an explanation takes off its net, where that is all it says."""
    if len(one.slips) != 1 or one.slips[0].kind not in ASTRAY:
        return None
    moved = one.slips[0].variant.pins
    return next(iter(moved)) if len(moved) == 1 else None
