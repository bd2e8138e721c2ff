"""Parts that keep harm away and that textbooks have, left out."""

from __future__ import annotations

from collections.abc import Iterator

from lidoff.circuit import Circuit
from lidoff.insight.economy import Economy, EconomyKind, Survey
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE, art
from lidoff.insight.view import PlacedPart
from lidoff.insight.wording import told_parts

__all__ = ["MEMBERS"]

STEADY = (
    "amplifier_current_sink",
    "transistor_current_sink",
    "two_transistor_sink",
    "regulator_current_source",
)
"""Blocks whose transistor holds a current steady rather than switching it."""
MAINS = 60.0
"""Effective voltage from which an alternating source counts as mains [V]; our choice."""
THIN = 200.0
"""Resistance below which a resistor in the mains line may burn open like a fuse [Ω]; our choice."""
PASSING = ("switch", "inductor", "ntc")
CATCHING = frozenset({"diode", "schottky", "zener", "suppressor", "two_way_suppressor", "varistor"})
ONE_PART = "one part and its placement saved on every device"


def _motor_example() -> Circuit:
    return sketch(
        "Switched motor without a diode",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "vbat low"),
        piece("Q1", "mosfet_n", "gate low gnd"),
        piece("R1", "resistor", "gate gnd", resistance=100e3),
        chip("U1", supply="supply vbat", ground="ground gnd", gate="output gate"),
    )


def _mains_example() -> Circuit:
    return sketch(
        "Rectifier at the mains without a fuse",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("D1", "bridge_rectifier", "live neutral high gnd"),
        piece("C1", "electrolytic_capacitor", "high gnd", capacitance=10e-6),
        piece("R1", "resistor", "high gnd", resistance=100e3),
    )


def _dropper_example() -> Circuit:
    return sketch(
        "Capacitive dropper of the cheapest sort",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("C1", "film_capacitor", "live a", capacitance=330e-9),
        piece("D1", "bridge_rectifier", "a neutral rail gnd"),
        piece("C2", "electrolytic_capacitor", "rail gnd", capacitance=220e-6),
        piece("D2", "zener", "gnd rail", breakdown_voltage=12.0),
    )


def _cell_example() -> Circuit:
    return sketch(
        "Lithium cell without protection",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("U1", "linear_charger", "v5 gnd vbat set - -"),
        piece("R1", "resistor", "set gnd", resistance=2e3),
        piece("BT1", "cell", "vbat gnd"),
        piece("M1", "motor", "vbat gnd"),
    )


def _coil_switched(survey: Survey, load: PlacedPart) -> str | None:
    """Net at which a transistor switches a coil or motor, if one does and nothing catches the current there."""
    steady = {part for block in survey.of_kind(*STEADY) for part in block.parts}
    for net in load.nets.values():
        pins = survey.view.pins[net]
        switched = any(
            one.reference not in steady
            and pin in ("drain", "collector")
            and one.kind in ("mosfet_n", "mosfet_p", "npn", "pnp", "darlington_npn")
            for one, pin in pins
        )
        # A MOSFET bridge carries the current on in its own body diodes.
        bridged = sum(pin == "drain" for _, pin in pins) > 1
        if switched and not bridged and not any(one.kind in CATCHING for one, _ in pins):
            return net
    return None


def _no_diode(survey: Survey) -> Iterator[Economy]:
    for kind in ("motor", "relay"):
        for load in survey.view.by_kind.get(kind, ()):
            net = _coil_switched(survey, load)
            if net is not None:
                yield Economy(
                    kind="no_flyback_diode",
                    title="no flyback diode",
                    what=f"nothing takes over the current of {load.reference} when its switch at {net} opens",
                    consequence="the switch sees a voltage kick each time; it lasts as long as it stands being driven "
                    "into breakdown, and radios nearby crackle",
                    why=ONE_PART + ", and the kick is small where the load stores little",
                    parts=(load.reference,),
                    source=art(1),
                )


def _thin_at_the_mains(survey: Survey, sources: list[PlacedPart]) -> list[PlacedPart]:
    """Resistors of few ohms in line with the mains: not loads across it, nor what lies behind a transformer."""
    ends = {net for one in sources for net in one.nets.values()}
    reached = ends - survey.view.grounds or ends
    passing = [one for kind in PASSING for one in survey.view.by_kind.get(kind, ())]
    for _ in passing:
        for one in passing:
            if set(one.nets.values()) & reached:
                reached = reached | set(one.nets.values())
    across = reached | ends
    return [
        one
        for one in survey.view.by_kind.get("resistor", ())
        if (one.value("resistance") or 1e9) < THIN
        and set(one.nets.values()) & reached
        and not set(one.nets.values()) <= across
    ]


def _no_fuse(survey: Survey) -> Iterator[Economy]:
    guards = ("fuse", "resettable_fuse")
    sources = [
        one for one in survey.view.by_kind.get("ac_supply", ()) if (one.value("voltage") or MAINS) >= MAINS
    ]
    if sources and not any(kind in survey.view.by_kind for kind in guards):
        thin = _thin_at_the_mains(survey, sources)
        also = f"; {thin[0].reference} may have to act as one" if thin else ""
        yield Economy(
            kind="no_mains_fuse",
            title="no fuse at the mains",
            what=f"no fuse stands between the mains and the circuit{also}",
            consequence="after a short, a track, a resistor or the house's own fuse has to open, with heat where it happens",
            why=ONE_PART + "; a thin resistor that burns open is cheaper",
            parts=tuple(one.reference for one in thin[:1]),
            source=PRACTICE,
        )


def _no_bleeder(survey: Survey) -> Iterator[Economy]:
    for block in survey.of_kind("capacitive_dropper"):
        bled = {part for one in survey.of_kind("bleeder") for part in one.roles["capacitor"]}
        if "bleeder" not in block.roles and not bled & set(block.roles["dropper"]):
            yield Economy(
                kind="no_bleeder",
                title="no bleeder",
                what=f"nothing discharges {told_parts(block.roles['dropper'])} once the plug is pulled",
                consequence="the pins of the plug may hold the mains' peak voltage for a long time: do not touch them, and "
                "discharge the capacitor through a resistor before any work",
                why=ONE_PART,
                parts=block.roles["dropper"],
                source=art(9),
            )


def _no_surge_resistor(survey: Survey) -> Iterator[Economy]:
    for block in survey.of_kind("capacitive_dropper"):
        if "series" not in block.roles:
            yield Economy(
                kind="no_surge_resistor",
                title="no surge resistor",
                what=f"no resistor stands before {told_parts(block.roles['dropper'])}",
                consequence="switched on at the mains' peak, only the wiring limits the first surge through the rectifier",
                why=ONE_PART,
                parts=block.roles["dropper"],
                source=art(9),
            )


def _no_protection(survey: Survey) -> Iterator[Economy]:
    if survey.of_kind("cell_protection"):
        return
    for block in survey.of_kind("linear_charger"):
        cells = [
            one.reference
            for kind in ("cell", "battery")
            for one in survey.view.by_kind.get(kind, ())
            if set(one.nets.values()) & set(block.nets.values()) and one.reference not in survey.guarded
        ]
        if cells:
            yield Economy(
                kind="no_cell_protection",
                title="no cell protection on the board",
                what=f"no chip with switches parts {told_parts(cells)} from the rest when it is empty or overloaded",
                consequence="unless the cell carries its own protection under its sleeve, it can be discharged too far or "
                "shorted, which can make a lithium cell burn",
                why="cells can be bought with a protection board of their own, or it was left to the firmware",
                parts=tuple(cells),
                source=PRACTICE,
            )


MEMBERS = (
    EconomyKind(
        name="no_flyback_diode",
        title="no flyback diode",
        says="A motor or relay that a transistor switches, with nothing to take over its current.",
        example=_motor_example,
        finds=_no_diode,
        source=art(1),
    ),
    EconomyKind(
        name="no_mains_fuse",
        title="no fuse at the mains",
        says="A circuit on the mains without a fuse.",
        example=_mains_example,
        finds=_no_fuse,
    ),
    EconomyKind(
        name="no_bleeder",
        title="no bleeder",
        says="A capacitor in the mains line that nothing discharges.",
        example=_dropper_example,
        finds=_no_bleeder,
        source=art(9),
    ),
    EconomyKind(
        name="no_surge_resistor",
        title="no surge resistor",
        says="A capacitor in the mains line without a resistor before it.",
        example=_dropper_example,
        finds=_no_surge_resistor,
        source=art(9),
    ),
    EconomyKind(
        name="no_cell_protection",
        title="no cell protection on the board",
        says="A cell with a charger and without protection that can be seen.",
        example=_cell_example,
        finds=_no_protection,
    ),
)
