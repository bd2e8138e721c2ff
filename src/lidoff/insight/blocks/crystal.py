"""A crystal or resonator at the clock pins of a chip."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE, art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Crystal",
        piece("J1", "dc_supply", "v3 gnd", voltage=3.3),
        chip("U1", supply="supply v3", ground="ground gnd", clock_in="input xi", clock_out="output xo"),
        piece("Y1", "crystal", "xi xo"),
        piece("C1", "capacitor", "xi gnd", capacitance=18e-12),
        piece("C2", "capacitor", "xo gnd", capacitance=18e-12),
    )


def _sums(m: Match) -> Sums:
    return (
        m.sum("load on the crystal from its two capacitors, with 3 pF for the board", "C_1 · C_2 ÷ (C_1 + C_2) + C_s", "F",
              art(7) + "; 3 pF: common practice, no source", C_1=m.farads("first_capacitor"),
              C_2=m.farads("second_capacitor"), C_s=m.plain(3e-12, "F"))
        if m.has("first_capacitor") and m.has("second_capacitor") else None,
        m.sum("time of one swing", "1 ÷ f", "s", "definition", f=m.quantity("crystal", "frequency")),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    if m.has("first_capacitor") and m.has("second_capacitor"):
        first, second = (
            m.number("first_capacitor", "capacitance"),
            m.number("second_capacitor", "capacitance"),
        )
        if first and second and not 0.5 <= first / second <= 2.0:
            return ("its two capacitors are far from equal, which textbooks ask for",)
        return ()
    return ("no load capacitors stand beside it: the chip has its own, or it runs a little fast",)


MEMBERS = (
    BlockKind(
        name="crystal",
        title="crystal or resonator",
        purpose="{crystal} sets the pace at which the chip works.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("crystal", "crystal", "one other"),
                    role("first_capacitor", "capacitor", "one ground", optional=True),
                    role("second_capacitor", "capacitor", "other ground", optional=True),
                    role("starter", "resistor", "one other", optional=True),
                ),
                nets={"one": (NOT_RAIL,), "other": (NOT_RAIL,), "ground": (GROUND,)},
            ),
        ),
        rank=8,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "crystal cracked: the chip does not start, or its own slow clock takes over",
            "first_capacitor shorted: the chip does not start",
            "first_capacitor open: it runs a little fast, and may not start in the cold",
        ),
        source=PRACTICE,
    ),
)
