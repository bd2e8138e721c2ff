"""Thyristors and triacs: firing, holding, and the mains."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lidoff.circuit import Circuit, Situation
from lidoff.circuit.waveform import waveform
from tests.circuit.kinds.conftest import Row, Solve


def feed(volts: float) -> tuple[Row, Row]:
    return (
        ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": volts}),
        ("R1", "resistor", {"1": "in", "2": "a"}, {"resistance": 100.0}),
    )


GATE = ("I1", "current_supply", {"plus": "g", "minus": "gnd"}, {"current": 0.0})


def thyristor(**values: float | str) -> Row:
    told = {"trigger_current": 1e-3, "holding_current": 5e-3, **values}
    return "Q1", "thyristor", {"anode": "a", "cathode": "gnd", "gate": "g"}, told


def triac(**values: float | str) -> Row:
    return "Q1", "triac", {"main_2": "a", "main_1": "gnd", "gate": "g"}, {"trigger_current": 5e-3, **values}


@pytest.mark.parametrize("trigger", [0.05e-3, 1e-3, 10e-3])
def test_thyristor_fires_at_its_trigger_current(solve: Solve, trigger: float) -> None:
    part = thyristor(trigger_current=trigger, holding_current=4 * trigger)
    gate = {("I1", "current"): np.array([0.0, 0.95, 1.05]) * trigger}
    blocked, nearly, fired = solve(*feed(12.0), GATE, part, variations=gate).voltage("a")
    assert blocked == pytest.approx(12.0, abs=0.01)
    assert nearly > 10.0
    assert fired < 2.0


def test_thyristor_blocks_backwards_even_with_gate_current(solve: Solve) -> None:
    solution = solve(*feed(-12.0), GATE, thyristor(), variations={("I1", "current"): [5e-3]})
    assert solution.voltage("a")[0] == pytest.approx(-12.0, abs=0.01)


def test_fired_word_holds_it_on(solve: Solve) -> None:
    fired = [Situation(name="fired", settings={"Q1": {"state": "fired"}})]
    assert solve(*feed(12.0), GATE, thyristor(), situations=fired).voltage("a")[0] < 1.5


@pytest.mark.parametrize("volts", [12.0, -12.0])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_triac_fires_in_all_four_quadrants(solve: Solve, volts: float, sign: float) -> None:
    gate = {("I1", "current"): sign * np.array([4e-3, 6e-3])}
    blocked, fired = solve(*feed(volts), GATE, triac(), variations=gate).voltage("a")
    assert blocked == pytest.approx(volts, abs=0.05)
    assert abs(fired) < 1.5


def mains(part: Row, gate_period: float) -> tuple[Row, ...]:
    pulse = {"high": 5.0, "width": 1e-4, "period": gate_period, "delay": 5e-3, "rise": 1e-6, "fall": 1e-6}
    return (
        ("V1", "ac_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 24.0, "frequency": 50.0}),
        ("R1", "resistor", {"1": "in", "2": "a"}, {"resistance": 100.0}),
        ("V2", "pulse_supply", {"plus": "x", "minus": "gnd"}, pulse),
        ("R2", "resistor", {"1": "x", "2": "g"}, {"resistance": 220.0}),
        part,
    )


def test_thyristor_on_alternating_voltage_conducts_from_its_pulse_to_the_zero(
    circuit_of: Callable[..., Circuit],
) -> None:
    wave = waveform(circuit_of(*mains(thyristor(), 20e-3)), until=20e-3)
    at = {ms: float(np.interp(ms * 1e-3, wave.times, wave.voltage("a"))) for ms in (4.5, 5.5, 9.0, 15.0)}
    peak = 24.0 * 2**0.5
    assert at[4.5] == pytest.approx(peak * np.sin(0.45 * np.pi), rel=0.01)
    assert at[5.5] < 2.0
    assert at[9.0] < 2.0
    assert at[15.0] == pytest.approx(-peak, rel=0.01)


def test_triac_on_alternating_voltage_conducts_in_both_halves(circuit_of: Callable[..., Circuit]) -> None:
    wave = waveform(circuit_of(*mains(triac(), 10e-3)), until=20e-3)
    at = {ms: float(np.interp(ms * 1e-3, wave.times, wave.voltage("a"))) for ms in (4.5, 6.0, 14.5, 16.0)}
    assert at[4.5] > 30.0
    assert abs(at[6.0]) < 2.0
    assert at[14.5] < -30.0
    assert abs(at[16.0]) < 2.0


def test_thyristor_holds_until_its_current_falls_below_the_holding_current(
    circuit_of: Callable[..., Circuit],
) -> None:
    # a ramp down from 20 V through 1 kΩ, fired at the start: lets go near 5 mA
    falling = {"low": 20.0, "high": 0.0, "rise": 20e-3, "width": 1.0, "period": 2.0, "delay": 1e-3}
    kick = {"high": 400.0, "width": 0.5e-3, "period": 1.0, "rise": 1e-6, "fall": 1e-6}
    circuit = circuit_of(
        ("V1", "pulse_supply", {"plus": "in", "minus": "gnd"}, falling),
        ("R1", "resistor", {"1": "in", "2": "a"}, {"resistance": 1e3}),
        ("V2", "pulse_supply", {"plus": "x", "minus": "gnd"}, kick),
        (
            "R2",
            "resistor",
            {"1": "x", "2": "g"},
            {"resistance": 1e5},
        ),  # hardly shunts the gate after the kick
        thyristor(),
    )
    wave = waveform(circuit, until=20e-3)
    current = wave.current("R1")
    held = current[(wave.times > 2e-3) & (wave.voltage("a") < 1.5) & (wave.times < 16.5e-3)]
    assert held.min() == pytest.approx(5e-3, rel=0.15)


def test_a_triac_fired_at_the_crest_is_followed(circuit_of: Callable[..., Circuit]) -> None:
    # An edge of a nanosecond late in the period, then 325 V that collapse within a nanosecond, with a snubber across it.
    pulse = {"high": 5.0, "width": 200e-6, "period": 10e-3, "delay": 5e-3}
    wave = waveform(
        circuit_of(
            ("V1", "ac_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 230.0, "frequency": 50.0}),
            ("R1", "resistor", {"1": "in", "2": "a"}, {"resistance": 529.0}),
            ("V2", "pulse_supply", {"plus": "x", "minus": "gnd"}, pulse),
            ("R2", "resistor", {"1": "x", "2": "g"}, {"resistance": 100.0}),
            ("R3", "resistor", {"1": "a", "2": "s"}, {"resistance": 100.0}),
            ("C1", "capacitor", {"1": "s", "2": "gnd"}, {"capacitance": 10e-9}),
            triac(trigger_current=10e-3),
        ),
        until=7e-3,
    )
    at = {ms: float(np.interp(ms * 1e-3, wave.times, wave.voltage("a"))) for ms in (4.9, 6.0)}
    assert 230.0 * 2**0.5 * np.sin(0.49 * np.pi) == pytest.approx(at[4.9], rel=0.01)
    assert at[6.0] < 2.0
