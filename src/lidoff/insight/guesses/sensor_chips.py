"""Chips that feel something."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.around import CAPACITORS, Around
from lidoff.insight.clues import FED, kinds_of_work, nameless, signal_with
from lidoff.insight.guess import Clue, GuessKind
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE

__all__ = ["MEMBERS"]


def _touch_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        nameless(p1="out", p2="gnd", p3="touch", p4="mode", p5="v5", p6="mode_2"),
        piece("R1", "resistor", "touch pad", resistance=1e3),
        piece("TP1", "test_point", "pad"),
        piece("R2", "resistor", "out base", resistance=1e3),
        piece("Q1", "npn", "low base gnd"),
        piece("H1", "lamp", "v5 low", rated_voltage=5.0),
    )


def _motion_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        nameless(p1="v5", p2="out", p3="gnd"),
        piece("R1", "resistor", "out gnd", resistance=47e3),
        piece("U2", "operational_amplifier", "out back strong v5 gnd"),
        piece("R2", "resistor", "strong back", resistance=1e6),
        piece("R3", "resistor", "back low", resistance=10e3),
        piece("C1", "electrolytic_capacitor", "low gnd", capacitance=10e-6),
    )


def _magnet_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        nameless(p1="v5", p2="gnd", p3="turn"),
        piece("R1", "resistor", "v5 turn", resistance=10e3),
        chip("U2", supply="supply v5", ground="ground gnd", turn="input turn"),
    )


def _infrared_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        nameless(p1="seen", p2="gnd", p3="calm"),
        piece("R1", "resistor", "v5 calm", resistance=100.0),
        piece("C1", "electrolytic_capacitor", "calm gnd", capacitance=10e-6),
        chip("U2", supply="supply v5", ground="ground gnd", seen="input seen"),
    )


def _filtered_supply(around: Around) -> bool:
    """A pin is fed through a small resistor, with a capacitor to the ground behind it."""
    for pin, net in around.chip.nets.items():
        if pin in around.grounds:
            continue
        parts = [one for one, _ in around.view.pins[net]]
        fed = any(
            one.kind == "resistor"
            and (one.value("resistance") or 1e9) <= 1e3
            and set(one.nets.values()) & (around.view.supplies - {net})
            for one in parts
        )
        if fed and any(one.kind in CAPACITORS for one in parts):
            return True
    return False


def _amplified(around: Around) -> bool:
    """Its one signal goes to the input of an amplifier."""
    return any(
        one.kind in ("operational_amplifier", "comparator") and name in ("non_inverting", "inverting")
        for pin in around.signals
        for one, name in around.view.pins[around.chip.nets[pin]]
    )


def _few_signals(around: Around) -> bool:
    return len(around.signals) == 1


ONE_SIGNAL = Clue(
    says="it has one signal only",
    holds=_few_signals,
    weight=0.8,
    missing=-3.0,
    lacks="it has several signals",
)

MEMBERS = (
    GuessKind(
        name="touch_chip",
        title="touch sensor",
        example=_touch_example,
        pins=(4, 16),
        clues=(
            FED,
            Clue(says="one of its pins leads to a pad of bare copper", holds=lambda a: a.has("pad"), weight=2.4, missing=-4.0,
                 lacks="no pad of copper is on it"),
            Clue(says="it does little else", holds=lambda a: kinds_of_work(a) <= 2, weight=0.8, missing=-1.5,
                 lacks="it does much else"),
        ),
        source=PRACTICE,
    ),
    GuessKind(
        name="motion_sensor",
        title="motion sensor (pyroelectric)",
        example=_motion_example,
        pins=(3, 3),
        clues=(
            FED,
            ONE_SIGNAL,
            Clue(says="a resistor leads from its signal to the ground", holds=lambda a: signal_with(a, "resistor to ground"),
                 weight=1.6, missing=-2.0, lacks="no resistor leads from its signal to the ground"),
            Clue(says="an amplifier takes its signal", holds=_amplified, weight=1.2),
        ),
        source=PRACTICE,
    ),
    GuessKind(
        name="magnet_sensor",
        title="magnet sensor (Hall)",
        example=_magnet_example,
        pins=(3, 4),
        clues=(
            FED,
            ONE_SIGNAL,
            Clue(says="its signal is pulled up and read by a chip",
                 holds=lambda a: signal_with(a, "resistor to supply", "other chip"), weight=1.8, missing=-2.0,
                 lacks="its signal is not pulled up"),
        ),
        source=PRACTICE,
    ),
    GuessKind(
        name="remote_receiver",
        title="receiver for infrared remote control",
        example=_infrared_example,
        pins=(3, 4),
        clues=(
            Clue(says="its supply comes through a small resistor with a capacitor behind", holds=_filtered_supply, weight=1.8,
                 missing=-1.0, lacks="its supply is not filtered"),
            Clue(says="another chip reads its signal", holds=lambda a: a.has("other chip"), weight=0.8, missing=-2.5,
                 lacks="no chip reads it"),
            Clue(says="it has few signals", holds=lambda a: len(a.signals) <= 2, weight=0.4, missing=-2.0),
        ),
        source=PRACTICE,
    ),
)  # fmt: skip
