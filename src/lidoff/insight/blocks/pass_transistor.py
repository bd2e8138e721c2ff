"""A transistor that follows a Zener diode and feeds a rail."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Pass transistor",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("R1", "resistor", "v12 held", resistance=1e3),
        piece("D1", "zener", "gnd held", breakdown_voltage=5.6),
        piece("Q1", "npn", "v12 held v5"),
        chip("U1", supply="supply v5", ground="ground gnd", out="output out"),
    )


def _sums(m: Match) -> Sums:
    return (
        m.sum("voltage of the rail", "V_Z − V_BE", "V", art(9), at="pass", beside=m.beside_voltage("rail", busy="pass"),
              V_Z=m.quantity("zener", "breakdown_voltage"), V_BE=m.quantity("pass", "base_emitter_drop")),
        m.sum("heat in the transistor", "(V_in − V_out) · I", "W", OHM, at="pass",
              V_in=m.volts("feed", busy="pass"), V_out=m.volts("rail", busy="pass"), I=m.amperes("pass")),
        m.sum("current through the resistor", "(V_in − V_Z) ÷ R", "A", OHM, at="pass",
              beside=m.beside_current("resistor"), V_in=m.volts("feed", busy="pass"),
              V_Z=m.quantity("zener", "breakdown_voltage"), R=m.ohms("resistor")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="pass_transistor",
        title="Zener diode with pass transistor",
        purpose="{pass} follows the voltage of {zener} and feeds {rail} with more current than the Zener diode could.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("pass", "npn darlington_npn", "feed base rail"),
                    role("zener", "zener", "ground base"),
                    role("resistor", "resistor", "feed base"),
                    role("base_capacitor", "electrolytic_capacitor", "base ground", optional=True),
                ),
                nets={"ground": (GROUND,), "feed": (SUPPLY,), "rail": (lambda view, net: net not in view.grounds,),
                      "base": (lambda view, net: net not in view.grounds,)},
            ),
        ),
        rank=8,
        sums=_sums,
        fails=(
            "pass open: the rail is dead",
            "pass shorted: the rail gets the whole of {feed}",
            "zener open: the rail rises with {feed}",
            "zener shorted: the rail is dead",
            "resistor open: the rail is dead",
        ),
        source=art(9),
    ),
)  # fmt: skip
