"""A diode that takes over the current of a coil or motor when its switch opens."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Flyback diode",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "vbat low"),
        piece("Q1", "mosfet_n", "gate low gnd"),
        piece("V1", "pulse_supply", "gate gnd", high=5.0, width=1e-4, period=1e-3),
        piece("D1", "schottky", "low vbat"),
    )


def _sums(m: Match) -> Sums:
    return (
        m.sum(
            "highest voltage at the switched end as the switch opens",
            "V + V_F",
            "V",
            art(1),
            at="load",
            V=m.volts("high", busy="load"),
            V_F=m.quantity("diode", "forward_drop"),
        ),
        m.sum(
            "current that it takes over",
            "I",
            "A",
            art(1),
            at="load",
            beside=m.beside_current("load")[1:],
            I=m.amperes("load"),
        ),
    )


def _unusual(m: Match) -> tuple[str, ...]:
    amperes, rating = m.peak("load"), m.number("diode", "current_rating")
    if amperes is not None and rating and amperes.value > rating:
        return (
            f"the load carries up to {amperes}, more than the diode's rated current; it lasts only because the pulses "
            "are short",
        )
    return ()


MEMBERS = (
    BlockKind(
        name="flyback_diode",
        title="flyback diode",
        purpose="{diode} lets the current of {load} run on when the switch opens, and so spares the switch the voltage kick.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("load", "motor", "high low", shared=True),
                    role("diode", "diode schottky", "low high"),
                ),
                nets={"low": (NOT_RAIL,)},
            ),
            Pattern(
                roles=(
                    role("load", "motor", "high low", shared=True),
                    role("diode", "diode schottky", "low high"),
                ),
                nets={"high": (NOT_RAIL,)},
            ),
            Pattern(
                roles=(
                    role("load", "motor", "high low", shared=True),
                    role("diode", "diode schottky", "low high"),
                ),
                nets={"high": (SUPPLY,), "low": (GROUND,)},
                where=lambda m: m.touches("high", "switch relay"),
            ),
            Pattern(
                roles=(
                    role("load", "relay", "high low - - -", shared=True),
                    role("diode", "diode schottky", "low high"),
                ),
                loose=("high",),
            ),
            Pattern(
                roles=(
                    role("load", "inductor", "high low", shared=True),
                    role("diode", "diode schottky", "low high"),
                ),
            ),
        ),
        also=("low_side_mosfet",),
        rank=6,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "diode open: the switch sees a voltage kick each time it opens, and fails sooner or later",
            "diode shorted: the switch is tied to the supply and burns when it closes",
        ),
        source=art(1),
    ),
)
