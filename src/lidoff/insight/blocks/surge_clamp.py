"""Parts that take surges on a supply or a line."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import ALTERNATING, GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Surge clamp",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("D1", "suppressor", "gnd v5", breakdown_voltage=6.8),
        chip("U1", supply="supply v5", ground="ground gnd", out="output out"),
    )


def _sums(m: Match) -> Sums:
    period = m.highest_across("clamp")
    at, where = ("", period.situation) if period else ("clamp", "")
    return (
        m.sum("distance between the highest working voltage and where it starts to conduct", "V_B − V", "V", OHM,
              at=at, situation=where, V_B=m.quantity("clamp", "breakdown_voltage"),
              V=period.quantity if period else m.volts("line", "return", busy="clamp")),
        m.sum("voltage at 1 A of surge", "V_B + R · I", "V", "slope of its data sheet's curve",
              V_B=m.quantity("clamp", "breakdown_voltage"), R=m.quantity("clamp", "dynamic_resistance"),
              I=m.plain(1.0, "A")),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    period, start = m.highest_across("clamp"), m.number("clamp", "breakdown_voltage")
    volts = period.quantity if period else m.volts("line", "return", busy="clamp")
    if volts is not None and start is not None and volts.value > 0.95 * start:
        return ("the working voltage reaches its breakdown: it conducts all the time",)
    return ()


def _no_feed(m: Match) -> bool:
    """Not a Zener diode that regulates: no resistor feeds the line from another rail."""
    return m.part("clamp").kind != "zener" or not m.touches("line", "resistor film_capacitor")


MEMBERS = (
    BlockKind(
        name="surge_clamp",
        title="surge clamp",
        purpose="{clamp} conducts when {line} rises far above its working voltage, and so takes surges from what follows.",
        example=_example,
        patterns=(
            Pattern(
                roles=(role("clamp", "suppressor zener", "return line"),),
                nets={"return": (GROUND,), "line": (SUPPLY,)},
                where=_no_feed,
            ),
            Pattern(
                roles=(role("clamp", "two_way_suppressor varistor", "line return"),),
                nets={"return": (GROUND,), "line": (lambda view, net: net not in view.grounds,)},
            ),
            Pattern(
                roles=(role("clamp", "two_way_suppressor varistor", "line return"),),
                nets={"line": (ALTERNATING,)},
            ),
            Pattern(
                roles=(role("clamp", "suppressor", "return line"),),
                nets={"return": (GROUND,), "line": (NOT_RAIL,)},
            ),
        ),
        rank=4,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "clamp open: surges reach what follows, which works on until one is too many",
            "clamp shorted: the supply is shorted, and the fuse opens if there is one",
        ),
        source=PRACTICE,
    ),
)
