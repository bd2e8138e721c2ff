"""Light-emitting diodes whose cathode is towards the supply."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import BlockKind, Pattern, Sums, chain
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, art
from lidoff.insight.which_way import stands_reversed

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "LED the wrong way round",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("R1", "resistor", "v5 a", resistance=270.0),
        piece("D1", "led", "gnd a"),
    )


def _sums(m: Match) -> Sums:
    return (
        m.sum(
            "reverse voltage that stands across it",
            "V",
            "V",
            OHM,
            at="led",
            resting=True,
            V=m.volts("bottom", "top", busy="led"),
        ),
    )


MEMBERS = (
    BlockKind(
        name="reversed_led",
        title="LED the wrong way round",
        purpose="{led} stands the wrong way round, with the cathode towards the supply: no current flows and no light shows.",
        example=_example,
        patterns=(
            Pattern(
                roles=(chain("top", "bottom", led=(1, 99), resistor=(0, 3)),),
                where=lambda m: stands_reversed(m, "top", "bottom"),
            ),
        ),
        rank=6,
        sums=_sums,
        fails=(
            "led open: nothing changes, it is dark anyway",
            "led shorted: no light; only what is in series limits the current",
        ),
        source=art(2),
    ),
)
