"""A cold resistor in the mains line that takes the first surge."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import ALTERNATING, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, PRACTICE

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Inrush limiter",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("RT1", "ntc", "live line", resistance=10.0),
        piece("D1", "bridge_rectifier", "line neutral high gnd"),
        piece("C1", "electrolytic_capacitor", "high gnd", capacitance=10e-6),
    )


def _sums(m: Match) -> Sums:
    mains = [one.value("voltage") for one in m.view.by_kind.get("ac_supply", ())]
    return (
        m.sum("largest current as it is switched on", "√(2) · U ÷ R", "A", OHM,
              U=m.plain(mains[0] if mains else None, "V"), R=m.ohms("limiter")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="inrush_limiter",
        title="inrush limiter",
        purpose="{limiter} has some resistance while cold and little once warm: it takes the surge into empty capacitors.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role(
                        "limiter",
                        "ntc",
                        "line behind",
                        where=lambda one: (one.value("resistance") or 1e9) < 200.0,
                    ),
                ),
                nets={"line": (ALTERNATING,), "behind": (ALTERNATING,)},
            ),
        ),
        also=("bridge_rectifier", "reservoir"),
        rank=5,
        sums=_sums,
        fails=(
            "limiter open: the device is dead",
            "limiter shorted: it works on; the fuse or the rectifier may go when it is switched on",
        ),
        source=PRACTICE,
    ),
)
