"""A pad that a finger's capacitance is felt at."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import NOT_RAIL, SENSED, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE, art
from lidoff.insight.view import View
from lidoff.quantities import Quantity

__all__ = ["MEMBERS"]

FINGER = Quantity(10e-12, "F")
"""Capacitance of a finger on a small pad under plastic, about; common practice, no source."""


def _example() -> Circuit:
    return sketch(
        "Touch pad",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", touch="input touch"),
        piece("R1", "resistor", "touch pad", resistance=1e3),
        piece("TP1", "test_point", "pad"),
        piece("C1", "capacitor", "touch gnd", capacitance=10e-12),
    )


def _bare(view: View, net: str) -> bool:
    """Nothing but copper, a test point or a single-pin connector is on the net beside the resistor."""
    others = [one for one, _ in view.pins[net] if one.kind not in ("connector", "box") or len(one.nets) > 1]
    return len(others) == 1 and (net in view.tested or view.degree(net) == 2)


def _sums(m: Match) -> Sums:
    return (
        m.sum("time constant with a finger of about 10 pF on it", "R · C", "s",
              art(1) + "; 10 pF: common practice, no source", R=m.ohms("resistor"), C=FINGER),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="touch_pad",
        title="touch pad",
        purpose="A finger on {pad} adds some picofarads there, which the chip feels through {resistor}.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("resistor", "resistor", "line pad"),
                    role("capacitor", "capacitor", "line ground", optional=True),
                ),
                nets={
                    "line": (NOT_RAIL, SENSED),
                    "pad": (NOT_RAIL, _bare),
                    "ground": (lambda view, net: net in view.grounds,),
                },
            ),
        ),
        rank=6,
        sums=_sums,
        fails=(
            "resistor open: the pad is dead",
            "capacitor shorted: the pad seems touched, or never touched",
        ),
        source=PRACTICE,
    ),
)
