"""Two transistors that hold a current steady: the second steals the first one's base current."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Two-transistor current sink",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("D1", "led", "v12 a"),
        piece("D2", "led", "a low"),
        piece("Q1", "npn", "low base sense"),
        piece("Q2", "npn", "base sense gnd"),
        piece("R1", "resistor", "v12 base", resistance=10e3),
        piece("R2", "resistor", "sense gnd", resistance=33.0),
    )


def _sums(m: Match) -> Sums:
    drop, ohms = m.quantity("guard", "base_emitter_drop"), m.ohms("sense_resistor")
    at = "sense_resistor"
    return (
        m.sum("current that it holds", "V_BE ÷ R", "A", art(2), beside=m.beside_current(at), V_BE=drop, R=ohms),
        m.sum("change for each kelvin that the guard gets warmer", "dV_BE ÷ R", "A", art(2), R=ohms,
              dV_BE=m.quantity("guard", "drop_per_kelvin")),
        m.sum("heat in the pass transistor", "(V_C − V_BE) · I", "W", OHM, at=at,
              V_C=m.volts("load", busy=at), V_BE=drop, I=m.amperes(at)),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="two_transistor_sink",
        title="two-transistor current sink",
        purpose="{pass} carries the load's current through {sense_resistor}; as soon as that makes a diode's drop there, "
        "{guard} takes the drive away, and so holds the current.",
        example=_example,
        patterns=tuple(
            Pattern(
                roles=(
                    role("guard", "npn", "drive sense ground"),
                    role("pass", kind, pins),
                    role("sense_resistor", "resistor", "sense ground"),
                    role("feed_resistor", "resistor", "drive feed", optional=True),
                ),
                nets={"ground": (GROUND,), "load": (NOT_RAIL,), "drive": (NOT_RAIL,), "sense": (NOT_RAIL,)},
            )
            for kind, pins in (("npn darlington_npn", "load drive sense"), ("mosfet_n", "drive load sense"))
        ),
        also=("led_string",),
        rank=9,
        sums=_sums,
        fails=(
            "pass shorted: nothing limits the current but {sense_resistor}",
            "pass open: no current",
            "guard open: nothing limits the current but {sense_resistor}",
            "guard shorted: no current",
            "sense_resistor open: next to no current",
            "sense_resistor shorted: nothing limits the current",
            "feed_resistor open: no current",
        ),
        source=art(2),
    ),
)
