"""A triac that lets through part of each half wave, or all of it on command."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.blocks.rectifier import source_of
from lidoff.insight.match import Match
from lidoff.insight.pattern import NOT_RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE, art

__all__ = ["MEMBERS"]

CAPACITORS = "film_capacitor capacitor"


def _dimmer_example() -> Circuit:
    return sketch(
        "Dimmer",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("H1", "lamp", "live load", rated_voltage=230.0, rated_current=0.26),
        piece("Q1", "triac", "load neutral gate"),
        piece("RV1", "potentiometer", "load between between", resistance=470e3),
        piece("R1", "resistor", "between late", resistance=4.7e3),
        piece("C1", "film_capacitor", "late neutral", capacitance=100e-9),
        piece("D1", "diac", "late gate", breakover_voltage=32.0),
        ground="neutral",
    )


def _switch_example() -> Circuit:
    return sketch(
        "Triac switch",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("H1", "heater", "live load", rated_voltage=230.0, rated_power=100.0),
        piece("Q1", "triac", "load neutral gate"),
        piece("R1", "resistor", "command gate", resistance=330.0),
        chip("U1", supply="supply vcc", ground="ground neutral", command="output command"),
        piece("V1", "dc_supply", "vcc neutral", voltage=5.0),
        ground="neutral",
    )


def _dimmer_sums(m: Match) -> Sums:
    slowest = m.total("pot", "resistance")
    mains = source_of(m.view, "voltage")
    return (
        m.sum("time constant with the knob at its slowest", "R · C", "s", art(1), R=slowest, C=m.farads("capacitor"))
        if m.has("pot") else None,
        m.sum("time of one half wave", "1 ÷ (2 · f)", "s", "definition", f=source_of(m.view, "frequency")),
        m.sum("voltage that the switched-off triac sees", "√(2) · U", "V", art(1), U=mains),
    )  # fmt: skip


def _switch_sums(m: Match) -> Sums:
    return (
        m.sum("gate current", "(V − V_G) ÷ R", "A", OHM, at="gate_resistor", beside=m.beside_current("gate_resistor"),
              V=m.volts("command", busy="gate_resistor") if m.situations() else m.highest(),
              V_G=m.quantity("triac", "gate_voltage"), R=m.ohms("gate_resistor")),
        m.sum("voltage that the switched-off triac sees", "√(2) · U", "V", art(1), U=source_of(m.view, "voltage")),
    )  # fmt: skip


def _live(m: Match) -> tuple[str, ...]:
    del m
    return ("its circuit hangs on the mains: every net of it may be live",)


FAILS = (
    "triac shorted: the load is on at full power and cannot be switched off",
    "triac open: the load stays off",
)

MEMBERS = (
    BlockKind(
        name="triac_dimmer",
        title="dimmer",
        purpose="{capacitor} fills late in each half wave, the later the higher the resistance before it, and {trigger} "
        "then fires {triac} for the rest of that half wave.",
        example=_dimmer_example,
        patterns=tuple(
            Pattern(
                roles=(
                    role("triac", "triac", pins),
                    role("trigger", "diac two_way_suppressor", "late gate"),
                    role("capacitor", CAPACITORS, "late low"),
                    role("fixed", "resistor", "between late", optional=True),
                    role("pot", "potentiometer", "load between between", optional=True),
                    role("pot", "potentiometer", "load late late", optional=True),
                ),
                nets={"late": (NOT_RAIL,)},
            )
            for pins in ("load low gate", "low load gate")
        ),
        rank=8,
        sums=_dimmer_sums,
        unusual=_live,
        fails=(
            *FAILS,
            "capacitor open: it fires at once, or not at all",
            "trigger open: the load stays off",
            "pot worn: the light flickers and jumps",
        ),
        source=art(12),
    ),
    BlockKind(
        name="triac_switch",
        title="triac switch",
        purpose="A current through {gate_resistor} into its gate lets {triac} pass the mains until the next crossing of zero.",
        example=_switch_example,
        patterns=tuple(
            Pattern(
                roles=(role("triac", "triac", pins), role("gate_resistor", "resistor", "command gate")),
                nets={"gate": (NOT_RAIL,)},
                loose=("command",),
            )
            for pins in ("load low gate", "low load gate")
        ),
        rank=6,
        sums=_switch_sums,
        unusual=_live,
        fails=(*FAILS, "gate_resistor open: the load stays off"),
        source=PRACTICE,
    ),
)
