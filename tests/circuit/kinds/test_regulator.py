"""Series and shunt regulators at their corners."""

from __future__ import annotations

import pytest

from tests.circuit.kinds.conftest import Row, Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 5.0})


def regulator(**values: float) -> Row:
    pins = {"input": "in", "ground": "gnd", "output": "out"}
    return "U1", "linear_regulator", pins, {"output_voltage": 3.3, **values}


def load(ohms: float) -> Row:
    return "R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": ohms}


@pytest.mark.parametrize("ohms", [1e6, 1e3, 33.0])
def test_regulator_holds_its_voltage_over_its_load(solve: Solve, ohms: float) -> None:
    assert solve(SUPPLY, regulator(), load(ohms)).voltage("out")[0] == pytest.approx(3.3, rel=1e-3)


def test_input_gives_what_the_output_takes_and_the_regulators_own(solve: Solve) -> None:
    solution = solve(SUPPLY, regulator(supply_current=1e-3), load(33.0))
    assert solution.pin_current("U1", "input")[0] == pytest.approx(0.1 + 1e-3, rel=1e-3)
    assert solution.pin_current("U1", "ground")[0] == pytest.approx(-1e-3, rel=1e-2)


def test_low_input_leaves_input_less_dropout(solve: Solve) -> None:
    solution = solve(
        SUPPLY,
        regulator(dropout=0.2, output_resistance=0.01),
        load(1e3),
        variations={("V1", "voltage"): [3.0]},
    )
    assert solution.voltage("out")[0] == pytest.approx(2.8, abs=0.04)


def test_overload_is_held_at_the_current_limit(solve: Solve) -> None:
    solution = solve(SUPPLY, regulator(current_limit=0.4), load(1.0))
    assert solution.current("R1")[0] == pytest.approx(0.4, rel=1e-3)


def test_regulator_does_not_pull_its_output_down(solve: Solve) -> None:
    outside = ("V2", "dc_supply", {"plus": "x", "minus": "gnd"}, {"voltage": 4.5})
    feed = ("R2", "resistor", {"1": "x", "2": "out"}, {"resistance": 1e3})
    assert solve(SUPPLY, regulator(), outside, feed).voltage("out")[0] == pytest.approx(4.5, abs=0.01)


def test_adjustable_regulator_adds_its_adjust_current(solve: Solve) -> None:
    # R. L. Boylestad and L. Nashelsky, Electronic Devices and Circuit Theory, example 15.15: 1.25 V, 240 Ω, 2.4 kΩ, 100 µA
    # give 13.99 V
    pins = {"input": "in", "adjust": "adj", "output": "out"}
    values = {"output_voltage": 1.25, "adjust_current": 100e-6, "gain": 1e6}
    supply = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 20.0})
    solution = solve(
        supply,
        ("U1", "adjustable_regulator", pins, values),
        ("R1", "resistor", {"1": "out", "2": "adj"}, {"resistance": 240.0}),
        ("R2", "resistor", {"1": "adj", "2": "gnd"}, {"resistance": 2400.0}),
    )
    assert solution.voltage("out")[0] == pytest.approx(13.99, abs=5e-3)


def shunt(reference: str = "k") -> Row:
    return "D1", "shunt_reference", {"cathode": "k", "anode": "gnd", "reference": reference}


FEED = ("R1", "resistor", {"1": "in", "2": "k"}, {"resistance": 1e3})
TWELVE = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 12.0})


def test_shunt_reference_joined_to_itself_holds_its_reference(solve: Solve) -> None:
    assert solve(TWELVE, FEED, shunt()).voltage("k")[0] == pytest.approx(2.495, abs=3e-3)


def test_divider_multiplies_the_reference(solve: Solve) -> None:
    top = ("R2", "resistor", {"1": "k", "2": "r"}, {"resistance": 10e3})
    bottom = ("R3", "resistor", {"1": "r", "2": "gnd"}, {"resistance": 5e3})
    part = (
        "D1",
        "shunt_reference",
        {"cathode": "k", "anode": "gnd", "reference": "r"},
        {"reference_current": 0.0},
    )
    assert solve(TWELVE, FEED, part, top, bottom).voltage("k")[0] == pytest.approx(3 * 2.495, abs=5e-3)


def test_shunt_reference_switches_down_to_its_least_voltage(solve: Solve) -> None:
    sense = ("V2", "dc_supply", {"plus": "r", "minus": "gnd"}, {"voltage": 2.0})
    solution = solve(TWELVE, FEED, shunt("r"), sense, variations={("V2", "voltage"): [2.4, 2.6]})
    off, on = solution.voltage("k")
    assert off == pytest.approx(12.0, abs=1e-3)
    assert 1.5 < on < 2.0
