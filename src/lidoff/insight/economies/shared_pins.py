"""Pins of a chip that serve more than one thing."""

from __future__ import annotations

from collections.abc import Iterator

from lidoff.circuit import Circuit
from lidoff.insight.block import Block
from lidoff.insight.economy import Economy, EconomyKind, Survey
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.wording import told_parts

__all__ = ["MEMBERS"]

CONSEQUENCES = {
    "indicator_button": "the indicator lights while the button is held, and the button is not read while the pin is low",
    "key_matrix": "several keys held at once can be misread",
    "key_ladder": "only one key at a time is read rightly, and worn contacts shift one key towards another",
    "multiplexed_leds": "each LED is lit only a part of the time, so it is fainter or takes larger pulses",
    "charlieplexed_leds": "one LED at a time is lit, and a shorted one disturbs the others",
}


def _example() -> Circuit:
    return sketch(
        "Three keys on one pin",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", keys="input keys"),
        piece("R1", "resistor", "vbat keys", resistance=10e3),
        piece("S1", "button", "keys gnd"),
        piece("R2", "resistor", "keys second", resistance=2.2e3),
        piece("S2", "button", "second gnd"),
    )


def _served(block: Block) -> tuple[tuple[str, ...], int]:
    """Things served, and pins taken."""
    things = tuple(name for role in ("button", "key", "led") for name in block.roles.get(role, ()))
    return things, 1 if block.kind in ("indicator_button", "key_ladder") else len(block.nets)


def _found(survey: Survey) -> Iterator[Economy]:
    for block in survey.of_kind(*CONSEQUENCES):
        things, pins = _served(block)
        if len(things) > pins:
            pin = "one pin serves" if pins == 1 else f"{pins} pins serve"
            yield Economy(
                kind="shared_pins",
                title="pins that do more than one thing",
                what=f"{pin} {told_parts(things)}, which would take {len(things)} pins on their own",
                consequence=CONSEQUENCES[block.kind],
                why="a chip with fewer pins costs less, and so does a board with fewer tracks",
                parts=block.parts,
                source=block.source,
            )


MEMBERS = (
    EconomyKind(
        name="shared_pins",
        title="pins that do more than one thing",
        says="Keys and LEDs that share the pins of a chip.",
        example=_example,
        finds=_found,
    ),
)
