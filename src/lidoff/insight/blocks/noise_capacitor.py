"""A capacitor right across a motor."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.pattern import BlockKind, Pattern, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import PRACTICE

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Noise capacitor",
        piece("BT1", "battery", "vbat gnd"),
        piece("S1", "switch", "vbat run"),
        piece("M1", "motor", "run gnd"),
        piece("C1", "capacitor", "run gnd", capacitance=100e-9),
    )


MEMBERS = (
    BlockKind(
        name="noise_capacitor",
        title="noise capacitor",
        purpose="{capacitor} shorts the sparks' noise of {motor} where it arises.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("motor", "motor", "plus minus", shared=True),
                    role(
                        "capacitor",
                        "capacitor film_capacitor",
                        "plus minus",
                        many=True,
                        where=lambda one: (one.value("capacitance") or 1.0) < 1e-6,
                    ),
                ),
            ),
        ),
        also=("power_switch",),
        rank=4,
        fails=(
            "capacitor open: radios nearby crackle, and a controller may start over now and then",
            "capacitor shorted: the motor is shorted, and its switch carries the short",
        ),
        source=PRACTICE,
    ),
)
