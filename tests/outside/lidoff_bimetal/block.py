"""A heater that a bimetal switch keeps at its temperature."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.pattern import BlockKind, Pattern, role
from lidoff.insight.sketch import piece, sketch


def _example() -> Circuit:
    return sketch(
        "Heater with a bimetal switch",
        piece("V1", "dc_supply", "vcc gnd", voltage=12.0),
        piece("S1", "bimetal_switch", "vcc hot"),
        piece("R1", "resistor", "hot gnd", resistance=10.0),
    )


MEMBERS = (
    BlockKind(
        name="bimetal_heater",
        title="heater kept warm by a bimetal switch",
        purpose="{switch} feeds {heater} until it is hot, so that it stays near one temperature.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("switch", "bimetal_switch", "feed warm"),
                    role("heater", "resistor", "warm back"),
                )
            ),
        ),
        fails=("contacts of {switch} welded: {heater} gets as hot as it can",),
        source="common practice, no source",
    ),
)
