"""A p-channel MOSFET that switches a load to the supply."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "High-side switch",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "high gnd"),
        piece("Q1", "mosfet_p", "gate high vbat"),
        piece("R1", "resistor", "drive gate", resistance=100.0),
        chip("U1", supply="supply vbat", ground="ground gnd", drive="output drive"),
    )


def _switches(m: Match) -> bool:
    """The gate is not simply tied to ground (polarity protection), and the drain feeds something."""
    pins = m.view.pins[m.nets["drain"]]
    others = [one for one, _ in pins if one.reference != m.part("switch").reference]
    return bool(others) and not any(
        one.kind in ("mosfet_n", "npn", "dc_supply", "cell", "battery") for one in others
    )


def _sums(m: Match) -> Sums:
    amperes, ohms = m.amperes("switch"), m.quantity("switch", "on_resistance")
    return (
        m.sum(
            "voltage lost in the switch",
            "I · R_on",
            "V",
            OHM,
            at="switch",
            beside=m.beside_across("switch", "source", "drain"),
            I=amperes,
            R_on=ohms,
        ),
        m.sum("heat in the switch while on", "I^2 · R_on", "W", OHM, at="switch", I=amperes, R_on=ohms),
    )


def _unusual(m: Match) -> tuple[str, ...]:
    pulled = any(
        one.kind == "resistor" and m.nets["source"] in one.nets.values()
        for one, _ in m.view.pins[m.nets["gate"]]
    )
    return () if pulled else ("nothing holds the gate up while whatever drives it starts",)


MEMBERS = (
    BlockKind(
        name="high_side_mosfet",
        title="high-side MOSFET switch",
        purpose="{switch} connects {drain} to the supply {source} while {gate} is pulled down.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("switch", "mosfet_p", "gate drain source"),
                    role("gate_resistor", "resistor", "gate drive", optional=True),
                ),
                nets={
                    "source": (SUPPLY,),
                    "drain": (lambda view, net: net not in view.grounds,),
                    "gate": (NOT_RAIL,),
                    "drive": (NOT_RAIL,),
                },
                where=_switches,
            ),
        ),
        sums=_sums,
        unusual=_unusual,
        fails=(
            "switch shorted: the load cannot be switched off",
            "switch open: the load never runs",
            "gate_resistor open: the load never runs",
        ),
        source=art(3),
    ),
)
