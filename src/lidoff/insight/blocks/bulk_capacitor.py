"""A large capacitor across a supply."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.blocks.decoupling import LARGEST
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import PRACTICE, art
from lidoff.insight.view import PlacedPart
from lidoff.quantities import Quantity

__all__ = ["MEMBERS"]

PULSE = Quantity(1e-3, "s")
"""Length of the pulse in the example sum: our choice, only to make the size of the capacitor felt."""


def _example() -> Circuit:
    return sketch(
        "Bulk capacitor",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0, resistance=0.2),
        piece("C1", "electrolytic_capacitor", "v5 gnd", capacitance=100e-6),
        piece("M1", "motor", "v5 gnd"),
    )


def _large(one: PlacedPart) -> bool:
    farads = one.value("capacitance")
    return one.kind == "electrolytic_capacitor" or (farads is not None and farads >= LARGEST)


def _sums(m: Match) -> Sums:
    farads, period = m.farads("capacitor"), m.highest_across("capacitor")
    at, where = ("", period.situation) if period else ("capacitor", "")
    return (
        m.sum("energy kept at the highest solved voltage", "C · V^2 ÷ 2", "J", art(1), at=at, situation=where,
              C=farads, V=period.quantity if period else m.volts("rail", busy="capacitor")),
        m.sum("what it gives for 1 ms before the rail has lost 0.1 V", "C · ΔV ÷ t", "A", art(1),
              C=farads, ΔV=Quantity(0.1, "V"), t=PULSE),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    volts, rating = m.volts("rail", busy="capacitor"), m.quantity("capacitor", "voltage_rating")
    told = m.part("capacitor").part.values
    if (
        volts is not None
        and rating is not None
        and "voltage_rating" in told
        and volts.value > 0.8 * rating.value
    ):
        return (f"it stands at {volts}, close to its rated {rating}",)
    return ()


MEMBERS = (
    BlockKind(
        name="bulk_capacitor",
        title="bulk capacitor",
        purpose="{capacitor} keeps {rail} steady while the current changes faster than the supply can follow.",
        example=_example,
        patterns=(
            Pattern(
                roles=(role("capacitor", "electrolytic_capacitor capacitor", "rail ground", where=_large),),
                nets={"ground": (GROUND,), "rail": (SUPPLY,)},
            ),
        ),
        rank=2,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "capacitor dried out: {rail} dips with each pulse of current, and what hangs on it may start over",
            "capacitor shorted: {rail} is shorted to the ground",
        ),
        source=PRACTICE,
    ),
)
