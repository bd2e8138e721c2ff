"""Converters built from single parts: a coil, a switch, a diode."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Role, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import erickson
from lidoff.insight.view import View

__all__ = ["MEMBERS"]

CAPACITORS = "electrolytic_capacitor capacitor"
DIODES = "schottky diode"


def _buck_example() -> Circuit:
    return sketch(
        "Step-down converter",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        chip(
            "U1",
            "box",
            supply="supply v12",
            ground="ground gnd",
            switch="output switched",
            feedback="input tap",
        ),
        piece("L1", "inductor", "switched v5", inductance=22e-6),
        piece("D1", "schottky", "gnd switched"),
        piece("C1", "electrolytic_capacitor", "v5 gnd", capacitance=220e-6),
        piece("R1", "resistor", "v5 tap", resistance=31e3),
        piece("R2", "resistor", "tap gnd", resistance=10e3),
    )


def _boost_example() -> Circuit:
    return sketch(
        "Step-up converter",
        piece("BT1", "cell", "vbat gnd"),
        chip(
            "U1",
            "box",
            supply="supply vbat",
            ground="ground gnd",
            switch="output switched",
            feedback="input tap",
        ),
        piece("L1", "inductor", "vbat switched", inductance=22e-6),
        piece("D1", "schottky", "switched v5"),
        piece("C1", "capacitor", "v5 gnd", capacitance=22e-6),
        piece("R1", "resistor", "v5 tap", resistance=75e3),
        piece("R2", "resistor", "tap gnd", resistance=10e3),
    )


def _switched_up(view: View, net: str) -> bool:
    """A switch to the supply, or a chip's pin, is on the net."""
    return any(
        (one.kind == "mosfet_p" and pin == "drain")
        or (one.kind == "pnp" and pin == "collector")
        or (one.kind == "mosfet_n" and pin == "source" and one.nets["drain"] in view.supplies)
        or (one.kind in ("box", "controller") and one.part.pin_roles.get(pin, "") in ("output", "both", ""))
        for one, pin in view.pins[net]
    )


def _switched_down(view: View, net: str) -> bool:
    """A switch to the ground, or a chip's pin, is on the net."""
    return any(
        (one.kind == "mosfet_n" and pin == "drain" and one.nets["source"] not in view.supplies)
        or (one.kind == "npn" and pin == "collector")
        or (one.kind in ("box", "controller") and one.part.pin_roles.get(pin, "") in ("output", "both", ""))
        for one, pin in view.pins[net]
    )


def _tail(out: str) -> tuple[Role, ...]:
    return (
        role("output_capacitor", CAPACITORS, f"{out} ground", many=True),
        role("upper", "resistor", f"{out} tap", optional=True),
        role("lower", "resistor", "tap ground", optional=True),
    )


def _feedback(m: Match) -> Sums:
    if not (m.has("upper") and m.has("lower")):
        return ()
    return (
        m.sum("output for each volt of the chip's reference", "1 + R_up ÷ R_low", "1", erickson(1),
              R_up=m.ohms("upper"), R_low=m.ohms("lower")),
    )  # fmt: skip


def _buck_sums(m: Match) -> Sums:
    return (
        m.sum("share of the time that the switch is on, without losses", "V_out ÷ V_in", "1", erickson(2), at="coil",
              V_out=m.volts("out", busy="coil"), V_in=m.volts("feed", busy="coil") if "feed" in m.nets else None),
        *_feedback(m),
    )  # fmt: skip


def _boost_sums(m: Match) -> Sums:
    return (
        m.sum("share of the time that the switch is on, without losses", "1 − V_in ÷ V_out", "1", erickson(2),
              at="coil", V_out=m.volts("out", busy="coil"), V_in=m.volts("feed", busy="coil")),
        *_feedback(m),
    )  # fmt: skip


def _not_a_motor_path(m: Match) -> bool:
    return m.nets["out"] not in m.view.grounds


FAILS = (
    "diode open: the switch sees a voltage kick each time it opens, and fails",
    "output_capacitor dried out: much ripple on {out}, and the control may become unsteady",
    "switch shorted: the output, the supply or both suffer, and a fuse should blow",
    "switch open: the converter does nothing",
    "upper open: the converter sees no output, and raises it until something gives way",
    "lower open: the converter sees too much output, and gives next to none",
)

MEMBERS = (
    BlockKind(
        name="buck_converter",
        title="step-down converter",
        purpose="{coil} is switched to the supply again and again; {diode} carries its current in between, and {out} gets the "
        "average: little of the difference is lost.",
        example=_buck_example,
        patterns=(
            Pattern(
                roles=(
                    role("coil", "inductor", "switched out"),
                    role("diode", DIODES, "ground switched"),
                    *_tail("out"),
                    role("switch", "mosfet_p", "- switched feed", optional=True),
                ),
                nets={"ground": (GROUND,), "switched": (NOT_RAIL, _switched_up), "tap": (NOT_RAIL,)},
                where=_not_a_motor_path,
            ),
        ),
        rank=8,
        sums=_buck_sums,
        fails=("coil open: {out} is dead", *FAILS),
        source=erickson(2),
    ),
    BlockKind(
        name="boost_converter",
        title="step-up converter",
        purpose="{coil} is charged from {feed} while the switch is closed and pushes its current through {diode} into {out} "
        "when it opens, above the voltage of the supply.",
        example=_boost_example,
        patterns=(
            Pattern(
                roles=(
                    role("coil", "inductor", "feed switched"),
                    role("diode", DIODES, "switched out"),
                    *_tail("out"),
                    role("switch", "mosfet_n", "- switched ground", optional=True),
                ),
                nets={
                    "ground": (GROUND,),
                    "switched": (NOT_RAIL, _switched_down),
                    "feed": (SUPPLY,),
                    "tap": (NOT_RAIL,),
                },
                where=_not_a_motor_path,
            ),
        ),
        rank=8,
        sums=_boost_sums,
        fails=("coil open: {out} is dead", *FAILS),
        source=erickson(2),
    ),
)
