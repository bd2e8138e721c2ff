"""Two transistors, or one that holds two, of which the first drives the second."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Darlington switch",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("M1", "motor", "v12 low"),
        piece("Q1", "npn", "low base middle"),
        piece("Q2", "npn", "low middle gnd"),
        piece("R1", "resistor", "drive base", resistance=10e3),
        chip("U1", supply="supply v12", ground="ground gnd", drive="output drive"),
    )


def _sums(m: Match) -> Sums:
    amperes = m.amperes("second") if m.has("second") else m.amperes("pair")
    at = "second" if m.has("second") else "pair"
    if m.has("second"):
        return (
            m.sum("gain of both together", "β_1 · β_2", "1", art(2), β_1=m.quantity("first", "current_gain"),
                  β_2=m.quantity("second", "current_gain")),
            m.sum("voltage lost while on", "V_BE + V_CE", "V", art(2) + "; V_CE of a transistor that is fully on: 0.1 V",
                  beside=m.beside_voltage("collector", busy=at), V_BE=m.quantity("second", "base_emitter_drop"),
                  V_CE=m.plain(0.1, "V")),
            m.sum("heat while on", "(V_BE + 0.1) · I", "W", art(2), at=at, I=amperes,
                  V_BE=m.quantity("second", "base_emitter_drop")),
        )  # fmt: skip
    return (
        m.sum("gain of both together", "β_1 · β_2", "1", art(2), β_1=m.quantity("pair", "first_gain"),
              β_2=m.quantity("pair", "second_gain")),
    )  # fmt: skip


def _loaded(m: Match) -> bool:
    return bool(m.others("collector"))


MEMBERS = (
    BlockKind(
        name="darlington",
        title="Darlington switch",
        purpose="The small current at {base} is amplified twice, and the load at {collector} is switched to {emitter}.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("second", "npn", "collector middle emitter"),
                    role("first", "npn", "collector base middle"),
                    role("base_resistor", "resistor", "base drive", optional=True),
                    role("drain_resistor", "resistor", "middle emitter", optional=True),
                ),
                nets={"emitter": (GROUND,), "collector": (NOT_RAIL,), "middle": (NOT_RAIL,)},
                where=_loaded,
            ),
            Pattern(
                roles=(
                    role("pair", "darlington_npn", "collector base emitter"),
                    role("base_resistor", "resistor", "base drive", optional=True),
                ),
                nets={"emitter": (GROUND,), "collector": (NOT_RAIL,)},
                where=_loaded,
            ),
        ),
        rank=7,
        sums=_sums,
        fails=(
            "first open: the load never runs",
            "second open: the load gets next to no current",
            "second shorted: the load cannot be switched off",
            "pair shorted: the load cannot be switched off",
            "pair open: the load never runs",
        ),
        source=art(2),
    ),
)
