"""An isolated supply: energy goes over in the gaps between the pulses."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.block import Sum
from lidoff.insight.match import Match
from lidoff.insight.pattern import BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import erickson
from lidoff.insight.view import View

__all__ = ["MEMBERS"]

CAPACITORS = "electrolytic_capacitor capacitor"


def _example() -> Circuit:
    return sketch(
        "Isolated flyback with feedback",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("D1", "bridge_rectifier", "live neutral high gnd"),
        piece("C1", "electrolytic_capacitor", "high gnd", capacitance=10e-6, voltage_rating=400.0),
        piece("T1", "transformer", "high switched out_gnd rectified", turns_ratio=14.0),
        chip(
            "U1",
            "box",
            supply="supply vcc",
            ground="ground gnd",
            switch="output switched",
            feedback="input fb",
        ),
        piece("D2", "schottky", "rectified v5"),
        piece("C2", "electrolytic_capacitor", "v5 out_gnd", capacitance=470e-6),
        piece("U2", "optocoupler", "opto held vcc fb"),
        piece("R1", "resistor", "v5 opto", resistance=470.0),
        piece("U3", "shunt_reference", "held out_gnd tap"),
        piece("R2", "resistor", "v5 tap", resistance=10e3),
        piece("R3", "resistor", "tap out_gnd", resistance=10e3),
    )


def _switched(view: View, net: str) -> bool:
    """A chip or a transistor pulls the net down in pulses."""
    return any(
        one.kind == "box"
        or (one.kind == "mosfet_n" and pin == "drain")
        or (one.kind == "npn" and pin == "collector")
        for one, pin in view.pins[net]
    )


def _sums(m: Match) -> Sums:
    setting = (
        m.sum("output voltage", "V_ref · (1 + R_up ÷ R_low)", "V", erickson(6), beside=m.beside_voltage("out"),
              V_ref=m.quantity("reference", "reference_voltage"), R_up=m.ohms("upper"), R_low=m.ohms("lower"))
        if m.has("lower") else None
    )  # fmt: skip
    out = setting.result if isinstance(setting, Sum) else m.volts("out")
    return (
        setting,
        m.sum("voltage that the output throws back onto the switch", "n · (V_out + V_F)", "V", erickson(6),
              n=m.quantity("transformer", "turns_ratio"), V_out=out, V_F=m.quantity("diode", "forward_drop")),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    if m.has("coupler"):
        return ()
    return ("no optocoupler brings the output back to the chip: it controls by what it sees on its own side",)


POWER = (
    role("transformer", "transformer", "high switched return rectified"),
    role("diode", "schottky diode", "rectified out"),
    role("capacitor", CAPACITORS, "out return", many=True),
)
NETS = {"switched": (_switched,)}

MEMBERS = (
    BlockKind(
        name="isolated_flyback",
        title="isolated flyback supply",
        purpose="{transformer} takes up energy while {switched} is pulled down and hands it through {diode} to {out} when "
        "it is let go; no wire joins the two sides.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    *POWER,
                    role("coupler", "optocoupler", "opto held - -"),
                    role("reference", "shunt_reference", "held return tap"),
                    role("upper", "resistor", "out tap"),
                    role("lower", "resistor", "tap return"),
                    role("opto_resistor", "resistor", "out opto", optional=True),
                    role("bias_resistor", "resistor", "opto held", optional=True),
                ),
                nets=NETS,
            ),
            Pattern(
                roles=(
                    *POWER,
                    role("coupler", "optocoupler", "opto held - -"),
                    role("reference", "zener", "return held"),
                    role("opto_resistor", "resistor", "out opto", optional=True),
                ),
                nets=NETS,
            ),
            Pattern(roles=POWER, nets=NETS),
        ),
        also=("bridge_rectifier", "reservoir"),
        rank=9,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "diode shorted: the supply ticks or falls silent, since its chip sees an overload",
            "capacitor dried out: much ripple on {out}, and a supply that starts badly",
            "coupler open: the output rises until something gives way or the chip stops",
            "upper open: the output rises until something gives way or the chip stops",
            "lower open: the output falls to little more than the reference",
            "transformer insulation broken: the output is joined to the mains",
        ),
        source=erickson(6),
    ),
)
