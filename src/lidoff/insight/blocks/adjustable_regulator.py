"""A regulator whose voltage or current resistors set."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]

CAPACITORS = "capacitor electrolytic_capacitor"


def _voltage_example() -> Circuit:
    return sketch(
        "Adjustable regulator",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("U1", "adjustable_regulator", "v12 adjust v6"),
        piece("R1", "resistor", "v6 adjust", resistance=240.0),
        piece("R2", "resistor", "adjust gnd", resistance=910.0),
        piece("M1", "motor", "v6 gnd", resistance=30.0),
    )


def _current_example() -> Circuit:
    return sketch(
        "Regulator as a current source",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("U1", "adjustable_regulator", "v12 load out"),
        piece("R1", "resistor", "out load", resistance=62.0),
        piece("D1", "led", "load middle", forward_drop=3.1),
        piece("D2", "led", "middle gnd", forward_drop=3.1),
    )


def _voltage_sums(m: Match) -> Sums:
    return (
        m.sum("voltage of the rail", "V_ref · (1 + R_low ÷ R_up) + I_adj · R_low", "V", art(9), at="regulator",
              beside=m.beside_voltage("rail", busy="regulator"), V_ref=m.quantity("regulator", "output_voltage"),
              R_low=m.ohms("lower"), R_up=m.ohms("upper"), I_adj=m.quantity("regulator", "adjust_current")),
        m.sum("heat in the regulator", "(V_in − V_out) · I", "W", OHM, at="regulator",
              V_in=m.volts("feed", busy="regulator"), V_out=m.volts("rail", busy="regulator"), I=m.amperes("regulator")),
    )  # fmt: skip


def _current_sums(m: Match) -> Sums:
    return (
        m.sum("current", "V_ref ÷ R + I_adj", "A", art(9), at="sense", beside=m.beside_current("sense"),
              V_ref=m.quantity("regulator", "output_voltage"), R=m.ohms("sense"),
              I_adj=m.quantity("regulator", "adjust_current")),
        m.sum("heat in the regulator", "(V_in − V_out) · I", "W", OHM, at="sense",
              V_in=m.volts("feed", busy="sense"), V_out=m.volts("out", busy="sense"), I=m.amperes("sense")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="adjustable_regulator",
        title="adjustable regulator",
        purpose="{regulator} holds its reference voltage across {upper}, and {lower} adds to it: the two set {rail}.",
        example=_voltage_example,
        patterns=(
            Pattern(
                roles=(
                    role("regulator", "adjustable_regulator", "feed adjust rail"),
                    role("upper", "resistor", "rail adjust"),
                    role("lower", "resistor", "adjust ground"),
                    role("input_capacitor", CAPACITORS, "feed ground", optional=True, many=True),
                    role("output_capacitor", CAPACITORS, "rail ground", optional=True, many=True),
                ),
                nets={"ground": (GROUND,)},
            ),
        ),
        rank=7,
        sums=_voltage_sums,
        fails=(
            "regulator shorted: {rail} gets the whole of {feed}",
            "upper open: {rail} rises as far as {feed} allows",
            "lower open: {rail} rises as far as {feed} allows",
            "lower shorted: {rail} falls to the reference voltage",
        ),
        source=art(9),
    ),
    BlockKind(
        name="regulator_current_source",
        title="regulator as current source",
        purpose="{regulator} holds its reference voltage across {sense}, which makes a steady current into {load}.",
        example=_current_example,
        patterns=(
            Pattern(
                roles=(
                    role("regulator", "adjustable_regulator", "feed load out"),
                    role("sense", "resistor", "out load"),
                ),
                nets={"load": (lambda view, net: net not in view.grounds,)},
                where=lambda m: not m.touches("load", "resistor") and not m.touches("out", "led motor battery cell"),
            ),
        ),
        also=("led_string",),
        rank=7,
        sums=_current_sums,
        fails=(
            "regulator shorted: nothing limits the current",
            "sense open: no current",
            "sense shorted: nothing limits the current but the regulator's own limit",
        ),
        source=art(9),
    ),
)  # fmt: skip
