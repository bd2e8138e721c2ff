"""A resistor that gives a line its level while nothing drives it."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SENSED, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE
from lidoff.insight.view import PlacedPart

__all__ = ["MEMBERS"]

SMALLEST = 470.0
"""A smaller resistor from a rail to an input is no pull [Ω]; common practice, no source."""
STEERED = frozenset({("npn", "base"), ("pnp", "base"), ("mosfet_n", "gate"), ("mosfet_p", "gate")})


def _up_example() -> Circuit:
    return sketch(
        "Pull-up",
        piece("BT1", "battery", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", ready="input ready"),
        chip("U2", "box", supply="supply vbat", ground="ground gnd", done="output ready"),
        piece("R1", "resistor", "vbat ready", resistance=10e3),
    )


def _down_example() -> Circuit:
    return sketch(
        "Pull-down",
        piece("BT1", "battery", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", present="input present"),
        piece("S1", "switch", "vbat present"),
        piece("R1", "resistor", "present gnd", resistance=100e3),
    )


def _large(one: PlacedPart) -> bool:
    return (one.value("resistance") or 0.0) >= SMALLEST


def _only_pulls(m: Match) -> bool:
    """No other resistor to a rail, sensor or transistor's base on the line makes it something else."""
    for one, pin in m.others("line"):
        far = [net for net in one.nets.values() if net != m.nets["line"]]
        if one.kind == "resistor" and set(far) & m.view.rails:
            return False
        if one.kind in ("capacitor", "electrolytic_capacitor", "film_capacitor", "crystal", "button"):
            return False
        if one.kind in ("ntc", "photoresistor", "phototransistor", "photodiode", "optocoupler"):
            return False
        if (one.kind, pin) in STEERED or one.kind in ("timer", "operational_amplifier", "comparator"):
            return False
        if one.kind in ("inductor", "piezo", "shunt_reference", "linear_charger"):
            return False
    return True


def _sums(m: Match) -> Sums:
    return (
        m.sum("current while the line is held at the other level", "V ÷ R", "A", OHM, at="pull", resting=True,
              beside=m.beside_current("pull"),
              V=m.volts("rail", busy="pull") if "rail" in m.nets else m.highest(), R=m.ohms("pull")),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    ohms = m.number("pull", "resistance")
    if ohms is not None and ohms > 1e6:
        return (
            "so large a resistor is overruled by dirt and moisture on the board: the line may wander when it is damp",
        )
    return ()


MEMBERS = (
    BlockKind(
        name="pull_up",
        title="pull-up",
        purpose="{pull} holds {line} high while nothing pulls it down.",
        example=_up_example,
        patterns=(
            Pattern(
                roles=(role("pull", "resistor", "rail line", where=_large),),
                nets={"rail": (SUPPLY,), "line": (NOT_RAIL, SENSED)},
                where=_only_pulls,
            ),
        ),
        rank=2,
        sums=_sums,
        unusual=_unusual,
        fails=("pull open: {line} floats while nothing drives it, and reads as it likes",),
        source=PRACTICE,
    ),
    BlockKind(
        name="pull_down",
        title="pull-down",
        purpose="{pull} holds {line} low while nothing pulls it up.",
        example=_down_example,
        patterns=(
            Pattern(
                roles=(role("pull", "resistor", "low line", where=_large),),
                nets={"low": (GROUND,), "line": (NOT_RAIL, SENSED)},
                where=_only_pulls,
            ),
        ),
        rank=2,
        sums=_sums,
        unusual=_unusual,
        fails=("pull open: {line} floats while nothing drives it, and reads as it likes",),
        source=PRACTICE,
    ),
)
