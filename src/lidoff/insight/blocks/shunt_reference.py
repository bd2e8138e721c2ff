"""A shunt reference that holds a voltage through a resistor."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Shunt reference",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("R1", "resistor", "v12 held", resistance=470.0),
        piece("U1", "shunt_reference", "held gnd tap"),
        piece("R2", "resistor", "held tap", resistance=10e3),
        piece("R3", "resistor", "tap gnd", resistance=10e3),
    )


def _sums(m: Match) -> Sums:
    reference = m.quantity("reference", "reference_voltage")
    if m.has("upper"):
        held = m.sum("voltage held", "V_ref · (1 + R_up ÷ R_low)", "V", art(9), at="resistor",
                     beside=m.beside_voltage("held", busy="resistor"), V_ref=reference, R_up=m.ohms("upper"),
                     R_low=m.ohms("lower"))  # fmt: skip
    else:
        held = m.sum("voltage held", "V_ref", "V", art(9), at="resistor",
                     beside=m.beside_voltage("held", busy="resistor"), V_ref=reference)  # fmt: skip
    return (
        held,
        m.sum("current through the feeding resistor", "(V_in − V) ÷ R", "A", OHM, at="resistor",
              beside=m.beside_current("resistor"), V_in=m.volts("feed", busy="resistor"),
              V=m.volts("held", busy="resistor"), R=m.ohms("resistor")),
    )  # fmt: skip


HELD = (
    role("reference", "shunt_reference", "held ground held"),
    role("resistor", "resistor", "feed held"),
    role("capacitor", "capacitor electrolytic_capacitor", "held ground", optional=True),
)

MEMBERS = (
    BlockKind(
        name="shunt_reference",
        title="shunt reference",
        purpose="{reference} takes just so much current through {resistor} that the voltage at {held} stays.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("reference", "shunt_reference", "held ground tap"),
                    role("upper", "resistor", "held tap"),
                    role("lower", "resistor", "tap ground"),
                    role("resistor", "resistor", "feed held"),
                    role("capacitor", "capacitor electrolytic_capacitor", "held ground", optional=True),
                ),
                nets={"ground": (GROUND,), "tap": (NOT_RAIL,)},
            ),
            Pattern(roles=HELD, nets={"ground": (GROUND,)}),
        ),
        rank=7,
        sums=_sums,
        fails=(
            "reference open: the voltage rises towards that of {feed}",
            "reference shorted: the voltage is gone",
            "resistor open: the voltage is gone",
            "upper open: the voltage rises towards that of {feed}",
            "lower open: the voltage falls to little more than the reference",
        ),
        source=art(9),
    ),
)
