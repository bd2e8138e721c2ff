"""Capacitors and diodes that stack voltage on voltage."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.blocks.rectifier import source_of
from lidoff.insight.match import Match
from lidoff.insight.pattern import ALTERNATING, DRIVEN, NOT_RAIL, BlockKind, Pattern, Role, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import art
from lidoff.insight.view import View

__all__ = ["MEMBERS"]

CAPACITORS = "capacitor electrolytic_capacitor film_capacitor"
DIODES = "diode schottky"


def _pump_example() -> Circuit:
    return sketch(
        "Charge pump",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", clock="output clock"),
        piece("C1", "capacitor", "clock middle", capacitance=100e-9),
        piece("D1", "schottky", "vbat middle"),
        piece("D2", "schottky", "middle high"),
        piece("C2", "capacitor", "high gnd", capacitance=1e-6),
    )


def _multiplier_example() -> Circuit:
    return sketch(
        "Voltage doubler",
        piece("J1", "ac_supply", "a gnd", voltage=9.0),
        piece("C1", "electrolytic_capacitor", "middle a", capacitance=100e-6),
        piece("D1", "diode", "gnd middle"),
        piece("D2", "diode", "middle high"),
        piece("C2", "electrolytic_capacitor", "high gnd", capacitance=100e-6),
    )


def _pump_sums(m: Match) -> Sums:
    return (
        m.sum("highest output, without load and with a clock as high as the feed", "2 · (V − V_F)", "V", art(9),
              at="first_diode", V=m.volts("feed", busy="first_diode"), V_F=m.quantity("first_diode", "forward_drop")),
    )  # fmt: skip


def _multiplier_sums(m: Match) -> Sums:
    return (
        m.sum("highest output, without load", "2 · (√(2) · U − V_F)", "V", art(1), U=source_of(m.view, "voltage"),
              V_F=m.quantity("first_diode", "forward_drop")),
    )  # fmt: skip


def _steady(view: View, net: str) -> bool:
    """No mains and no winding is on the net."""
    return net not in view.alternating


STAGE: tuple[Role, ...] = (
    role("pump", CAPACITORS, "drive middle"),
    role("first_diode", DIODES, "feed middle"),
    role("second_diode", DIODES, "middle out"),
    role("store", CAPACITORS, "out -"),
)
TURNED: tuple[Role, ...] = (
    role("pump", CAPACITORS, "middle drive"),
    role("first_diode", DIODES, "feed middle"),
    role("second_diode", DIODES, "middle out"),
    role("store", CAPACITORS, "out -"),
)
FAILS = (
    "pump open: {out} gets no more than the feed less two diodes",
    "pump shorted: {drive} is joined to {middle}, and what drives it is loaded",
    "second_diode open: {out} is dead",
    "store open: {out} pulses",
)

MEMBERS = (
    BlockKind(
        name="charge_pump",
        title="charge pump",
        purpose="{pump} is filled from {feed} while {drive} is low, and lifted above it when {drive} goes high: {out} gets "
        "more than the supply.",
        example=_pump_example,
        patterns=tuple(
            Pattern(roles=roles, nets={"drive": (DRIVEN, NOT_RAIL, _steady), "middle": (NOT_RAIL,)})
            for roles in (STAGE, TURNED)
        ),
        rank=9,
        sums=_pump_sums,
        fails=FAILS,
        source=art(9),
    ),
    BlockKind(
        name="voltage_multiplier",
        title="voltage multiplier",
        purpose="{pump} and {store} are filled in turn by the two half waves: {out} gets the sum.",
        example=_multiplier_example,
        patterns=(
            *(
                Pattern(
                    roles=roles,
                    nets={"drive": (ALTERNATING,)},
                    where=lambda m: m.nets["out"] not in m.view.alternating and not m.touches("out", "zener"),
                )
                for roles in (STAGE, TURNED)
            ),
            Pattern(
                roles=(
                    role("first_diode", DIODES, "drive out"),
                    role("second_diode", DIODES, "feed drive"),
                    role("pump", "electrolytic_capacitor", "out middle"),
                    role("store", "electrolytic_capacitor", "middle feed"),
                ),
                nets={"drive": (ALTERNATING,), "middle": (ALTERNATING,)},
            ),
        ),
        rank=9,
        sums=_multiplier_sums,
        fails=FAILS,
        source=art(1),
    ),
)
