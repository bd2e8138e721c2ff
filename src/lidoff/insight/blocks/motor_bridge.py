"""Four switches round a motor, so that it can turn either way."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Motor bridge",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "left right"),
        piece("Q1", "mosfet_p", "a left vbat"),
        piece("Q2", "mosfet_n", "b left gnd"),
        piece("Q3", "mosfet_p", "c right vbat"),
        piece("Q4", "mosfet_n", "d right gnd"),
        chip(
            "U1",
            supply="supply vbat",
            ground="ground gnd",
            a="output a",
            b="output b",
            c="output c",
            d="output d",
        ),
    )


def _sums(m: Match) -> Sums:
    upper, lower = m.quantity("left_upper", "on_resistance"), m.quantity("right_lower", "on_resistance")
    return (
        m.sum("resistance of the two switches in the way", "R_1 + R_2", "Ω", OHM, R_1=upper, R_2=lower),
        m.sum("voltage lost in them", "I · (R_1 + R_2)", "V", OHM, at="motor", I=m.amperes("motor"), R_1=upper, R_2=lower),
    ) if upper is not None else ()  # fmt: skip


def _patterns() -> tuple[Pattern, ...]:
    ways = (
        ("mosfet_p", "mosfet_n", "{gate} {out} supply", "{gate} {out} ground"),
        ("mosfet_n", "mosfet_n", "{gate} supply {out}", "{gate} {out} ground"),
        ("pnp", "npn", "{out} {gate} supply", "{out} {gate} ground"),
    )
    return tuple(
        Pattern(
            roles=(
                role("motor", "motor", "left right", shared=True),
                role("left_upper", upper, up.format(gate="g_1", out="left")),
                role("left_lower", lower, down.format(gate="g_2", out="left")),
                role("right_upper", upper, up.format(gate="g_3", out="right")),
                role("right_lower", lower, down.format(gate="g_4", out="right")),
            ),
            nets={"supply": (SUPPLY,), "ground": (GROUND,), "left": (NOT_RAIL,), "right": (NOT_RAIL,)},
            loose=("g_1", "g_2", "g_3", "g_4"),
        )
        for upper, lower, up, down in ways
    )


MEMBERS = (
    BlockKind(
        name="motor_bridge",
        title="motor bridge",
        purpose="{left_upper} and {right_lower} turn {motor} one way, {right_upper} and {left_lower} the other.",
        example=_example,
        patterns=_patterns(),
        rank=9,
        sums=_sums,
        fails=(
            "left_upper shorted: with {left_lower} on, it shorts the supply",
            "left_lower shorted: with {left_upper} on, it shorts the supply",
            "left_upper open: the motor turns one way only",
        ),
        source=art(3),
    ),
)
