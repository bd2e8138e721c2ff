"""Which nodes of a torn circuit the probes of a voltmeter touch, and whose lead an ammeter breaks."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lidoff.circuit import Pin, kind_of
from lidoff.circuit.path import path_of
from lidoff.evidence import AcrossPart, InPart, IntoPin, NetVoltage
from lidoff.insight.torn import Index, Torn
from lidoff.insight.variant import Variant
from lidoff.insight.watched import PoweredTarget

__all__ = ["ends_of", "lead_nodes", "pad_nodes", "pins_of"]


def ends_of(
    torn: Torn, wirings: Index, variants: Sequence[Variant], name: str, target: NetVoltage | AcrossPart
) -> tuple[Index, Index]:
    """Unknowns (B,) that the two probes touch."""
    lines = np.arange(len(variants))
    if isinstance(target, AcrossPart):
        first, second = path_of(torn.circuit.part(target.reference))
        nodes = [pad_nodes(torn, variants, Pin(target.reference, pin)) for pin in (first, second)]
        return wirings[lines, nodes[0]], wirings[lines, nodes[1]]
    against = target.against or torn.ground
    plus = [torn.nets[one.probes.get(name, one.net_of(target.net))] for one in variants]
    minus = [torn.nets[one.net_of(against)] for one in variants]
    return np.array(plus, dtype=np.intp), np.array(minus, dtype=np.intp)


def pad_nodes(torn: Torn, variants: Sequence[Variant], pin: Pin) -> Index:
    """Node (B,) of the pin that truly sits on the pad."""
    return np.array([torn.node(pin.reference, one.pads.get(pin, pin.pin)) for one in variants], dtype=np.intp)


def lead_nodes(torn: Torn, variants: Sequence[Variant], target: IntoPin | InPart) -> Index:
    """Node (B,) of the pin whose lead an ammeter breaks."""
    pins, _ = pins_of(torn, target)
    return pad_nodes(torn, variants, Pin(target.reference, pins[0]))


def pins_of(torn: Torn, target: PoweredTarget) -> tuple[tuple[str, ...], float]:
    """Pins whose current counts, and its sign."""
    if isinstance(target, IntoPin):
        return (target.pin,), 1.0
    part = torn.circuit.part(target.reference)  # type: ignore[union-attr]
    sign = -1.0 if kind_of(part).supplies else 1.0
    if isinstance(target, InPart) and target.what == "power":
        return tuple(part.pins), sign
    return (path_of(part)[0],), sign
