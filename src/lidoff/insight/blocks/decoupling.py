"""A capacitor close to a chip, between its supply and the ground."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, SUPPLY, BlockKind, Pattern, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE
from lidoff.insight.view import BOXES, GATE_KINDS, PlacedPart

__all__ = ["MEMBERS"]

LARGEST = 4.7e-6
"""From here on a capacitor counts as bulk [F]; common practice, no source."""


def _example() -> Circuit:
    return sketch(
        "Decoupling",
        piece("BT1", "cell", "vcc gnd"),
        chip("U1", supply="supply vcc", ground="ground gnd", out="output out"),
        piece("C1", "capacitor", "vcc gnd", capacitance=100e-9),
    )


def _small(one: PlacedPart) -> bool:
    farads = one.value("capacitance")
    return farads is not None and farads < LARGEST


def _beside_a_chip(m: Match) -> bool:
    kinds = BOXES | GATE_KINDS | {"linear_regulator", "step_down_converter", "step_up_converter"}
    return any(one.kind in kinds for one, _ in m.view.pins[m.nets["rail"]])


MEMBERS = (
    BlockKind(
        name="decoupling",
        title="decoupling capacitor",
        purpose="{capacitor} gives the chips on {rail} their short pulses of current from close by.",
        example=_example,
        patterns=(
            Pattern(
                roles=(role("capacitor", "capacitor film_capacitor", "rail ground", where=_small),),
                nets={"rail": (SUPPLY,), "ground": (GROUND,)},
                where=_beside_a_chip,
            ),
        ),
        rank=2,
        fails=(
            "capacitor open: it may work on, with more noise on {rail} and now and then a fault that nobody can find",
            "capacitor shorted: {rail} is shorted to the ground",
        ),
        source=PRACTICE,
    ),
)
