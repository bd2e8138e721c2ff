"""Boxes draw what was measured and nothing else."""

from __future__ import annotations

import pytest

from lidoff.circuit import Part, Situation, kind_of, settings_of
from lidoff.errors import CircuitFault, UnknownName
from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "v", "minus": "gnd"}, {"voltage": 5.0})


def box(**values: float) -> Part:
    return Part(
        reference="U1",
        kind="box",
        pins={"vcc": "v", "gnd": "gnd", "out": "o"},
        values=values,
        pin_roles={"vcc": "supply", "gnd": "ground"},
    )


def test_box_draws_its_measured_current_and_returns_it_at_ground(solve: Solve) -> None:
    solution = solve(SUPPLY, box(current_vcc=0.012))
    assert solution.pin_current("U1", "vcc")[0] == pytest.approx(0.012, rel=1e-9)
    assert solution.pin_current("U1", "gnd")[0] == pytest.approx(-0.012, rel=1e-9)


def test_box_without_voltage_draws_nothing(solve: Solve) -> None:
    off = [Situation(name="off", settings={"V1": {"connected": "disconnected"}})]
    solution = solve(SUPPLY, box(current_vcc=0.012), situations=off)
    assert solution.voltage("v")[0] == pytest.approx(0.0, abs=1e-9)


def test_situation_may_set_a_measured_current(solve: Solve) -> None:
    busy = [Situation(name="busy", settings={"U1": {"current_vcc": 0.2}})]
    solution = solve(SUPPLY, box(), situations=busy)
    assert solution.pin_current("U1", "vcc")[0] == pytest.approx(0.2, rel=1e-9)


def test_measured_resistance_stands_between_its_pins(solve: Solve) -> None:
    solution = solve(
        SUPPLY, box(resistance_out_vcc=1e3), ("R1", "resistor", {"1": "o", "2": "gnd"}, {"resistance": 1e3})
    )
    assert solution.voltage("o")[0] == pytest.approx(2.5, rel=1e-6)


def test_current_without_a_ground_pin_is_refused_with_the_cure() -> None:
    part = Part(reference="U1", kind="box", pins={"a": "x", "b": "y"}, values={"current_a": 0.1})
    with pytest.raises(CircuitFault, match=r"no pin has the role ground; name the pin"):
        kind_of(part).elements(part)


def test_resistance_to_a_pin_that_is_not_there_is_refused() -> None:
    with pytest.raises(UnknownName, match="no parameter 'resistance_out_vdd'"):
        settings_of(box(resistance_out_vdd=1e3))


@pytest.mark.parametrize("kind", ["connector", "test_point"])
def test_places_to_touch_carry_no_current(solve: Solve, kind: str) -> None:
    pins = {"1": "v", "2": "gnd"} if kind == "connector" else {"1": "v"}
    solution = solve(SUPPLY, ("J1", kind, pins, {}))
    assert solution.pin_current("J1", "1")[0] == 0.0
