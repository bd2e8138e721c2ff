"""A chip with two MOSFETs that parts a cell from the rest when it is too full, too empty or overloaded."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import SENSED, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Cell protection",
        piece("BT1", "cell", "plus cell_minus"),
        chip("U1", "box", supply="supply vdd", ground="ground cell_minus", discharge="output od", charge="output oc",
             sense="input cs"),
        piece("R1", "resistor", "plus vdd", resistance=100.0),
        piece("C1", "capacitor", "vdd cell_minus", capacitance=100e-9),
        piece("Q1", "mosfet_n", "od middle cell_minus", on_resistance=0.02),
        piece("Q2", "mosfet_n", "oc middle gnd", on_resistance=0.02),
        piece("R2", "resistor", "cs gnd", resistance=1e3),
        piece("M1", "motor", "plus gnd"),
    )  # fmt: skip


def _sums(m: Match) -> Sums:
    one, other, amperes = (m.quantity("discharge_switch", "on_resistance"), m.quantity("charge_switch", "on_resistance"),
                           m.amperes("discharge_switch"))  # fmt: skip
    return (
        m.sum("resistance of the two switches", "R_1 + R_2", "Ω", OHM, R_1=one, R_2=other),
        m.sum("voltage lost in the two switches", "I · (R_1 + R_2)", "V", OHM, at="discharge_switch",
              I=amperes, R_1=one, R_2=other),
        m.sum("current at which a chip that trips at 150 mV opens", "V_t ÷ (R_1 + R_2)", "A",
              "common practice, no source: many such chips trip near 150 mV; see its data sheet",
              V_t=m.plain(0.15, "V"), R_1=one, R_2=other),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="cell_protection",
        title="cell protection",
        purpose="{chip} parts the cell from the rest through {discharge_switch} and {charge_switch} when the cell is too full, "
        "too empty, or gives too much current.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("discharge_switch", "mosfet_n", "discharge_gate middle cell_minus"),
                    role("charge_switch", "mosfet_n", "charge_gate middle pack_minus"),
                    role(
                        "chip",
                        "box controller",
                        by_role={
                            "output": "discharge_gate",
                            "output 2": "charge_gate",
                            "ground": "cell_minus",
                        },
                    ),
                    role("cell", "cell battery", "cell_plus cell_minus", shared=True),
                    role("supply_resistor", "resistor", "cell_plus chip_supply", optional=True),
                    role("supply_capacitor", "capacitor", "chip_supply cell_minus", optional=True),
                    role("sense_resistor", "resistor", "sense pack_minus", optional=True),
                ),
                nets={"sense": (SENSED,), "chip_supply": (SUPPLY,)},
            ),
        ),
        rank=9,
        sums=_sums,
        fails=(
            "chip dead: as it leaves the gates; low, the cell gives nothing, high, nothing protects it",
            "discharge_switch shorted: nothing ends a discharge that goes too far, or a short",
            "charge_switch shorted: nothing ends a charge that goes too far but the charger itself",
            "discharge_switch open: the cell gives nothing",
            "sense_resistor open: the chip sees no overload",
        ),
        source=PRACTICE,
    ),
)
