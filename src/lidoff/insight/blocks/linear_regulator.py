"""A regulator with three legs and its capacitors."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]

CAPACITORS = "capacitor electrolytic_capacitor"


def _example() -> Circuit:
    return sketch(
        "Linear regulator",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("U1", "linear_regulator", "v12 gnd v5", output_voltage=5.0, dropout=1.2),
        piece("C1", "capacitor", "v12 gnd", capacitance=1e-6),
        piece("C2", "capacitor", "v5 gnd", capacitance=1e-6),
        chip("U2", supply="supply v5", ground="ground gnd", out="output out"),
    )


def _sums(m: Match) -> Sums:
    volts, out, amperes = (
        m.volts("feed", busy="regulator"),
        m.volts("rail", busy="regulator"),
        m.amperes("regulator"),
    )
    return (
        m.sum("headroom above its dropout", "V_in − V_out − V_drop", "V", art(9), at="regulator",
              V_in=volts, V_out=m.quantity("regulator", "output_voltage"), V_drop=m.quantity("regulator", "dropout")),
        m.sum("heat in the regulator", "(V_in − V_out) · I", "W", OHM, at="regulator",
              beside=m.beside_voltage("rail", busy="regulator"), V_in=volts, V_out=out, I=amperes),
        m.sum("share of the power that reaches the rail", "V_out ÷ V_in", "1", art(9), at="regulator",
              V_in=volts, V_out=out),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    found = []
    volts, out, drop = (m.volts("feed", busy="regulator"), m.number("regulator", "output_voltage"),
                        m.number("regulator", "dropout"))  # fmt: skip
    if volts is not None and out is not None and drop is not None and volts.value - out < drop:
        found.append(
            "the feed is too low for the regulator: it passes what it gets, less its dropout, and regulates nothing"
        )
    if not m.has("output_capacitor"):
        found.append("no capacitor is at the output; many regulators oscillate without one")
    return tuple(found)


MEMBERS = (
    BlockKind(
        name="linear_regulator",
        title="linear regulator",
        purpose="{regulator} makes a steady voltage on {rail} from {feed} and turns the rest into heat.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("regulator", "linear_regulator", "feed ground rail"),
                    role("input_capacitor", CAPACITORS, "feed ground", optional=True, many=True),
                    role("output_capacitor", CAPACITORS, "rail ground", optional=True, many=True),
                ),
                nets={"ground": (GROUND,)},
            ),
        ),
        rank=7,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "regulator open: {rail} is dead",
            "regulator shorted: {rail} gets the whole of {feed}",
            "output_capacitor open: the regulator may oscillate",
            "output_capacitor shorted: the regulator runs at its current limit and gets hot",
        ),
        source=art(9),
    ),
)
