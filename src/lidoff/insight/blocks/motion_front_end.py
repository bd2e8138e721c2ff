"""The first stages behind a pyroelectric sensor that feels people move."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE, art
from lidoff.insight.view import PlacedPart

__all__ = ["MEMBERS"]

CAPACITORS = "capacitor electrolytic_capacitor"


def _example() -> Circuit:
    return sketch(
        "Motion sensor",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        chip("PIR1", "box", supply="supply v5", ground="ground gnd", out="output feeble"),
        piece("R1", "resistor", "feeble gnd", resistance=47e3),
        piece("U1", "operational_amplifier", "feeble back strong v5 gnd"),
        piece("R2", "resistor", "strong back", resistance=1e6),
        piece("C1", "capacitor", "strong back", capacitance=10e-9),
        piece("R3", "resistor", "back low", resistance=10e3),
        piece("C2", "electrolytic_capacitor", "low gnd", capacitance=10e-6),
    )


def _three_pins(one: PlacedPart) -> bool:
    return len(one.nets) == 3


def _load(one: PlacedPart) -> bool:
    ohms = one.value("resistance")
    return ohms is not None and 10e3 <= ohms <= 220e3


def _sums(m: Match) -> Sums:
    up, down = m.ohms("feedback"), m.ohms("gain_resistor")
    return (
        m.sum("gain of the first stage", "1 + R_f ÷ R_g", "1", art(4), R_f=up, R_g=down),
        m.sum("slowest movement it amplifies fully", "1 ÷ (2 · π · R_g · C_g)", "Hz", art(4), R_g=down,
              C_g=m.farads("gain_capacitor")),
        m.sum("fastest movement it amplifies fully", "1 ÷ (2 · π · R_f · C_f)", "Hz", art(4), R_f=up,
              C_f=m.farads("feedback_capacitor")) if m.has("feedback_capacitor") else None,
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="motion_front_end",
        title="motion sensor's first stage",
        purpose="{sensor} gives a feeble slow voltage when warmth moves in front of it; {amplifier} amplifies its changes and "
        "leaves the steady part alone.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("amplifier", "operational_amplifier", "feeble back strong - -"),
                    role("sensor", "box", by_role={"output": "feeble"}, where=_three_pins),
                    role("load", "resistor", "feeble ground", where=_load),
                    role("feedback", "resistor", "strong back"),
                    role("gain_resistor", "resistor", "back low"),
                    role("gain_capacitor", CAPACITORS, "low ground"),
                    role("feedback_capacitor", "capacitor", "strong back", optional=True),
                ),
                nets={"ground": (GROUND,), "feeble": (NOT_RAIL,), "back": (NOT_RAIL,), "low": (NOT_RAIL,)},
            ),
        ),
        rank=9,
        sums=_sums,
        fails=(
            "load open: the sensor gives nothing useful, and the alarm stays silent or never ends",
            "feedback open: the first stage sticks at one end",
            "gain_capacitor open: no gain: movement is no longer seen",
            "gain_capacitor leaky: it drifts to one end, and the alarm goes off for nothing",
        ),
        source=PRACTICE,
    ),
)
