"""Parts that make a circuit steady or even and that textbooks have, left out."""

from __future__ import annotations

from collections.abc import Iterator

from lidoff.circuit import Circuit
from lidoff.insight.economy import Economy, EconomyKind, Survey
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE, art
from lidoff.insight.view import PlacedPart
from lidoff.insight.wording import by_number, told_parts

__all__ = ["MEMBERS"]

CAPACITORS = frozenset({"capacitor", "film_capacitor", "electrolytic_capacitor"})
ONE_PART = "one part and its placement saved on every device"


def _leds_example() -> Circuit:
    return sketch(
        "Three LEDs on one resistor",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("R1", "resistor", "v5 a", resistance=22.0),
        *(piece(f"D{number}", "led", "a gnd", forward_drop=3.0) for number in (1, 2, 3)),
    )


def _bare_led_example() -> Circuit:
    return sketch(
        "LED on a pin",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", lamp="output lamp"),
        piece("D1", "led", "lamp gnd"),
    )


def _gate_example() -> Circuit:
    return sketch(
        "Gate without a pull-down",
        piece("BT1", "battery", "vbat gnd"),
        piece("H1", "lamp", "vbat low"),
        piece("Q1", "mosfet_n", "gate low gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", gate="output gate"),
    )


def _button_example() -> Circuit:
    return sketch(
        "Button on a bare pin",
        piece("BT1", "battery", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", key="input key"),
        piece("S1", "button", "key gnd"),
    )


def _regulator_example() -> Circuit:
    return sketch(
        "Regulator on its own",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("U1", "linear_regulator", "v12 gnd v5", output_voltage=5.0),
        piece("H1", "lamp", "v5 gnd", rated_voltage=5.0),
    )


def _no_resistors_of_their_own(survey: Survey) -> Iterator[Economy]:
    groups = survey.of_kind("parallel_leds")
    if not groups:
        return
    leds = [led for block in groups for led in block.roles["led"]]
    resistors = sum(len(block.roles.get("resistor", ())) for block in groups)
    if len(leds) > resistors:
        yield Economy(
            kind="shared_ballast",
            title="LEDs that share a resistor",
            what=f"{told_parts(leds)} have {resistors or 'no'} {'resistor' if resistors == 1 else 'resistors'} between them, "
            f"where textbooks give each of the {len(leds)} its own",
            consequence="the LED with the lowest drop takes the most current, gets the warmest, and drops still less",
            why=f"{len(leds) - resistors} resistors fewer to place, and LEDs of one batch differ little",
            parts=tuple(leds),
            source=art(2),
        )


def _no_resistor(survey: Survey) -> Iterator[Economy]:
    for block in survey.of_kind("led_without_resistor"):
        yield Economy(
            kind="no_led_resistor",
            title="LED without a resistor",
            what=f"{told_parts(block.parts)} stands without a resistor",
            consequence="its current hangs on the supply, on its own drop and on what resistance the rest happens to have",
            why=ONE_PART + "; a weak pin or a weak cell limits the current well enough",
            parts=block.parts,
            source=art(2),
        )


def _no_decoupling(survey: Survey) -> Iterator[Economy]:
    bare = [
        one.reference
        for kind in ("controller", "box", "operational_amplifier", "comparator", "timer")
        for one in survey.view.by_kind.get(kind, ())
        if _is_bare(survey, one)
    ]
    if bare:
        supply = "supply" if len(bare) == 1 else "supplies"
        yield Economy(
            kind="no_decoupling",
            title="no decoupling capacitor",
            what=f"no capacitor is on the {supply} of {told_parts(bare)}",
            consequence="each pulse of current shakes the chip's own supply: it may start over or misread now and then",
            why=ONE_PART + "; on a battery with short wires it often works without",
            parts=tuple(sorted(bare, key=by_number)),
            source=PRACTICE,
        )


def _is_bare(survey: Survey, one: PlacedPart) -> bool:
    """Whether a chip has supplies and no capacitor on any of them."""
    feeds = [
        net
        for pin, net in one.nets.items()
        if one.part.pin_roles.get(pin) == "supply" or pin in ("supply", "supply_plus")
    ]
    return bool(feeds) and not any(
        other.kind in CAPACITORS for net in feeds for other, _ in survey.view.pins[net]
    )


def _no_pull(survey: Survey) -> Iterator[Economy]:
    for block in survey.of_kind("low_side_mosfet", "high_side_mosfet"):
        gate = block.nets["gate"]
        reach = {gate}
        for one, _ in survey.view.pins[gate]:
            if one.kind == "resistor":
                reach |= set(one.nets.values())
        driven = any(survey.view.is_driven(net) for net in reach if net not in survey.view.rails)
        if driven and not reach & survey.view.rails:
            yield Economy(
                kind="no_gate_pull",
                title="nothing holds the gate",
                what=f"no resistor holds the gate of {told_parts(block.roles['switch'])} while the chip that drives it starts",
                consequence="the load may run for a moment, or longer if the chip fails to start",
                why=ONE_PART + "; chips start within milliseconds",
                parts=block.roles["switch"],
                source=PRACTICE,
            )


def _no_debounce(survey: Survey) -> Iterator[Economy]:
    bare = [block for block in survey.of_kind("button_input") if "pull" not in block.roles]
    if bare:
        buttons = [name for block in bare for name in block.roles["button"]]
        yield Economy(
            kind="no_button_parts",
            title="buttons on bare pins",
            what=f"{told_parts(buttons)} hang on the chip without a resistor or a capacitor",
            consequence="none, where the chip has pulls of its own and its firmware waits out the bounce",
            why=f"up to {2 * len(buttons)} parts saved by a few lines of firmware",
            parts=tuple(buttons),
            source=PRACTICE,
        )


def _no_regulator_capacitor(survey: Survey) -> Iterator[Economy]:
    for block in survey.of_kind("linear_regulator"):
        if "output_capacitor" not in block.roles:
            yield Economy(
                kind="no_regulator_capacitor",
                title="regulator without an output capacitor",
                what=f"no capacitor is at the output of {told_parts(block.roles['regulator'])}",
                consequence="many regulators oscillate without one",
                why=ONE_PART,
                parts=block.roles["regulator"],
                source=art(9),
            )


MEMBERS = (
    EconomyKind(
        name="shared_ballast",
        title="LEDs that share a resistor",
        says="LEDs side by side with fewer resistors than LEDs.",
        example=_leds_example,
        finds=_no_resistors_of_their_own,
        source=art(2),
    ),
    EconomyKind(
        name="no_led_resistor",
        title="LED without a resistor",
        says="An LED between a supply or a pin and the ground, with nothing in series.",
        example=_bare_led_example,
        finds=_no_resistor,
        source=art(2),
    ),
    EconomyKind(
        name="no_decoupling",
        title="no decoupling capacitor",
        says="A chip with no capacitor on its supply.",
        example=_button_example,
        finds=_no_decoupling,
    ),
    EconomyKind(
        name="no_gate_pull",
        title="nothing holds the gate",
        says="A MOSFET whose gate a chip drives, with no resistor from the gate to a rail.",
        example=_gate_example,
        finds=_no_pull,
    ),
    EconomyKind(
        name="no_button_parts",
        title="buttons on bare pins",
        says="Buttons that a chip reads, with no resistor and no capacitor.",
        example=_button_example,
        finds=_no_debounce,
    ),
    EconomyKind(
        name="no_regulator_capacitor",
        title="regulator without an output capacitor",
        says="A linear regulator with nothing at its output.",
        example=_regulator_example,
        finds=_no_regulator_capacitor,
        source=art(9),
    ),
)
