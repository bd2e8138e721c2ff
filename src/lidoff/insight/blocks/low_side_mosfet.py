"""An n-channel MOSFET that switches a load to the ground."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art
from lidoff.insight.view import PlacedPart

__all__ = ["MEMBERS", "is_shunt"]

LARGEST_SHUNT = 15.0
"""A resistor below the source up to here only senses the current [Ω]; common practice, no source."""


def _example() -> Circuit:
    return sketch(
        "Low-side switch",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "vbat low"),
        piece("Q1", "mosfet_n", "gate low gnd"),
        piece("R1", "resistor", "drive gate", resistance=100.0),
        chip("U1", supply="supply vbat", ground="ground gnd", drive="output drive"),
    )


def _switches(m: Match) -> bool:
    """A load hangs on the drain, and the gate is neither part of a loop nor tied to the drain."""
    at_drain = [one for one, _ in m.view.pins[m.nets["drain"]] if one.reference != m.part("switch").reference]
    return bool(at_drain) and not any(one.kind in ("mosfet_p", "pnp") for one in at_drain)


def is_shunt(one: PlacedPart) -> bool:
    """Whether a resistor is so small that it only senses the current."""
    ohms = one.value("resistance")
    return ohms is not None and ohms <= LARGEST_SHUNT


def _sums(m: Match) -> Sums:
    amperes, ohms = m.amperes("switch"), m.quantity("switch", "on_resistance")
    return (
        m.sum("voltage lost in the switch", "I · R_on", "V", OHM, at="switch",
              beside=m.beside_across("switch", "drain", "tail" if "tail" in m.nets else "ground"),
              I=amperes, R_on=ohms),
        m.sum("heat in the switch while on", "I^2 · R_on", "W", OHM, at="switch", I=amperes, R_on=ohms),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    found = []
    pulled = any(
        one.kind == "resistor" and m.view.ground in one.nets.values()
        for one, _ in m.view.pins[m.nets["gate"]]
    )
    if not pulled and not m.has("gate_resistor"):
        found.append("nothing holds the gate down while whatever drives it starts up")
    threshold, drive = m.number("switch", "threshold"), m.volts("gate", busy="switch")
    amperes = m.amperes("switch")
    if drive is not None and threshold and amperes and amperes.value > 0.01 and drive.value < 1.5 * threshold:
        found.append(
            "the gate is driven little above its threshold: the switch is not fully on, and gets warm"
        )
    return tuple(found)


MEMBERS = (
    BlockKind(
        name="low_side_mosfet",
        title="low-side MOSFET switch",
        purpose="{switch} switches the lower end of the load at {drain} to the ground.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("switch", "mosfet_n", "gate drain ground"),
                    role("gate_resistor", "resistor", "gate drive", optional=True),
                ),
                nets={"ground": (GROUND,), "drain": (NOT_RAIL,), "gate": (NOT_RAIL,), "drive": (NOT_RAIL,)},
                where=_switches,
            ),
            Pattern(
                roles=(
                    role("switch", "mosfet_n", "gate drain tail"),
                    role("shunt", "resistor", "tail ground", shared=True, where=is_shunt),
                    role("gate_resistor", "resistor", "gate drive", optional=True),
                ),
                nets={"ground": (GROUND,), "drain": (NOT_RAIL,), "gate": (NOT_RAIL,), "drive": (NOT_RAIL,)},
                where=_switches,
            ),
        ),
        sums=_sums,
        unusual=_unusual,
        fails=(
            "switch shorted: the load runs and cannot be switched off",
            "switch open: the load never runs",
            "gate_resistor open: the load never runs",
        ),
        source=art(3),
    ),
)
