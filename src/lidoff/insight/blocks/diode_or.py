"""Two supplies joined by diodes: the higher one feeds."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE

__all__ = ["MEMBERS"]

DIODES = "diode schottky"


def _example() -> Circuit:
    return sketch(
        "Two supplies on one rail",
        piece("J1", "dc_supply", "vbus gnd", voltage=5.0),
        piece("BT1", "battery", "vbat gnd"),
        piece("D1", "schottky", "vbus rail"),
        piece("D2", "schottky", "vbat rail"),
        chip("U1", supply="supply rail", ground="ground gnd", out="output out"),
    )


def _sums(m: Match) -> Sums:
    return (
        m.sum("voltage of the rail from the first", "V − V_F", "V", PRACTICE, at="diode",
              beside=m.beside_voltage("rail", busy="diode"), V=m.volts("first", busy="diode"),
              V_F=m.quantity("diode", "forward_drop")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="diode_or",
        title="two supplies joined by diodes",
        purpose="{diode} let whichever of {first} and {second} is higher feed {rail}, and keep one out of the other.",
        example=_example,
        patterns=(
            Pattern(
                roles=(role("diode", DIODES, "first rail"), role("diode", DIODES, "second rail")),
                nets={"first": (SUPPLY,), "second": (SUPPLY,), "rail": (SUPPLY,)},
                where=lambda m: not {m.nets["first"], m.nets["second"]} & m.view.alternating,
            ),
        ),
        rank=7,
        sums=_sums,
        fails=(
            "diode one open: the rail is fed from the other supply only",
            "diode one shorted: current runs from one supply back into the other",
        ),
        source=PRACTICE,
    ),
)
