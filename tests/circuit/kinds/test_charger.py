"""A linear charger through its phases."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Situation, Solution
from tests.circuit.kinds.conftest import Row, Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 5.0})
PINS = {
    "input": "in", "ground": "gnd", "battery": "bat", "program": "set", "charging": "busy", "charged": "full"
}  # fmt: skip
CHARGER = ("U1", "linear_charger", PINS, {"program_gain": 1200.0, "program_voltage": 1.0})
SET = ("R1", "resistor", {"1": "set", "2": "gnd"}, {"resistance": 2400.0})
PULL_UPS: tuple[Row, ...] = (
    ("R2", "resistor", {"1": "in", "2": "busy"}, {"resistance": 1e3}),
    ("R3", "resistor", {"1": "in", "2": "full"}, {"resistance": 1e3}),
)


def cell(volts: float) -> Row:
    return "BT1", "cell", {"plus": "bat", "minus": "gnd"}, {"emf": volts, "internal_resistance": 0.05}


def charge_current(solution: Solution) -> np.ndarray:
    return -solution.pin_current("U1", "battery")


def test_current_is_gain_times_program_current(solve: Solve) -> None:
    solution = solve(
        SUPPLY, CHARGER, SET, *PULL_UPS, cell(3.7), variations={("R1", "resistance"): [1200.0, 2400.0, 12e3]}
    )
    assert charge_current(solution) == pytest.approx([1.0, 0.5, 0.1], rel=1e-3)


def test_input_carries_the_charge_current_and_the_chargers_own(solve: Solve) -> None:
    solution = solve(SUPPLY, CHARGER, SET, *PULL_UPS, cell(3.7))
    own = 0.15e-3 + 0.5 / 1200.0
    assert solution.pin_current("U1", "input")[0] == pytest.approx(0.5 + own, rel=1e-3)


def test_empty_cell_is_trickled(solve: Solve) -> None:
    solution = solve(SUPPLY, CHARGER, SET, *PULL_UPS, cell(2.0))
    assert charge_current(solution)[0] == pytest.approx(0.05, rel=1e-3)


def test_full_cell_takes_next_to_nothing(solve: Solve) -> None:
    solution = solve(SUPPLY, CHARGER, SET, *PULL_UPS, cell(4.2))
    assert charge_current(solution)[0] < 0.01


def test_current_falls_as_the_cell_fills(solve: Solve) -> None:
    solution = solve(
        SUPPLY, CHARGER, SET, *PULL_UPS, cell(3.7), variations={("BT1", "emf"): np.linspace(3.6, 4.25, 40)}
    )
    assert np.all(np.diff(charge_current(solution)) < 1e-6)
    assert solution.voltage("bat").max() < 4.26


def test_status_pins_tell_charging_from_charged(solve: Solve) -> None:
    solution = solve(SUPPLY, CHARGER, SET, *PULL_UPS, cell(3.7), variations={("BT1", "emf"): [3.7, 4.25]})
    assert solution.voltage("busy") == pytest.approx([0.24, 5.0], abs=0.02)
    assert solution.voltage("full") == pytest.approx([5.0, 0.24], abs=0.02)


def test_unplugged_charger_takes_nothing_from_the_cell(solve: Solve) -> None:
    off = [Situation(name="off", settings={"V1": {"connected": "disconnected"}})]
    solution = solve(SUPPLY, CHARGER, SET, cell(3.7), *PULL_UPS, situations=off)
    assert abs(solution.current("BT1")[0]) < 1e-7


def test_open_program_pin_stops_the_charge(solve: Solve) -> None:
    solution = solve(SUPPLY, CHARGER, cell(3.7), *PULL_UPS)
    assert abs(charge_current(solution)[0]) < 1e-6


@pytest.mark.parametrize("ohms", [400.0, 1200.0, 3000.0, 12e3])
def test_without_a_cell_the_battery_pin_stays_at_the_full_voltage(solve: Solve, ohms: float) -> None:
    solution = solve(
        SUPPLY,
        CHARGER,
        SET,
        ("C1", "capacitor", {"1": "bat", "2": "gnd"}, {"capacitance": 1e-5}),
        variations={("R1", "resistance"): [ohms]},
    )
    assert 4.2 == pytest.approx(solution.voltage("bat")[0], abs=0.03)


def test_long_cable_lowers_the_current_by_the_headroom_left(solve: Solve) -> None:
    cable = ("R9", "resistor", {"1": "usb", "2": "in"}, {"resistance": 3.0})
    source = ("V1", "dc_supply", {"plus": "usb", "minus": "gnd"}, {"voltage": 5.0})
    solution = solve(source, cable, CHARGER, SET, *PULL_UPS, cell(3.9))
    assert charge_current(solution)[0] < 0.4
    assert solution.between("in", "bat")[0] < 0.1


def test_charger_without_input_gives_the_cell_less_than_a_hundred_nanoamperes(solve: Solve) -> None:
    pins = {"input": "in", "ground": "gnd", "battery": "bat", "program": "set"}
    solution = solve(
        ("U1", "linear_charger", pins),
        ("R1", "resistor", {"1": "set", "2": "gnd"}, {"resistance": 3e3}),
        ("R2", "resistor", {"1": "in", "2": "gnd"}, {"resistance": 20e3}),
        cell(4.12),
    )
    assert abs(solution.current("BT1")[0]) < 100e-9
