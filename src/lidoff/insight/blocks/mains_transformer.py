"""A transformer on an alternating source."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.blocks.rectifier import source_of
from lidoff.insight.match import Match
from lidoff.insight.pattern import ALTERNATING, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Mains transformer",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("T1", "transformer", "live neutral a gnd", turns_ratio=25.0),
        piece("R1", "resistor", "a gnd", resistance=100.0),
    )


def _sums(m: Match) -> Sums:
    return (
        m.sum("voltage of the winding without load", "U ÷ n", "V", art(1), U=source_of(m.view, "voltage"),
              n=m.quantity("transformer", "turns_ratio")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="mains_transformer",
        title="mains transformer",
        purpose="{transformer} lowers the mains and keeps the rest of the circuit apart from it.",
        example=_example,
        patterns=(
            Pattern(
                roles=(role("transformer", "transformer", "first second - -"),),
                nets={"first": (ALTERNATING,), "second": (ALTERNATING,)},
            ),
            Pattern(
                roles=(role("transformer", "three_winding_transformer", "first second - - - -"),),
                nets={"first": (ALTERNATING,), "second": (ALTERNATING,)},
            ),
        ),
        rank=5,
        sums=_sums,
        fails=(
            "transformer primary open: the device is dead",
            "transformer insulation broken: the low side is joined to the mains",
        ),
        source=art(1),
    ),
)
