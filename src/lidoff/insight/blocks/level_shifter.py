"""One MOSFET that joins two lines of different supplies, both ways."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM

__all__ = ["MEMBERS"]

SOURCE = "NXP Semiconductors, application note AN10441, Level shifting techniques in I2C-bus design, 2007 (from memory)"


def _example() -> Circuit:
    return sketch(
        "Level shifter",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("U3", "linear_regulator", "v5 gnd v3", output_voltage=3.3),
        piece("Q1", "mosfet_n", "v3 line_high line_low"),
        piece("R1", "resistor", "v3 line_low", resistance=10e3),
        piece("R2", "resistor", "v5 line_high", resistance=10e3),
        chip("U1", supply="supply v3", ground="ground gnd", data="both line_low"),
        chip("U2", "box", supply="supply v5", ground="ground gnd", data="both line_high"),
    )


def _sums(m: Match) -> Sums:
    low, high = m.volts("low_supply"), m.volts("high_supply")
    return (
        m.sum("current that the low side sinks while it pulls the line down", "V_low ÷ R_low + V_high ÷ R_high", "A", OHM,
              at="switch", resting=True, V_low=low, R_low=m.ohms("low_pull"), V_high=high, R_high=m.ohms("high_pull")),
        m.sum("voltage that turns the MOSFET on while the low side pulls down", "V_low", "V", SOURCE, at="switch", resting=True,
              V_low=low),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="level_shifter",
        title="level shifter",
        purpose="{switch} joins {low_line} and {high_line}, which idle at different voltages, so that either side "
        "can pull both down.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("switch", "mosfet_n", "low_supply high_line low_line"),
                    role("low_pull", "resistor", "low_supply low_line"),
                    role("high_pull", "resistor", "high_supply high_line"),
                ),
                nets={
                    "low_supply": (SUPPLY,),
                    "high_supply": (SUPPLY,),
                    "low_line": (NOT_RAIL,),
                    "high_line": (NOT_RAIL,),
                },
            ),
        ),
        also=("linear_regulator",),
        rank=8,
        sums=_sums,
        fails=(
            "switch open: the two sides no longer hear each other",
            "switch shorted: the low side sees the voltage of {high_supply}, which may be more than it stands",
            "low_pull open: {low_line} rises late or not at all",
            "high_pull open: {high_line} does not rise above {low_supply}",
        ),
        source=SOURCE,
    ),
)
