"""A bipolar transistor that switches a load, to the ground or to the supply."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import art

__all__ = ["MEMBERS"]

FORCED_GAIN = 20.0
"""Ratio of collector to base current up to which a small transistor is sure to be fully on; common practice, no source."""


def _low_example() -> Circuit:
    return sketch(
        "Bipolar low-side switch",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "vbat low"),
        piece("Q1", "npn", "low base gnd"),
        piece("R1", "resistor", "drive base", resistance=1e3),
        chip("U1", supply="supply vbat", ground="ground gnd", drive="output drive"),
    )


def _high_example() -> Circuit:
    return sketch(
        "Bipolar high-side switch",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "high gnd"),
        piece("Q1", "pnp", "high base vbat"),
        piece("R1", "resistor", "drive base", resistance=1e3),
        chip("U1", supply="supply vbat", ground="ground gnd", drive="output drive"),
    )


def _switches(m: Match) -> bool:
    """A load hangs on the collector, and the base is driven through a resistor that leads to no reference of its own."""
    loads = m.others("collector")
    held = m.touches("base", "zener shunt_reference led")
    fed_back = any(
        one.kind in ("capacitor", "electrolytic_capacitor") and m.nets["base"] in one.nets.values()
        for one, _ in loads
    )
    wound = any(one.kind.endswith("transformer") for one, _ in loads)
    return bool(loads) and not held and not fed_back and not wound


def _sums(m: Match) -> Sums:
    low = m.part("switch").kind == "npn"
    drive = m.volts("drive", "ground", busy="switch") if low else m.volts("supply", "drive", busy="switch")
    drop, ohms = m.quantity("switch", "base_emitter_drop"), m.ohms("base_resistor")
    return (
        m.sum("base current", "(V_drive − V_BE) ÷ R_B", "A", art(2), at="switch", beside=m.beside_current("base_resistor"),
              V_drive=drive, V_BE=drop, R_B=ohms),
        m.sum("collector current for each unit of base current", "I_C · R_B ÷ (V_drive − V_BE)", "1", art(2), at="switch",
              I_C=m.amperes("switch"), V_drive=drive, V_BE=drop, R_B=ohms),
        m.sum("largest collector current that the gain allows", "β · (V_drive − V_BE) ÷ R_B", "A", art(2), at="switch",
              β=m.quantity("switch", "current_gain"), V_drive=drive, V_BE=drop, R_B=ohms),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    found = []
    drive, ohms = m.volts("drive", busy="switch"), m.number("base_resistor", "resistance")
    drop, amperes = m.number("switch", "base_emitter_drop"), m.amperes("switch")
    if m.part("switch").kind == "npn" and drive and ohms and drop and amperes:
        base = (drive.value - drop) / ohms
        if base > 0.0 and amperes.value > 1e-3 and amperes.value / base > 2.0 * FORCED_GAIN:
            found.append(
                f"the base gets little current for what the collector carries (1 : {amperes.value / base:.0f}): "
                "the transistor may not be fully on, and gets warm"
            )
    if any(one.kind in ("motor", "relay", "inductor") for one, _ in m.others("collector")):
        guarded = any(one.kind in ("diode", "schottky") for one, _ in m.others("collector"))
        if not guarded:
            found.append("nothing takes over the load's current when the transistor switches off")
    return tuple(found)


FAILS = (
    "switch shorted: the load runs and cannot be switched off",
    "switch open: the load never runs",
    "base_resistor open: the load never runs",
    "base_resistor shorted: what drives the base is overloaded, and {switch} may burn",
)

MEMBERS = (
    BlockKind(
        name="bipolar_low_side",
        title="bipolar switch, low side",
        purpose="{switch} switches the lower end of the load at {collector} to the ground; "
        "{base_resistor} sets its base current.",
        example=_low_example,
        patterns=(
            Pattern(
                roles=(
                    role("switch", "npn", "collector base ground"),
                    role("base_resistor", "resistor", "base drive"),
                    role("base_pull", "resistor", "base ground", optional=True),
                ),
                nets={"ground": (GROUND,), "collector": (NOT_RAIL,), "base": (NOT_RAIL,)},
                where=_switches,
            ),
        ),
        rank=5,
        sums=_sums,
        unusual=_unusual,
        fails=FAILS,
        source=art(2),
    ),
    BlockKind(
        name="bipolar_high_side",
        title="bipolar switch, high side",
        purpose="{switch} connects {collector} to {supply} while its base is pulled down through {base_resistor}.",
        example=_high_example,
        patterns=(
            Pattern(
                roles=(
                    role("switch", "pnp", "collector base supply"),
                    role("base_resistor", "resistor", "base drive"),
                    role("base_pull", "resistor", "base supply", optional=True),
                ),
                nets={"supply": (SUPPLY,), "base": (NOT_RAIL,),
                      "collector": (lambda view, net: net not in view.grounds,)},
                where=_switches,
            ),
        ),
        rank=5,
        sums=_sums,
        unusual=_unusual,
        fails=FAILS,
        source=art(2),
    ),
)  # fmt: skip
