"""Resistors that hold a MOSFET's gate off while nothing drives it."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.blocks.low_side_mosfet import is_shunt
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE

__all__ = ["MEMBERS"]


def _low_example() -> Circuit:
    return sketch(
        "Gate pull-down",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "vbat low"),
        piece("Q1", "mosfet_n", "gate low gnd"),
        piece("R2", "resistor", "gate gnd", resistance=100e3),
        chip("U1", supply="supply vbat", ground="ground gnd", drive="output gate"),
    )


def _high_example() -> Circuit:
    return sketch(
        "Gate pull-up",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "high gnd"),
        piece("Q1", "mosfet_p", "gate high vbat"),
        piece("R2", "resistor", "gate vbat", resistance=100e3),
        chip("U1", supply="supply vbat", ground="ground gnd", drive="output gate"),
    )


def _sums(m: Match) -> Sums:
    return (
        m.sum(
            "current that the driver spends on it while the gate is driven",
            "V ÷ R",
            "A",
            OHM,
            at="pull",
            beside=m.beside_current("pull"),
            V=m.volts("gate", "source", busy="pull"),
            R=m.quantity("pull", "resistance"),
        ),
    )


def _unusual(m: Match) -> tuple[str, ...]:
    ohms = m.number("pull", "resistance")
    if ohms is not None and ohms < 1e3:
        return ("so small a resistor loads whatever drives the gate",)
    return ()


MEMBERS = (
    BlockKind(
        name="gate_pull_down",
        title="gate pull-down",
        purpose="{pull} keeps {switch} off until something drives {gate}.",
        example=_low_example,
        patterns=(
            Pattern(
                roles=(
                    role("switch", "mosfet_n", "gate - source", shared=True),
                    role("pull", "resistor", "gate source"),
                ),
                nets={"gate": (NOT_RAIL,), "source": (GROUND,)},
            ),
            Pattern(
                roles=(
                    role("switch", "mosfet_n", "gate - tail", shared=True),
                    role("shunt", "resistor", "tail source", shared=True, where=is_shunt),
                    role("pull", "resistor", "gate source"),
                ),
                nets={"gate": (NOT_RAIL,), "source": (GROUND,)},
            ),
        ),
        also=("low_side_mosfet",),
        rank=4,
        sums=_sums,
        unusual=_unusual,
        fails=("pull open: the gate floats while its driver starts, and {switch} may be on for that time",),
        source=PRACTICE,
    ),
    BlockKind(
        name="gate_pull_up",
        title="gate pull-up",
        purpose="{pull} keeps {switch} off until something pulls {gate} down.",
        example=_high_example,
        patterns=(
            Pattern(
                roles=(
                    role("switch", "mosfet_p", "gate - source", shared=True),
                    role("pull", "resistor", "gate source"),
                ),
                nets={"gate": (NOT_RAIL,), "source": (SUPPLY,)},
            ),
        ),
        also=("high_side_mosfet",),
        rank=4,
        sums=_sums,
        unusual=_unusual,
        fails=("pull open: the gate floats, and {switch} may stay on",),
        source=PRACTICE,
    ),
)
