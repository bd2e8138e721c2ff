"""Averaged converters: power in is power out over efficiency."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Situation
from tests.circuit.kinds.conftest import Row, Solve

PINS = {"input": "in", "ground": "gnd", "output": "out"}


def supply(volts: float) -> Row:
    return "V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": volts}


def load(ohms: float) -> Row:
    return "R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": ohms}


def converter(kind: str, volts: float, **values: float | str) -> Row:
    return "U1", kind, PINS, {"output_voltage": volts, "supply_current": 0.0, **values}


CASES = [("step_up_converter", 3.7, 5.0), ("step_down_converter", 12.0, 3.3)]


@pytest.mark.parametrize(("kind", "volts_in", "volts_out"), CASES)
def test_output_is_held_and_power_is_passed_on_less_the_loss(
    solve: Solve, kind: str, volts_in: float, volts_out: float
) -> None:
    solution = solve(supply(volts_in), converter(kind, volts_out, efficiency=0.9), load(20.0))
    assert solution.voltage("out")[0] == pytest.approx(volts_out, rel=5e-3)
    taken = volts_in * solution.pin_current("U1", "input")[0]
    assert solution.power("R1")[0] / taken == pytest.approx(0.9, rel=5e-3)


def test_step_up_converter_draws_more_from_a_weaker_cell(solve: Solve) -> None:
    part = converter("step_up_converter", 5.0)
    solution = solve(supply(3.7), part, load(20.0), variations={("V1", "voltage"): [4.2, 3.2]})
    full, empty = solution.pin_current("U1", "input")
    assert empty / full == pytest.approx(4.2 / 3.2, rel=5e-3)


def test_step_up_converter_limits_its_input_current(solve: Solve) -> None:
    part = converter("step_up_converter", 5.0, current_limit=1.0, efficiency=0.9)
    solution = solve(supply(3.7), part, load(6.0))
    assert solution.pin_current("U1", "input")[0] == pytest.approx(1.0, rel=0.02)
    assert solution.voltage("out")[0] < 4.9


def test_step_down_converter_limits_its_output_current(solve: Solve) -> None:
    solution = solve(supply(12.0), converter("step_down_converter", 5.0, current_limit=1.0), load(2.0))
    assert solution.current("R1")[0] == pytest.approx(1.0, rel=0.01)


def test_step_down_converter_runs_out_of_duty(solve: Solve) -> None:
    part = converter("step_down_converter", 5.0, highest_duty=0.9, output_resistance=1e-3)
    assert solve(supply(4.0), part, load(100.0)).voltage("out")[0] == pytest.approx(3.6, abs=0.01)


def test_step_up_converter_that_is_off_passes_its_input_less_a_diode(solve: Solve) -> None:
    part = converter("step_up_converter", 5.0, diode_drop=0.35)
    off = [Situation(name="off", settings={"U1": {"state": "off"}})]
    solution = solve(supply(3.7), part, load(100.0), situations=off)
    assert 3.35 < solution.voltage("out")[0] < 3.6


@pytest.mark.parametrize(("kind", "volts_in", "volts_out"), CASES)
def test_starved_converter_still_settles(solve: Solve, kind: str, volts_in: float, volts_out: float) -> None:
    source = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": volts_in, "resistance": 10.0})
    solution = solve(
        source,
        converter(kind, volts_out),
        load(5.0),
        variations={("R1", "resistance"): np.geomspace(0.1, 1e4, 40)},
    )
    assert (solution.power("R1") <= volts_in**2 / 40.0 + 1e-6).all()
