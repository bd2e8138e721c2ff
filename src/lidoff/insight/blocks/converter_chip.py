"""A switching converter taken as one part."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import erickson

__all__ = ["MEMBERS"]

CAPACITORS = "capacitor electrolytic_capacitor"


def _example() -> Circuit:
    return sketch(
        "Converter",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("U1", "step_down_converter", "v12 gnd v5", output_voltage=5.0),
        piece("C1", "capacitor", "v12 gnd", capacitance=10e-6),
        piece("C2", "capacitor", "v5 gnd", capacitance=22e-6),
        piece("M1", "motor", "v5 gnd", resistance=20.0),
    )


def _sums(m: Match) -> Sums:
    volts, out, amperes = (
        m.volts("feed", busy="converter"),
        m.volts("rail", busy="converter"),
        m.amperes("converter"),
    )
    return (
        m.sum("ratio of the voltages", "V_out ÷ V_in", "1", erickson(2), at="converter",
              beside=m.beside_voltage("rail", busy="converter"), V_out=out, V_in=volts),
        m.sum("power that it takes", "V_in · I", "W", erickson(1), at="converter", V_in=volts, I=amperes),
        m.sum("heat in it", "(1 − η) · V_in · I", "W", erickson(1), at="converter", V_in=volts, I=amperes,
              η=m.quantity("converter", "efficiency")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="converter_chip",
        title="switching converter",
        purpose="{converter} makes {rail} from {feed} and loses little.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("converter", "step_down_converter step_up_converter", "feed ground rail"),
                    role("input_capacitor", CAPACITORS, "feed ground", optional=True, many=True),
                    role("output_capacitor", CAPACITORS, "rail ground", optional=True, many=True),
                ),
                nets={"ground": (GROUND,)},
            ),
        ),
        rank=7,
        sums=_sums,
        fails=(
            "converter open: {rail} is dead",
            "converter shorted: {rail} gets the whole of {feed}",
            "output_capacitor open: much ripple on {rail}",
        ),
        source=erickson(2),
    ),
)
