"""A small resistor whose voltage tells a chip the current."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art
from lidoff.insight.view import PlacedPart, View

__all__ = ["MEMBERS"]

LARGEST = 15.0
"""Larger resistors in a current's way are there to limit it [Ω]; common practice, no source."""


def _example() -> Circuit:
    return sketch(
        "Current sense",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "vbat low"),
        piece("Q1", "mosfet_n", "gate low sensed"),
        piece("R1", "resistor", "sensed gnd", resistance=0.05),
        piece("R2", "resistor", "sensed felt", resistance=1e3),
        piece("C1", "capacitor", "felt gnd", capacitance=100e-9),
        chip("U1", supply="supply vbat", ground="ground gnd", gate="output gate", current="input felt"),
    )


def _small(one: PlacedPart) -> bool:
    ohms = one.value("resistance")
    return ohms is not None and ohms <= LARGEST


def _looked_at(view: View, net: str) -> bool:
    """An input looks at the net, or does so behind a resistor."""
    if view.is_sensed(net):
        return True
    behind = [
        next(far for far in one.nets.values() if far != net)
        for one, _ in view.pins[net]
        if one.kind == "resistor" and len(set(one.nets.values())) == 2
    ]
    return any(far not in view.rails and view.is_sensed(far) for far in behind)


def _carries(m: Match) -> bool:
    """A load, or a transistor's source or emitter, is on the sensed net."""
    return any(
        (pin in ("source", "emitter") and one.kind in ("mosfet_n", "npn", "darlington_npn"))
        or one.kind
        in ("motor", "led", "cell", "battery", "dc_supply", "heater", "lamp", "inductor", "transformer")
        for one, pin in m.others("sensed")
    )


def _sums(m: Match) -> Sums:
    ohms, amperes = m.ohms("shunt"), m.amperes("shunt")
    return (
        m.sum("voltage at the largest solved current", "R · I", "V", OHM, at="shunt",
              beside=m.beside_voltage("sensed", busy="shunt"), R=ohms, I=amperes),
        m.sum("heat there", "I^2 · R", "W", OHM, at="shunt", I=amperes, R=ohms),
        m.sum("volts for each ampere", "R", "Ω", OHM, R=ohms),
        m.sum("time constant of the filter", "R · C", "s", art(1), R=m.ohms("filter_resistor"),
              C=m.farads("filter_capacitor")) if m.has("filter_capacitor") and m.has("filter_resistor") else None,
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="current_sense",
        title="current sense",
        purpose="The current through {shunt} makes a small voltage at {sensed}, which a chip measures.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("shunt", "resistor", "sensed ground", where=_small, many=True),
                    role("filter_resistor", "resistor", "sensed felt", optional=True),
                    role("filter_capacitor", "capacitor", "felt ground", optional=True),
                ),
                nets={
                    "ground": (GROUND,),
                    "sensed": (NOT_RAIL, _looked_at),
                    "felt": (NOT_RAIL, lambda view, net: view.is_sensed(net)),
                },
                where=_carries,
            ),
        ),
        also=("low_side_mosfet",),
        rank=7,
        sums=_sums,
        fails=(
            "shunt open: the load stops, and the chip may see its full supply there",
            "shunt shorted: the chip sees no current, and limits none",
            "filter_resistor open: the chip sees no current, and limits none",
        ),
        source=art(9),
    ),
)
