"""A resistor and a capacitor that delay, filter or reset what an input sees."""

from __future__ import annotations

import re

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SENSED, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE, art
from lidoff.insight.view import View

__all__ = ["MEMBERS", "is_reset"]

CAPACITORS = "capacitor electrolytic_capacitor film_capacitor"
RESET = re.compile(r"(^|[^a-z])n?(reset|rst|res|mclr)([^a-z]|$)")
"""Names that pins and nets of a reset bear; common practice, no source."""


def is_reset(view: View, net: str) -> bool:
    """Whether an input on the net, or the net itself, bears the name of a reset."""
    named = any(
        RESET.search(pin.lower()) for one, pin in view.pins[net] if one.kind in ("box", "controller", "timer")
    )
    return named or RESET.search(net.lower()) is not None


def _delay_example() -> Circuit:
    return sketch(
        "Delay before a gate",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("R1", "resistor", "v5 slow", resistance=100e3),
        piece("C1", "electrolytic_capacitor", "slow gnd", capacitance=10e-6),
        piece("U1", "inverter", "slow out v5 gnd", hysteresis=0.2),
        piece("R2", "resistor", "out a", resistance=1e3),
        piece("D1", "led", "a gnd"),
    )


def _filter_example() -> Circuit:
    return sketch(
        "Filter between two chips",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        chip("U1", supply="supply v5", ground="ground gnd", pwm="output pwm"),
        chip("U2", "box", supply="supply v5", ground="ground gnd", level="input level"),
        piece("R1", "resistor", "pwm level", resistance=10e3),
        piece("C1", "capacitor", "level gnd", capacitance=1e-6),
    )


def _reset_example() -> Circuit:
    return sketch(
        "Reset",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        chip("U1", supply="supply v5", ground="ground gnd", reset="input hold"),
        piece("R1", "resistor", "v5 hold", resistance=10e3),
        piece("C1", "capacitor", "hold gnd", capacitance=100e-9),
    )


def _alone(m: Match) -> bool:
    """No button or second resistor to a rail on the node makes it a debounced line or a divider."""
    for one, _ in m.others("node"):
        if one.kind in ("button", "crystal", "timer", "ntc", "photoresistor", "zener"):
            return False
        if one.kind == "resistor" and set(one.nets.values()) & m.view.rails:
            return False
        inverted = one.kind in ("inverter", "nand_gate", "nor_gate") and m.nets["from"] == one.nets["output"]
        if inverted:
            return False
    return True


def _delay(m: Match) -> bool:
    return _alone(m) and not is_reset(m.view, m.nets["node"])


def _sums(m: Match) -> Sums:
    ohms, farads = m.ohms("resistor"), m.farads("capacitor")
    return (
        m.sum("time constant", "R · C", "s", art(1), R=ohms, C=farads),
        m.sum("time to the middle of the supply", "R · C · ln(2)", "s", art(1), R=ohms, C=farads),
    )


def _filter_sums(m: Match) -> Sums:
    ohms, farads = m.ohms("resistor"), m.farads("capacitor")
    return (
        m.sum("frequency above which it filters", "1 ÷ (2 · π · R · C)", "Hz", art(1), R=ohms, C=farads),
        m.sum("time constant", "R · C", "s", art(1), R=ohms, C=farads),
    )


def _reset_unusual(m: Match) -> tuple[str, ...]:
    if m.has("diode"):
        return ()
    return (
        "no diode empties the capacitor at once when the power goes: a short interruption may give no clean reset",
    )


FAILS = (
    "resistor open: {node} stays where it is, and what waits for it never starts",
    "capacitor open: no delay",
    "capacitor shorted: {node} stays low",
)

MEMBERS = (
    BlockKind(
        name="rc_delay",
        title="RC delay",
        purpose="{resistor} fills {capacitor} slowly, so that {node} follows the supply late.",
        example=_delay_example,
        patterns=(
            Pattern(
                roles=(
                    role("resistor", "resistor", "from node"),
                    role("capacitor", CAPACITORS, "node ground"),
                    role("diode", "diode schottky", "node from", optional=True),
                ),
                nets={"from": (SUPPLY,), "ground": (GROUND,), "node": (NOT_RAIL, SENSED)},
                where=_delay,
            ),
        ),
        also=("series_resistor_led",),
        rank=4,
        sums=_sums,
        fails=FAILS,
        source=art(1),
    ),
    BlockKind(
        name="rc_filter",
        title="RC filter",
        purpose="{resistor} and {capacitor} let {node} follow only the slow changes of {from}.",
        example=_filter_example,
        patterns=(
            Pattern(
                roles=(
                    role("resistor", "resistor", "from node"),
                    role("capacitor", CAPACITORS, "node ground"),
                ),
                nets={"from": (NOT_RAIL,), "ground": (GROUND,), "node": (NOT_RAIL, SENSED)},
                where=_alone,
            ),
        ),
        rank=3,
        sums=_filter_sums,
        fails=(
            "resistor open: {node} no longer follows {from}",
            "capacitor open: noise and pulses of {from} reach what looks at {node}",
            "capacitor shorted: {node} lies on the ground",
        ),
        source=art(1),
    ),
    BlockKind(
        name="reset",
        title="reset at power-up",
        purpose="{resistor} and {capacitor} hold {node} low for a moment after the power comes, "
        "so that the chip starts cleanly.",
        example=_reset_example,
        patterns=(
            Pattern(
                roles=(
                    role("resistor", "resistor", "supply node"),
                    role("capacitor", CAPACITORS, "node ground"),
                    role("diode", "diode schottky", "node supply", optional=True),
                    role("button", "button", "node ground", optional=True),
                ),
                nets={"supply": (SUPPLY,), "ground": (GROUND,), "node": (NOT_RAIL, is_reset)},
            ),
        ),
        rank=7,
        sums=_sums,
        unusual=_reset_unusual,
        fails=(
            "resistor open: the chip stays in reset, or resets at random",
            "capacitor open: the chip may start in a muddle",
            "capacitor shorted: the chip stays in reset",
        ),
        source=PRACTICE,
    ),
)
