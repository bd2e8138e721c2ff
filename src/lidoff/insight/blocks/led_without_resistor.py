"""One light-emitting diode with nothing in series."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import DRIVEN, RAIL, BlockKind, Pattern, Sums, either, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE
from lidoff.insight.which_way import stands_reversed

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "LED on a pin",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", lamp="output lamp"),
        piece("D1", "led", "lamp gnd"),
    )


def _sums(m: Match) -> Sums:
    return (
        m.sum("power of the LED", "V · I", "W", OHM, at="led", beside=m.beside_current("led"),
              V=m.volts("anode", "cathode", busy="led"), I=m.amperes("led")),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    found = [
        "no resistor sets the current: it hangs on the supply, the LED's own drop and the resistance of what feeds it"
    ]
    amperes, rating = m.peak("led"), m.number("led", "current_rating")
    if amperes is not None and rating and amperes.value > rating:
        found.append(
            f"it carries {amperes}, more than its rated current of {m.quantity('led', 'current_rating')}"
        )
    return tuple(found)


MEMBERS = (
    BlockKind(
        name="led_without_resistor",
        title="LED without a resistor",
        purpose="{led} shows a light; only the resistance of what feeds it limits its current.",
        example=_example,
        patterns=(
            Pattern(
                roles=(role("led", "led", "anode cathode"),),
                nets={"anode": (either(RAIL, DRIVEN),), "cathode": (either(RAIL, DRIVEN),)},
                where=lambda m: not stands_reversed(m, "anode", "cathode"),
            ),
        ),
        rank=2,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "led open: no light, and nothing else changes",
            "led shorted: {anode} lies on {cathode}, and what drives it may fail with it",
        ),
        source=PRACTICE,
    ),
)
