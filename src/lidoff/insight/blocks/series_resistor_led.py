"""One light-emitting diode with a series resistor."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import BlockKind, Pattern, Sums, chain
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, art
from lidoff.insight.which_way import stands_reversed

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "One LED",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("R1", "resistor", "v5 a", resistance=270.0),
        piece("D1", "led", "a gnd"),
    )


def _sums(m: Match) -> Sums:
    across = m.volts("top", "bottom", busy="led")
    return (
        m.sum(
            "LED current",
            "(V − V_F) ÷ R",
            "A",
            OHM,
            at="led",
            beside=m.beside_current("led"),
            V=across,
            V_F=m.quantity("led", "forward_drop"),
            R=m.total("resistor", "resistance"),
        ),
        m.sum(
            "share of the voltage that reaches the LED",
            "V_F ÷ V",
            "1",
            OHM,
            at="led",
            V=across,
            V_F=m.quantity("led", "forward_drop"),
        ),
    )


def _unusual(m: Match) -> tuple[str, ...]:
    found = []
    across, drop = m.volts("top", "bottom", busy="led"), m.number("led", "forward_drop")
    if across is not None and drop is not None and 0.0 < across.value - drop < 0.2 * drop:
        found.append(
            "the resistor has little voltage to work with, so the current depends on the LED's own drop and on the supply"
        )
    amperes, rating = m.peak("led"), m.number("led", "current_rating")
    if amperes is not None and rating and amperes.value > rating:
        found.append(f"the LED carries up to {amperes}, more than its rated current")
    if m.count("resistor") > 1:
        found.append(f"{m.count('resistor')} resistors in series stand where one would do")
    return tuple(found)


MEMBERS = (
    BlockKind(
        name="series_resistor_led",
        title="LED with series resistor",
        purpose="{led} shows a light; its current is set by {resistor}.",
        example=_example,
        patterns=(
            Pattern(
                roles=(chain("top", "bottom", led=(1, 1), resistor=(1, 3)),),
                where=lambda m: not stands_reversed(m, "top", "bottom"),
            ),
        ),
        sums=_sums,
        unusual=_unusual,
        fails=(
            "resistor open: {led} stays dark",
            "resistor shorted: {led} takes whatever the supply gives, and soon fails",
            "led open: no light, and nothing else changes",
            "led shorted: no light; {resistor} takes the whole voltage",
        ),
        source=art(2),
    ),
)
