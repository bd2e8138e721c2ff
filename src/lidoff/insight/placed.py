"""A part on joined nets, and resistors side by side looked at as one."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lidoff.circuit import Part, Spread, kind_of

__all__ = ["PlacedPart", "side_by_side"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPart:
    """One part with the joined net of each pin.

    Attributes
    ----------
    part : Part
        Of resistors side by side the first, with the resistance of all of them.
    nets : mapping of str to str
        Joined net by pin.
    twins : tuple of str
        References of the resistors beside it that it stands for as well.
    """

    part: Part
    nets: Mapping[str, str]
    twins: tuple[str, ...] = ()

    @property
    def reference(self) -> str:
        """Its reference."""
        return self.part.reference

    @property
    def references(self) -> tuple[str, ...]:
        """Its reference and those of its twins."""
        return (self.part.reference, *self.twins)

    @property
    def kind(self) -> str:
        """Name of its kind."""
        return self.part.kind

    def value(self, parameter: str) -> float | None:
        """Number of a parameter [SI], or None where nothing tells it."""
        parameters = kind_of(self.part).parameters_of(self.part)
        if parameter not in parameters:
            return None
        told = self.part.values.get(parameter, parameters[parameter].typical)
        if isinstance(told, str):
            return parameters[parameter].words.get(told)
        return told


def side_by_side(placed: Sequence[PlacedPart]) -> list[PlacedPart]:
    """Resistors between the same two nets put together as one, with the resistance of all of them."""
    groups: dict[frozenset[str], list[PlacedPart]] = {}
    for one in placed:
        if one.kind == "resistor" and one.value("resistance"):
            groups.setdefault(frozenset(one.nets.values()), []).append(one)
    together: dict[str, PlacedPart] = {}
    hidden: set[str] = set()
    for group in groups.values():
        if len(group) > 1:
            first, *others = group
            whole = 1.0 / sum(1.0 / (one.value("resistance") or math.inf) for one in group)
            part = replace(
                first.part, values={**first.part.values, "resistance": whole}, spreads=_scaled(first, whole)
            )
            twins = tuple(one.reference for one in others)
            together[first.reference] = PlacedPart(part=part, nets=first.nets, twins=twins)
            hidden |= set(twins)
    return [together.get(one.reference, one) for one in placed if one.reference not in hidden]


def _scaled(one: PlacedPart, whole: float) -> dict[str, Spread]:
    """Its tolerances for the resistance of all: the share of the first, which is never too small."""
    ohms = one.value("resistance") or whole
    return {
        name: spread if spread.relative else replace(spread, half_width=spread.half_width * whole / ohms)
        for name, spread in one.part.spreads.items()
    }
