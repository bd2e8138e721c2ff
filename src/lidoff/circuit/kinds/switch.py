"""Contacts moved by hand or by a coil: switch, button, changeover and selector switch, relay."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Array, Element, Kind, Parameter, Parameters
from lidoff.circuit.laws import BRANCH, CONDUCTANCE, INDUCTANCE
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, state, zero_or_more
from lidoff.circuit.steering import STEERED, steered

OPEN_CONDUCTANCE = 1e-12  # [S] of an open relay contact; the solver's own least conductance

CONTACT_RESISTANCE = zero_or_more("contact_resistance", "Ω", 0.05, "resistance when closed", spread=0.5)
_CURRENT, _CURRENT_RATING = rating(
    "current_rating", "A", "contact current", 1.0, "highest current of a contact"
)
_VOLTAGE, _VOLTAGE_RATING = rating(
    "voltage_rating",
    "V",
    "contact voltage",
    24.0,
    "highest voltage that a contact breaks, the effective one where it alternates",
)
_SOURCE = "ideal contact with its resistance"


def _contact(p: Parameters, closed: Array) -> Parameters:
    return {"voltage": np.zeros(1), "resistance": p["contact_resistance"], "connected": closed}


def _one_contact(part: Part) -> tuple[tuple[str, str], ...]:  # noqa: ARG001
    return (("1", "2"),)


def _from_common(part: Part) -> tuple[tuple[str, str], ...]:
    """Contacts of a part whose common pin is joined to one of the others; the coil of a relay is none of them."""
    if "common" not in part.pins:
        return ()
    return tuple(("common", pin) for pin in sorted(part.pins) if pin not in ("common", "coil_1", "coil_2"))


def _switch(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=BRANCH, joins=("1", "2"), derive=lambda p: _contact(p, p["state"])),)


def _pressed(p: Parameters) -> Parameters:
    makes, pressed = p["action"], p["state"]
    return _contact(p, makes * pressed + (1.0 - makes) * (1.0 - pressed))


def _button(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=BRANCH, joins=("1", "2"), derive=_pressed),)


def _changeover(part: Part) -> tuple[Element, ...]:
    def closed_at(position: float) -> Element:
        return Element(
            law=BRANCH,
            joins=("common", "a" if position == 0.0 else "b"),
            derive=lambda p: _contact(p, (p["position"] == position).astype(float)),
        )

    return tuple(
        element for pin, element in (("a", closed_at(0.0)), ("b", closed_at(1.0))) if pin in part.pins
    )


def _throws(part: Part) -> tuple[str, ...]:
    return tuple(sorted(pin for pin in part.pins if pin != "common"))


def _selector(part: Part) -> tuple[Element, ...]:
    def closed_at(number: int, pin: str) -> Element:
        return Element(
            law=BRANCH,
            joins=("common", pin),
            derive=lambda p: _contact(p, (np.round(p["position"]) == number).astype(float)),
        )

    return tuple(closed_at(number, pin) for number, pin in enumerate(_throws(part)))


def _selector_position(part: Part) -> tuple[Parameter, ...]:
    throws = _throws(part)
    if not throws:
        return ()
    words = {pin: float(number) for number, pin in enumerate(throws)}
    return (state("position", words, throws[0], "pin that the common contact touches"),)


_STATES = {"by its coil": 0.0, "released": -1.0, "operated": 1.0}
_FORCED = 1e6  # [V] threshold of a relay that is held released; no coil reaches it


def _coil(p: Parameters) -> Parameters:
    return {
        "voltage": np.zeros(1),
        "resistance": np.zeros(1),
        "connected": np.ones(1),
        "inductance": p["coil_inductance"],
    }


def _coil_resistance(p: Parameters) -> Parameters:
    return {"conductance": 1.0 / p["coil_resistance"]}


def _relay(part: Part) -> tuple[Element, ...]:
    def contact(pin: str, *, makes: bool) -> Element:
        def derive(p: Parameters) -> Parameters:
            released = p["state"] < -0.5
            threshold = np.where(released, _FORCED, p["operate_voltage"])
            forced_on = p["state"] > 0.5
            closed, opened = 1.0 / p["contact_resistance"], np.full(1, OPEN_CONDUCTANCE)
            on, off = (closed, opened) if makes else (opened, closed)
            return steered(
                on, np.where(forced_on, on, off), threshold, 0.01 * p["operate_voltage"], both_ways=True
            )

        return Element(law=STEERED, joins=("~turns", "coil_2", "common", pin), derive=derive)

    contacts = [
        contact(pin, makes=makes)
        for pin, makes in (("normally_open", True), ("normally_closed", False))
        if pin in part.pins
    ]
    return (
        Element(law=INDUCTANCE, joins=("coil_1", "~turns"), derive=_coil),
        Element(law=CONDUCTANCE, joins=("~turns", "coil_2"), derive=_coil_resistance),
        *contacts,
    )


SWITCH = Kind(
    name="switch",
    title="switch",
    letters=("S", "SW"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_switch,
    parameters=(
        state("state", {"open": 0.0, "closed": 1.0}, "open", "position of the switch"),
        CONTACT_RESISTANCE,
        _CURRENT,
        _VOLTAGE,
    ),
    ratings=(_CURRENT_RATING, _VOLTAGE_RATING),
    contacts=_one_contact,
    main_value="state",
    outline=outlines.SWITCH,
    says="opens or closes a circuit and stays so",
    source=_SOURCE,
)
BUTTON = Kind(
    name="button",
    title="push button",
    letters=("S", "SW"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_button,
    parameters=(
        state("state", {"released": 0.0, "pressed": 1.0}, "released", "whether it is held down"),
        state(
            "action", {"makes": 1.0, "breaks": 0.0}, "makes", "whether pressing closes or opens the contact"
        ),
        CONTACT_RESISTANCE,
        _CURRENT,
        _VOLTAGE,
    ),
    ratings=(_CURRENT_RATING, _VOLTAGE_RATING),
    contacts=_one_contact,
    main_value="state",
    outline=outlines.BUTTON,
    says="changes its contact for as long as it is pressed",
    source=_SOURCE,
)
CHANGEOVER_SWITCH = Kind(
    name="changeover_switch",
    outline=outlines.CHANGEOVER,
    title="changeover switch",
    letters=("S", "SW"),
    pins=("common", "a", "b"),
    path=("common", "a"),
    elements=_changeover,
    parameters=(
        state("position", {"a": 0.0, "b": 1.0, "middle": 2.0}, "a", "contact that the common one touches"),
        CONTACT_RESISTANCE,
        _CURRENT,
        _VOLTAGE,
    ),
    ratings=(_CURRENT_RATING, _VOLTAGE_RATING),
    contacts=_from_common,
    optional_pins=("a", "b"),
    main_value="position",
    says="joins its common contact to one of two others",
    source=_SOURCE,
)
SELECTOR_SWITCH = Kind(
    name="selector_switch",
    title="selector switch",
    letters=("S", "SW"),
    pins=(),
    elements=_selector,
    parameters=(CONTACT_RESISTANCE, _CURRENT, _VOLTAGE),
    own_parameters=_selector_position,
    ratings=(_CURRENT_RATING, _VOLTAGE_RATING),
    contacts=_from_common,
    example_pins={"common": "", "off": "", "low": "", "high": ""},
    main_value="position",
    says="joins its common contact to one of several others, each named by its pin",
    source=_SOURCE,
)
RELAY = Kind(
    name="relay",
    outline=outlines.RELAY,
    title="relay",
    letters=("K",),
    pins=("coil_1", "coil_2", "common", "normally_open", "normally_closed"),
    path=("coil_1", "coil_2"),
    elements=_relay,
    parameters=(
        positive("coil_resistance", "Ω", 70.0, "resistance of the coil", spread=0.1),
        zero_or_more("coil_inductance", "H", 0.1, "inductance of the coil", spread=0.5),
        positive(
            "operate_voltage", "V", 3.75, "coil voltage, steady, at which the contact moves", spread=0.2
        ),
        state("state", _STATES, "by its coil", "whether its coil decides, or it is held"),
        positive("contact_resistance", "Ω", 0.05, "resistance of a closed contact", spread=0.5),
        _CURRENT,
        _VOLTAGE,
    ),
    ratings=(_CURRENT_RATING, _VOLTAGE_RATING),
    contacts=_from_common,
    main_value="coil_resistance",
    controls=(("coil_1", "normally_open"), ("coil_1", "normally_closed")),
    optional_pins=("normally_open", "normally_closed"),
    says="a coil moves a contact; that it lets go at a lower voltage than it operates at is left out",
    source=f"{_SOURCE}; contact steered by the coil's current",
)

MEMBERS = (BUTTON, CHANGEOVER_SWITCH, RELAY, SELECTOR_SWITCH, SWITCH)
