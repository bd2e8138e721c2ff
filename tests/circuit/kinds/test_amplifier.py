"""Amplifiers and comparators in the circuits they are found in."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lidoff.circuit import Circuit
from lidoff.circuit.waveform import waveform
from tests.circuit.kinds.conftest import Row, Solve

RAIL = ("V1", "dc_supply", {"plus": "vcc", "minus": "gnd"}, {"voltage": 5.0})
SIGNAL = ("V2", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 1.0})


def amplifier(plus: str, minus: str, kind: str = "operational_amplifier", **values: float) -> Row:
    pins = {
        "non_inverting": plus, "inverting": minus, "output": "out", "supply_plus": "vcc", "supply_minus": "gnd"
    }  # fmt: skip
    return "U1", kind, pins, values


def resistor(reference: str, one: str, other: str, ohms: float) -> Row:
    return reference, "resistor", {"1": one, "2": other}, {"resistance": ohms}


def test_follower_lacks_one_part_in_the_gain(solve: Solve) -> None:
    solution = solve(RAIL, SIGNAL, amplifier("in", "out", gain=1000.0))
    # v = A·(1 − v) + … with the drive counted from mid-supply: v − 2.5 = A·(1 − v)
    assert solution.voltage("out")[0] == pytest.approx((1000.0 + 2.5) / 1001.0, rel=1e-9)


def test_feedback_sets_the_gain(solve: Solve) -> None:
    solution = solve(
        RAIL,
        SIGNAL,
        amplifier("in", "n", gain=1e7),
        resistor("R1", "n", "gnd", 10e3),
        resistor("R2", "out", "n", 30e3),
    )
    assert solution.voltage("out")[0] == pytest.approx(4.0, abs=1e-5)


def test_output_stops_at_its_rails(solve: Solve) -> None:
    solution = solve(
        RAIL,
        SIGNAL,
        amplifier("in", "ref", headroom_high=1.5, headroom_low=0.1),
        ("V3", "dc_supply", {"plus": "ref", "minus": "gnd"}, {"voltage": 2.0}),
        variations={("V2", "voltage"): [0.0, 4.0]},
    )
    assert solution.voltage("out") == pytest.approx([0.1, 3.5], abs=0.05)


def test_output_current_is_limited(solve: Solve) -> None:
    solution = solve(
        RAIL, SIGNAL, amplifier("in", "out", output_current=5e-3), resistor("R1", "out", "gnd", 10.0)
    )
    assert solution.current("R1")[0] == pytest.approx(5e-3, rel=1e-3)


def test_load_current_comes_from_the_positive_supply_pin(solve: Solve) -> None:
    solution = solve(
        RAIL, SIGNAL, amplifier("in", "out", supply_current=1e-3), resistor("R1", "out", "gnd", 1e3)
    )
    assert solution.pin_current("U1", "supply_plus")[0] == pytest.approx(2e-3, rel=1e-3)
    assert solution.pin_current("U1", "supply_minus")[0] == pytest.approx(-1e-3, rel=1e-3)


def test_input_offset_is_amplified(solve: Solve) -> None:
    # R. L. Boylestad and L. Nashelsky, Electronic Devices and Circuit Theory, example 10.8: 1.2 mV, 150 k / 2 k → 91.2 mV
    low = ("V3", "dc_supply", {"plus": "gnd", "minus": "low"}, {"voltage": 5.0})
    part = (
        "U1",
        "operational_amplifier",
        {
            "non_inverting": "gnd",
            "inverting": "n",
            "output": "out",
            "supply_plus": "vcc",
            "supply_minus": "low",
        },
        {"gain": 1e8, "input_offset": 1.2e-3},
    )
    solution = solve(RAIL, low, part, resistor("R1", "n", "gnd", 2e3), resistor("R2", "out", "n", 150e3))
    assert solution.voltage("out")[0] == pytest.approx(91.2e-3, abs=5e-6)


def test_unpowered_amplifier_lets_go_of_its_output(solve: Solve) -> None:
    dead = ("V1", "dc_supply", {"plus": "vcc", "minus": "gnd"}, {"voltage": 0.0})
    outside = ("V3", "dc_supply", {"plus": "x", "minus": "gnd"}, {"voltage": 3.0})
    solution = solve(dead, SIGNAL, outside, resistor("R1", "x", "out", 1e3), amplifier("in", "ref"))
    assert solution.voltage("out")[0] == pytest.approx(3.0, abs=1e-3)


def test_follower_answers_a_step_with_its_bandwidth(circuit_of: Callable[..., Circuit]) -> None:
    pulse = {"low": 1.0, "high": 2.0, "width": 1.0, "period": 2.0, "delay": 1e-6}
    step = ("V2", "pulse_supply", {"plus": "in", "minus": "gnd"}, pulse)
    wave = waveform(circuit_of(RAIL, step, amplifier("in", "out", gain_bandwidth=1e6)), until=4e-6)
    tau = 1.0 / (2.0 * np.pi * 1e6)
    found = float(np.interp(1e-6 + tau, wave.times, wave.voltage("out")))
    assert found == pytest.approx(2.0 - np.exp(-1.0), abs=5e-3)


def test_comparator_pulls_low_while_its_inverting_input_is_higher(solve: Solve) -> None:
    solution = solve(
        RAIL,
        SIGNAL,
        amplifier("in", "ref", "comparator"),
        ("V3", "dc_supply", {"plus": "ref", "minus": "gnd"}, {"voltage": 2.5}),
        resistor("R1", "vcc", "out", 10e3),
        variations={("V2", "voltage"): [0.0, 2.499, 2.501, 5.0]},
    )
    assert solution.voltage("out") == pytest.approx([0.025, 0.025, 5.0, 5.0], abs=1e-3)


def test_positive_feedback_ends_at_a_rail(solve: Solve) -> None:
    solution = solve(
        RAIL,
        SIGNAL,
        ("V3", "dc_supply", {"plus": "ref", "minus": "gnd"}, {"voltage": 2.5}),
        amplifier("p", "in"),
        resistor("R1", "ref", "p", 1e3),
        resistor("R2", "p", "out", 10e3),
        variations={("V2", "voltage"): [1.0, 4.0]},
    )
    assert solution.voltage("out") == pytest.approx([4.95, 0.05], abs=0.05)


def test_bias_current_flows_into_the_inputs_where_it_is_told(solve: Solve) -> None:
    solution = solve(
        RAIL, SIGNAL, resistor("R1", "in", "p", 1e6), amplifier("p", "out", input_bias_current=1e-7)
    )
    assert solution.between("in", "p")[0] == pytest.approx(0.1, rel=1e-4)
