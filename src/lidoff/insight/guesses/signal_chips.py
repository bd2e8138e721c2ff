"""Chips that decide, sound, sense or drive."""

from __future__ import annotations

from lidoff.circuit import Circuit, Part
from lidoff.insight.around import Around
from lidoff.insight.clues import FED, back_to_back, kinds_of_work, nameless, signal_with
from lidoff.insight.guess import Clue, GuessKind
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE, art

__all__ = ["MEMBERS"]


def _controller_example() -> Circuit:
    return sketch(
        "",
        piece("BT1", "battery", "vbat gnd"),
        nameless(p1="vbat", p2="drive", p3="key", p4="cell", p5="light", p6="spare", p7="spare_2", p8="gnd"),
        piece("C1", "capacitor", "vbat gnd", capacitance=100e-9),
        piece("R1", "resistor", "drive gate", resistance=100.0),
        piece("Q1", "mosfet_n", "gate low gnd"),
        piece("M1", "motor", "vbat low"),
        piece("S1", "button", "key gnd"),
        piece("R2", "resistor", "vbat cell", resistance=100e3),
        piece("R3", "resistor", "cell gnd", resistance=100e3),
        piece("R4", "resistor", "light a", resistance=1e3),
        piece("D1", "led", "a gnd"),
    )


def _melody_example() -> Circuit:
    return sketch(
        "",
        piece("BT1", "battery", "vbat gnd"),
        nameless(p1="vbat", p2="tone", p3="gnd"),
        piece("LS1", "piezo", "tone gnd"),
    )


def _flasher_example() -> Circuit:
    return sketch(
        "",
        piece("BT1", "battery", "vbat gnd"),
        nameless(p1="vbat", p2="gnd", p3="a", p4="b", p5="c"),
        piece("D1", "led", "vbat a"),
        piece("D2", "led", "vbat b"),
        piece("D3", "led", "vbat c"),
    )


def _amplifier_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        nameless(p1="out", p2="back", p3="in", p4="gnd", p5="v5"),
        piece("R1", "resistor", "out back", resistance=100e3),
        piece("R2", "resistor", "back gnd", resistance=10e3),
        piece("Q1", "phototransistor", "v5 in"),
        piece("R3", "resistor", "in gnd", resistance=10e3),
    )


def _motor_example() -> Circuit:
    return sketch(
        "",
        piece("BT1", "battery", "vbat gnd"),
        nameless(p1="vbat", p2="left", p3="right", p4="gnd", p5="a", p6="b"),
        piece("M1", "motor", "left right"),
        chip("U2", supply="supply vbat", ground="ground gnd", a="output a", b="output b"),
    )


def _timer_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v9 gnd", voltage=9.0),
        nameless(p1="gnd", p2="saw", p3="out", p4="v9", p5="steady", p6="saw", p7="drain", p8="v9"),
        piece("R1", "resistor", "v9 drain", resistance=10e3),
        piece("R2", "resistor", "drain saw", resistance=68e3),
        piece("C1", "electrolytic_capacitor", "saw gnd", capacitance=10e-6),
        piece("C2", "capacitor", "steady gnd", capacitance=10e-9),
        piece("R3", "resistor", "out a", resistance=470.0),
        piece("D1", "led", "a gnd"),
    )


def _array_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        Part(reference="J2", kind="connector", pins={"1": "plus", "2": "minus", "3": "gnd"}),
        nameless(p1="plus", p2="gnd", p3="minus"),
        chip("U2", supply="supply v5", ground="ground gnd", p="both plus", m="both minus"),
    )


def _memory_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v3 gnd", voltage=3.3),
        nameless(p1="gnd", p2="gnd", p3="gnd", p4="gnd", p5="data", p6="clock", p7="gnd", p8="v3"),
        chip("U2", supply="supply v3", ground="ground gnd", d="both data", c="output clock"),
        piece("R1", "resistor", "v3 data", resistance=4.7e3),
        piece("R2", "resistor", "v3 clock", resistance=4.7e3),
        piece("C1", "capacitor", "v3 gnd", capacitance=100e-9),
    )


def _bare_signals(around: Around) -> int:
    """Signal pins that lead to nothing but other chips and pulls."""
    quiet = {"other chip", "resistor to supply", "connector"}
    return sum(bool(around.near[pin]) and around.near[pin] <= quiet for pin in around.signals)


def _compares(around: Around) -> bool:
    """Two of at most four signals come from taps, sensors, sense resistors or its own output."""
    words = {"divider", "sensor", "sense resistor", "resistor to own pin"}
    return len(around.signals) <= 4 and sum(bool(around.near[pin] & words) for pin in around.signals) >= 2


def _all_signals_bare(around: Around) -> bool:
    return 0 < len(around.signals) == _bare_signals(around)


def _motor_ends(around: Around) -> int:
    return around.parts_near("motor")


def _same_net_twice(around: Around) -> bool:
    signals = [around.chip.nets[pin] for pin in around.signals]
    return len(signals) > len(set(signals))


def _only_leds(around: Around) -> bool:
    """Every signal with a neighbour leads to an LED."""
    known = [around.near[pin] for pin in around.signals if around.near[pin]]
    return len(known) >= 2 and all("led" in near for near in known)


MEMBERS = (
    GuessKind(
        name="controller_chip",
        title="controller",
        example=_controller_example,
        pins=(3, 64),
        prior=0.4,
        clues=(
            FED,
            Clue(says="its pins have to do with three or more sorts of things", holds=lambda a: kinds_of_work(a) >= 3,
                 weight=2.2, missing=-0.3, lacks="its pins have to do with few sorts of things"),
            Clue(says="its pins have to do with two or more sorts of things", holds=lambda a: kinds_of_work(a) >= 2,
                 weight=1.0, missing=-0.6),
            Clue(says="a button is on it, or keys are", holds=lambda a: a.has("button"), weight=1.2),
            Clue(says="it drives a gate or a base", holds=lambda a: a.has("gate") or a.has("base"), weight=0.6),
            Clue(says="it drives a transistor and looks at a voltage",
                 holds=lambda a: (a.has("gate") or a.has("base")) and (a.has("divider") or a.has("sensor")), weight=0.8),
            Clue(says="a crystal is on it", holds=lambda a: a.has("crystal"), weight=2.0),
            Clue(says="it has six pins or more", holds=lambda a: len(a.chip.nets) >= 6, weight=0.4, missing=-0.6,
                 lacks="it has few pins for a controller"),
            Clue(says="no coil and no winding is on it", holds=lambda a: not a.has("coil") and not a.has("winding"),
                 weight=0.2, missing=-2.5, lacks="a coil or a winding is on it"),
            Clue(says="no two MOSFETs stand back to back at it", holds=lambda a: not back_to_back(a), weight=0.0,
                 missing=-3.0, lacks="two MOSFETs stand back to back at it"),
        ),
        source=PRACTICE,
    ),
    GuessKind(
        name="sound_chip",
        title="sound or melody chip",
        example=_melody_example,
        pins=(3, 16),
        clues=(
            FED,
            Clue(says="a sounder is on one of its pins", holds=lambda a: a.has("sounder"), weight=2.6, missing=-4.0,
                 lacks="no sounder is near"),
            Clue(says="it does little else", holds=lambda a: kinds_of_work(a) <= 2, weight=0.8, missing=-2.0,
                 lacks="it does much else"),
        ),
        source=PRACTICE,
    ),
    GuessKind(
        name="flasher_chip",
        title="chip that makes LEDs flash",
        example=_flasher_example,
        pins=(3, 16),
        clues=(
            FED,
            Clue(says="all its signals lead to LEDs", holds=_only_leds, weight=2.6, missing=-3.0,
                 lacks="not all its signals lead to LEDs"),
            Clue(says="no coil is on it", holds=lambda a: not a.has("coil"), weight=0.2, missing=-2.0, lacks="a coil is on it"),
        ),
        source=PRACTICE,
    ),
    GuessKind(
        name="amplifier_chip",
        title="operational amplifier or comparator",
        example=_amplifier_example,
        pins=(5, 14),
        clues=(
            FED,
            Clue(says="a resistor leads from one of its pins back to another", holds=lambda a: a.has("resistor to own pin"),
                 weight=2.2, missing=-1.0, lacks="no resistor leads from one of its pins to another"),
            Clue(says="a sensor or the tap of two resistors is on it", holds=lambda a: a.has("sensor") or a.has("divider"),
                 weight=0.8),
            Clue(says="two of its few signals are looked at: taps, sensors or small resistors", holds=_compares, weight=2.2,
                 missing=-0.4),
            Clue(says="no button and no coil is on it", holds=lambda a: not a.has("button") and not a.has("coil"),
                 weight=0.3, missing=-2.0, lacks="a button or a coil is on it"),
        ),
        source=art(4),
    ),
    GuessKind(
        name="motor_chip",
        title="motor driver",
        example=_motor_example,
        pins=(5, 24),
        clues=(
            FED,
            Clue(says="both ends of a motor are on it", holds=lambda a: _motor_ends(a) >= 2, weight=3.2, missing=-3.5,
                 lacks="no motor hangs on two of its pins"),
            Clue(says="another chip tells it what to do", holds=lambda a: a.has("other chip"), weight=0.6),
        ),
        source=art(3),
    ),
    GuessKind(
        name="timer_chip",
        title="timer",
        example=_timer_example,
        pins=(7, 8),
        clues=(
            FED,
            Clue(says="two of its signals are joined, and a capacitor leads from there to the ground",
                 holds=lambda a: _same_net_twice(a) and signal_with(a, "capacitor to ground"), weight=3.2, missing=-2.5,
                 lacks="no two of its signals are joined"),
            Clue(says="a resistor leads from one of its pins to another", holds=lambda a: a.has("resistor to own pin"),
                 weight=0.8),
            Clue(says="two of its pins are on the supply", holds=lambda a: len(a.supplies) >= 2, weight=0.5),
        ),
        source=art(7),
    ),
    GuessKind(
        name="clamp_array",
        title="protection array for data lines",
        example=_array_example,
        pins=(3, 6),
        clues=(
            Clue(says="its signals are the lines between a connector and another chip",
                 holds=lambda a: signal_with(a, "connector", "other chip"), weight=2.6, missing=-4.0,
                 lacks="its signals do not come from a connector"),
            Clue(says="a ground is on it", holds=lambda a: bool(a.grounds), weight=0.4, missing=-1.5),
        ),
        source=PRACTICE,
    ),
    GuessKind(
        name="memory_chip",
        title="memory or sensor on a chip's bus",
        example=_memory_example,
        pins=(4, 16),
        clues=(
            FED,
            Clue(says="all its signals lead to other chips alone", holds=_all_signals_bare, weight=1.4, missing=-2.5,
                 lacks="its signals lead to more than other chips"),
            Clue(says="two of them are pulled up",
                 holds=lambda a: sum("resistor to supply" in a.near[pin] for pin in a.signals) >= 2, weight=1.6, missing=-0.5),
        ),
        source=PRACTICE,
    ),
)  # fmt: skip
