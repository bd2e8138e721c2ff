"""A circuit changed in a few places: pins elsewhere, values otherwise, a part more, nets that are one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from lidoff.circuit import Circuit, Part, Pin

__all__ = ["AS_TRACED", "LOOSE", "Variant"]

LOOSE = ("~loose 1", "~loose 2")
"""Nets that a variant may make, for what is split off."""


_NOTHING: Mapping[object, object] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """What differs from the circuit as traced, and what that means for the readings.

    Attributes
    ----------
    pins : mapping of Pin to str
        Pins that lie on another net; one of `LOOSE` for a net of their own.
    values : mapping of (str, str) to float
        (reference, parameter) with another value, in SI units.
    added : tuple of Part
        Parts more: at most one resistor and one diode.
    merged : mapping of str to str
        Net as traced → the net that it is one with; none of its pins is left on it.
    pads : mapping of Pin to str
        Where a part sits otherwise on its pads: pin as traced → pin that truly sits there. Readings refer to pads.
    factors : mapping of str to float
        Reading → what its written value must be multiplied by.
    probes : mapping of str to str
        Reading → `LOOSE` net that its probe was on, where the net it names is two.
    """

    pins: Mapping[Pin, str] = field(default_factory=dict)
    values: Mapping[tuple[str, str], float] = field(default_factory=dict)
    added: tuple[Part, ...] = ()
    merged: Mapping[str, str] = field(default_factory=dict)
    pads: Mapping[Pin, str] = field(default_factory=dict)
    factors: Mapping[str, float] = field(default_factory=dict)
    probes: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for name in ("pins", "values", "merged", "pads", "factors", "probes"):
            given = getattr(self, name)
            object.__setattr__(self, name, MappingProxyType(dict(given)) if given else _NOTHING)

    @property
    def rewires(self) -> bool:
        """Whether the circuit itself differs, and not only what was read."""
        return bool(self.pins or self.values or self.added or self.merged)

    def net_of(self, net: str) -> str:
        """Net that a net as traced is now."""
        return self.merged.get(net, net)

    def applied_to(self, circuit: Circuit) -> Circuit:
        """Circuit with the differences made.

        Parameters
        ----------
        circuit : Circuit
            As traced.

        Returns
        -------
        Circuit
            With the same ground.
        """
        parts = []
        for part in circuit.parts:
            pins = {
                pin: self.net_of(self.pins.get(Pin(part.reference, pin), net))
                for pin, net in part.pins.items()
            }
            own = {
                name: value for (reference, name), value in self.values.items() if reference == part.reference
            }
            parts.append(replace(part, pins=pins, values={**part.values, **own}))
        return replace(circuit, parts=(*parts, *self.added))

    def with_both(self, other: Variant) -> Variant | None:
        """Both variants at once; None where they touch the same thing, or need more room than there is."""
        mine = {*self.pins, *self.pads, *self.values, *self.merged, *self.factors}
        if mine & {*other.pins, *other.pads, *other.values, *other.merged, *other.factors}:
            return None
        kinds = [part.kind for part in (*self.added, *other.added)]
        if len(kinds) != len(set(kinds)):
            return None
        renamed = other
        if set(self.pins.values()) & set(LOOSE):
            renamed = replace(
                other,
                pins={pin: LOOSE[1] if net == LOOSE[0] else net for pin, net in other.pins.items()},
                probes={name: LOOSE[1] if net == LOOSE[0] else net for name, net in other.probes.items()},
            )
        pins = {**self.pins, **renamed.pins}
        merged = {**self.merged, **renamed.merged}
        return Variant(
            pins={pin: merged.get(net, net) for pin, net in pins.items()},
            values={**self.values, **renamed.values},
            added=(*self.added, *renamed.added),
            merged=merged,
            pads={**self.pads, **renamed.pads},
            factors={**self.factors, **renamed.factors},
            probes={**self.probes, **renamed.probes},
        )


AS_TRACED = Variant()
