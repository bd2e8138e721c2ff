"""Light-emitting diodes in series with one resistor."""

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
        "LED string",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("R1", "resistor", "v12 a", resistance=150.0),
        piece("D1", "led", "a b", forward_drop=3.1),
        piece("D2", "led", "b c", forward_drop=3.1),
        piece("D3", "led", "c gnd", forward_drop=3.1),
    )


def _sums(m: Match) -> Sums:
    across = m.volts("top", "bottom", busy="led")
    drops = m.total("led", "forward_drop")
    return (
        m.sum("string current", "(V − V_LEDs) ÷ R", "A", OHM, at="led", beside=m.beside_current("led"),
              V=across, V_LEDs=drops, R=m.total("resistor", "resistance")) if m.has("resistor") else None,
        m.sum("share of the voltage that the LEDs take", "V_LEDs ÷ V", "1", OHM, at="led", V=across, V_LEDs=drops),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    across, drops = m.volts("top", "bottom", busy="led"), m.total("led", "forward_drop")
    if not m.has("resistor"):
        return ("no resistor is in the string: what feeds it has to limit the current",)
    if across is None or drops is None:
        return ()
    if across.value < drops.value:
        return (
            "the supply is below the sum of the LEDs' nominal drops: the string glows faintly, if at all",
        )
    if across.value - drops.value < 0.1 * across.value:
        return (
            "the resistor takes less than a tenth of the voltage: a small change of the supply or of the LEDs changes the "
            "current much",
        )
    return ()


MEMBERS = (
    BlockKind(
        name="led_string",
        title="LED string",
        purpose="{led} share one current.",
        example=_example,
        patterns=(
            Pattern(
                roles=(chain("top", "bottom", led=(2, 99), resistor=(0, 3)),),
                where=lambda m: not stands_reversed(m, "top", "bottom"),
            ),
        ),
        rank=6,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "led one open: the whole string goes dark",
            "led one shorted: the others take more current and stay lit",
            "resistor open: the string goes dark",
            "resistor shorted: nothing limits the current but the supply",
        ),
        source=art(2),
    ),
)
