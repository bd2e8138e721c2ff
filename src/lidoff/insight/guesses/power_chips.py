"""Chips that make, guard or hand on a supply."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.around import Around
from lidoff.insight.clues import back_to_back, nameless
from lidoff.insight.guess import Clue, GuessKind
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE, erickson

__all__ = ["MEMBERS"]


def _regulator_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        nameless(p1="gnd", p2="v5", p3="v12"),
        piece("C1", "capacitor", "v12 gnd", capacitance=1e-6),
        piece("C2", "capacitor", "v5 gnd", capacitance=1e-6),
        chip("U2", supply="supply v5", ground="ground gnd", lamp="output lamp"),
        piece("R1", "resistor", "lamp a", resistance=1e3),
        piece("D1", "led", "a gnd"),
    )


def _buck_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        nameless(p1="boot", p2="v12", p3="sw", p4="gnd", p5="tap", p6="en"),
        piece("L1", "inductor", "sw v5", inductance=22e-6),
        piece("D1", "schottky", "gnd sw"),
        piece("C1", "electrolytic_capacitor", "v5 gnd", capacitance=220e-6),
        piece("C2", "capacitor", "boot sw", capacitance=10e-9),
        piece("R1", "resistor", "v5 tap", resistance=31e3),
        piece("R2", "resistor", "tap gnd", resistance=10e3),
        piece("R3", "resistor", "v12 en", resistance=100e3),
    )


def _boost_example() -> Circuit:
    return sketch(
        "",
        piece("BT1", "cell", "vbat gnd"),
        nameless(p1="sw", p2="gnd", p3="tap", p4="vbat", p5="vbat"),
        piece("L1", "inductor", "vbat sw", inductance=22e-6),
        piece("D1", "schottky", "sw v5"),
        piece("C1", "electrolytic_capacitor", "v5 gnd", capacitance=100e-6),
        piece("R1", "resistor", "v5 tap", resistance=75e3),
        piece("R2", "resistor", "tap gnd", resistance=10e3),
    )


def _offline_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("D1", "bridge_rectifier", "live neutral high pgnd"),
        piece("C1", "electrolytic_capacitor", "high pgnd", capacitance=10e-6),
        piece("T1", "transformer", "high sw sgnd rect", turns_ratio=14.0),
        nameless(p1="vcc", p2="pgnd", p3="sw", p4="fb"),
        piece("D2", "schottky", "rect v5"),
        piece("C2", "electrolytic_capacitor", "v5 sgnd", capacitance=470e-6),
        piece("U2", "optocoupler", "op k vcc fb"),
        piece("R1", "resistor", "v5 op", resistance=470.0),
        ground="sgnd",
    )


def _charger_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        nameless(p1="light", p2="gnd", p3="vbat", p4="v5", p5="set"),
        piece("R1", "resistor", "set gnd", resistance=2e3),
        piece("R2", "resistor", "v5 a", resistance=1e3),
        piece("D1", "led", "a light"),
        piece("BT1", "cell", "vbat gnd"),
        piece("C1", "capacitor", "v5 gnd", capacitance=4.7e-6),
    )


def _guard_example() -> Circuit:
    return sketch(
        "",
        piece("BT1", "cell", "plus cell_minus"),
        nameless(p1="od", p2="cs", p3="oc", p5="vdd", p6="cell_minus"),
        piece("R1", "resistor", "plus vdd", resistance=100.0),
        piece("C1", "capacitor", "vdd cell_minus", capacitance=100e-9),
        piece("Q1", "mosfet_n", "od middle cell_minus"),
        piece("Q2", "mosfet_n", "oc middle gnd"),
        piece("R2", "resistor", "cs gnd", resistance=1e3),
        piece("M1", "motor", "plus gnd"),
    )


def _led_driver_example() -> Circuit:
    return sketch(
        "",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        nameless(p1="sw", p2="gnd", p3="dim", p4="top", p5="v12"),
        piece("R1", "resistor", "v12 top", resistance=0.33),
        piece("D1", "led", "top a", forward_drop=3.1),
        piece("D2", "led", "a tail", forward_drop=3.1),
        piece("L1", "inductor", "tail sw", inductance=47e-6),
        piece("D3", "schottky", "sw v12"),
    )


def _two_rails(around: Around) -> bool:
    """One pin on a supply, and one on a net that feeds others or holds a large capacitor and is fed by nothing else."""
    made = [
        pin
        for pin in around.chip.nets
        if pin not in around.grounds and "capacitor to ground" in around.near[pin]
    ]
    return len({around.chip.nets[pin] for pin in made}) >= 2


def _feeds_a_chip(around: Around) -> bool:
    """A pin's net is the supply of another chip and no source is on it."""
    return any(
        one.reference != around.chip.reference and one.part.pin_roles.get(pin) == "supply"
        for net in around.chip.nets.values()
        if net not in around.view.grounds
        and not any(other.kind in ("dc_supply", "cell", "battery") for other, _ in around.view.pins[net])
        for one, pin in around.view.pins[net]
    )


def _coil_ends(around: Around, where: str) -> bool:
    """A coil leads from a pin to a supply that the chip is on (``feed``) or away from it (``out``)."""
    for pin in around.pins_near("coil"):
        net = around.chip.nets[pin]
        for one, _ in around.view.pins[net]:
            if one.kind == "inductor":
                far = next((other for other in one.nets.values() if other != net), net)
                if (far in around.rails) == (where == "feed"):
                    return True
    return False


def _diode_up(around: Around) -> bool:
    """A diode leads from the coil's pin to another net than the chip's own supply."""
    for pin in around.pins_near("coil", "diode anode"):
        for one, name in around.view.pins[around.chip.nets[pin]]:
            if (
                one.kind in ("diode", "schottky")
                and name == "anode"
                and one.nets["cathode"] not in around.rails
            ):
                return True
    return False


def _led_before_coil(around: Around) -> bool:
    """The far end of a coil at one of its pins is on an LED."""
    for pin in around.pins_near("coil"):
        net = around.chip.nets[pin]
        for one, _ in around.view.pins[net]:
            if one.kind == "inductor":
                far = next((other for other in one.nets.values() if other != net), net)
                if any(other.kind == "led" for other, _ in around.view.pins[far]):
                    return True
    return False


def _gate_on_winding(around: Around) -> bool:
    """A MOSFET whose gate it drives is on a transformer."""
    return any(
        one.kind == "mosfet_n"
        and any(other.kind.endswith("transformer") for other, _ in around.view.pins[one.nets["drain"]])
        for pin in around.pins_near("gate")
        for one, name in around.view.pins[around.chip.nets[pin]]
        if name == "gate"
    )


def _cell_without_coil(around: Around) -> bool:
    return around.has("cell") and not around.has("coil")


def _other_supply(around: Around) -> bool:
    return len(around.rails) >= 2


MEMBERS = (
    GuessKind(
        name="regulator_chip",
        title="linear regulator",
        example=_regulator_example,
        pins=(3, 6),
        clues=(
            Clue(says="one of its pins feeds other chips, and nothing else feeds them", holds=_feeds_a_chip, weight=2.2,
                 missing=-2.0, lacks="no other chip lives on one of its pins"),
            Clue(says="two of its nets have a capacitor to the ground", holds=_two_rails, weight=1.2),
            Clue(says="it has few pins and no signal", holds=lambda a: len(a.signals) <= 1, weight=1.2, missing=-2.0,
                 lacks="several pins carry signals"),
            Clue(says="no coil is on it", holds=lambda a: not a.has("coil"), weight=0.3, missing=-3.0, lacks="a coil is on it"),
        ),
        source=PRACTICE,
    ),
    GuessKind(
        name="step_down_chip",
        title="step-down converter",
        example=_buck_example,
        pins=(5, 10),
        clues=(
            Clue(says="a coil leads from one of its pins to a supply that it does not live on",
                 holds=lambda a: _coil_ends(a, "out"), weight=3.0, missing=-4.0, lacks="no coil leads to another supply"),
            Clue(says="a diode's cathode is on the coil's pin", holds=lambda a: a.has("coil", "diode cathode"), weight=1.0),
            Clue(says="two resistors hand it a part of a voltage", holds=lambda a: a.has("divider"), weight=0.8),
            Clue(says="no LED stands before the coil", holds=lambda a: not _led_before_coil(a), weight=0.2, missing=-2.5,
                 lacks="LEDs stand before the coil"),
        ),
        source=erickson(2),
    ),
    GuessKind(
        name="step_up_chip",
        title="step-up converter",
        example=_boost_example,
        pins=(3, 10),
        clues=(
            Clue(says="a coil leads from one of its pins to its own supply", holds=lambda a: _coil_ends(a, "feed"), weight=2.4,
                 missing=-4.0, lacks="no coil leads to its own supply"),
            Clue(says="a diode leads on from the coil's pin", holds=_diode_up, weight=1.6, missing=-1.5,
                 lacks="no diode leads on from a coil"),
            Clue(says="two resistors hand it a part of a voltage", holds=lambda a: a.has("divider"), weight=0.8),
        ),
        source=erickson(2),
    ),
    GuessKind(
        name="mains_converter_chip",
        title="controller of a mains supply",
        example=_offline_example,
        pins=(4, 16),
        clues=(
            Clue(says="one of its pins, or a MOSFET at it, is on a transformer's winding",
                 holds=lambda a: a.has("winding") or _gate_on_winding(a), weight=3.2, missing=-4.0,
                 lacks="no transformer is near"),
            Clue(says="an optocoupler brings something back to it", holds=lambda a: a.has("optocoupler output"), weight=1.5),
            Clue(says="a small resistor tells it a current", holds=lambda a: a.has("sense resistor"), weight=0.6),
        ),
        source=erickson(6),
    ),
    GuessKind(
        name="charger_chip",
        title="charger for a lithium cell",
        example=_charger_example,
        pins=(5, 10),
        clues=(
            Clue(says="a cell is on one of its pins, and no coil", holds=_cell_without_coil, weight=1.5, missing=-2.5,
                 lacks="no cell is on it"),
            Clue(says="it is on another supply as well", holds=_other_supply, weight=1.5, missing=-2.0,
                 lacks="it is on one supply only"),
            Clue(says="one of its pins has nothing but a resistor to the ground, as to set a current",
                 holds=lambda a: any(a.near[pin] == {"resistor to ground"} for pin in a.signals), weight=1.6),
            Clue(says="an LED hangs on one of its pins", holds=lambda a: a.has("led"), weight=0.8),
            Clue(says="it has few signals", holds=lambda a: len(a.signals) <= 4, weight=0.2, missing=-2.5,
                 lacks="it has many signals"),
        ),
        source=PRACTICE,
    ),
    GuessKind(
        name="protection_chip",
        title="cell protection",
        example=_guard_example,
        pins=(5, 8),
        clues=(
            Clue(says="it drives the gates of two MOSFETs whose drains are joined", holds=back_to_back, weight=4.0,
                 missing=-4.0, lacks="no two MOSFETs stand back to back at it"),
            Clue(says="its supply comes through a resistor, with a capacitor beside it",
                 holds=lambda a: a.has("resistor to supply", "capacitor to ground"), weight=0.8),
        ),
        source=PRACTICE,
    ),
    GuessKind(
        name="led_current_chip",
        title="switching LED driver",
        example=_led_driver_example,
        pins=(3, 8),
        clues=(
            Clue(says="LEDs stand between one of its pins and its coil", holds=_led_before_coil, weight=2.5,
                 missing=-2.5, lacks="no LEDs stand before a coil"),
            Clue(says="a small resistor tells it a current", holds=lambda a: a.has("sense resistor"), weight=1.5, missing=-1.0,
                 lacks="no small resistor tells it a current"),
            Clue(says="a coil is on one of its pins", holds=lambda a: a.has("coil"), weight=1.0, missing=-2.0,
                 lacks="no coil is on it"),
        ),
        source=PRACTICE,
    ),
)  # fmt: skip
