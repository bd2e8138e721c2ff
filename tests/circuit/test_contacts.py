"""Which pin the moving contact of a switch, button or relay touches."""

from __future__ import annotations

import math

import pytest

from lidoff.circuit import Part, touched

RELAY = Part(
    reference="K1",
    kind="relay",
    pins={"coil_1": "a", "coil_2": "b", "common": "c", "normally_open": "d", "normally_closed": "e"},
    values={"operate_voltage": 9.0},
)


def button(**values: str) -> Part:
    return Part(reference="S1", kind="button", pins={"1": "a", "2": "b"}, values=values)


@pytest.mark.parametrize(
    ("expected", "action", "state"),
    [
        ("", "makes", "released"),
        ("2", "makes", "pressed"),
        ("2", "breaks", "released"),
        ("", "breaks", "pressed"),
    ],
)
def test_a_button_touches_by_what_pressing_does(expected: str, action: str, state: str) -> None:
    assert expected == touched(button(action=action), {"state": state})


def test_without_a_situation_a_switch_stands_as_its_own_values_say() -> None:
    part = Part(reference="S1", kind="switch", pins={"1": "a", "2": "b"}, values={"state": "closed"})
    assert touched(part) == "2"


@pytest.mark.parametrize(
    ("expected", "volts"),
    [
        ("normally_closed", 0.0),
        ("normally_closed", 8.0),
        ("normally_open", 10.0),
        ("normally_open", -10.0),
        ("normally_closed", math.nan),
    ],
)
def test_a_coil_moves_its_contact_from_its_operate_voltage_on(expected: str, volts: float) -> None:
    assert expected == touched(RELAY, across_coil=volts)


def test_a_relay_held_released_stays_so_at_any_voltage() -> None:
    assert touched(RELAY, {"state": "released"}, across_coil=12.0) == "normally_closed"


def test_what_has_no_contact_touches_nothing() -> None:
    assert touched(Part(reference="R1", kind="resistor", pins={"1": "a", "2": "b"})) == ""
