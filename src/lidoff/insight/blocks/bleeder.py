"""A resistor that empties a capacitor after the power is gone."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.blocks.rectifier import is_rectified, source_of
from lidoff.insight.match import Match
from lidoff.insight.pattern import ALTERNATING, GROUND, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, art
from lidoff.insight.view import PlacedPart
from lidoff.quantities import Quantity

__all__ = ["MEMBERS"]

TOUCHABLE = Quantity(34.0, "V")
"""Voltage that pins of a plug may show one second after it was pulled: IEC 60335-1, 22.5 (from memory)."""


def _example() -> Circuit:
    return sketch(
        "Bleeder across a mains capacitor",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("C1", "film_capacitor", "live neutral", capacitance=220e-9),
        piece("R1", "resistor", "live neutral", resistance=1e6),
        piece("D1", "bridge_rectifier", "live neutral high gnd"),
        piece("C2", "electrolytic_capacitor", "high gnd", capacitance=10e-6),
    )


def _high(one: PlacedPart) -> bool:
    return (one.value("resistance") or 0.0) >= 10e3


def _sums(m: Match) -> Sums:
    ohms, farads, mains = (
        m.total("bleeder", "resistance"),
        m.farads("capacitor"),
        source_of(m.view, "voltage"),
    )
    return (
        m.sum("time constant", "R · C", "s", art(1), R=ohms, C=farads),
        m.sum("time from the mains' peak to a touchable voltage", "R · C · ln(√(2) · U ÷ V_t)", "s",
              art(1) + "; 34 V after IEC 60335-1, 22.5 (from memory)", R=ohms, C=farads, U=mains, V_t=TOUCHABLE),
        m.sum("heat in the bleeder all day", "U^2 ÷ R", "W", OHM, U=mains, R=ohms)
        if m.nets["one"] in m.view.alternating else None,
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="bleeder",
        title="bleeder",
        purpose="{bleeder} empties {capacitor} once the power is gone, so that it holds no charge for a hand.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("capacitor", "film_capacitor capacitor", "one other", shared=True),
                    role("bleeder", "resistor", "one other", where=_high),
                ),
                nets={"one": (ALTERNATING,)},
            ),
            Pattern(
                roles=(
                    role("capacitor", "electrolytic_capacitor", "one other", shared=True),
                    role("bleeder", "resistor", "one other", where=_high),
                ),
                nets={"one": (is_rectified,), "other": (GROUND,)},
            ),
        ),
        also=("bridge_rectifier", "mains_filter", "reservoir"),
        rank=5,
        sums=_sums,
        fails=("bleeder open: {capacitor} keeps its charge for minutes or longer after the power is gone",),
        source=art(9),
    ),
)
