"""Sources as they stand on the bench."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lidoff.circuit import Circuit, Situation
from lidoff.circuit.waveform import waveform
from tests.circuit.kinds.conftest import Solve

LOAD = ("R1", "resistor", {"1": "in", "2": "gnd"}, {"resistance": 9.0})
PINS = {"plus": "in", "minus": "gnd"}


def test_resistance_of_a_supply_divides_with_its_load(solve: Solve) -> None:
    solution = solve(("V1", "dc_supply", PINS, {"voltage": 5.0, "resistance": 1.0}), LOAD)
    assert solution.voltage("in")[0] == pytest.approx(4.5, rel=1e-9)


def test_disconnected_supply_gives_nothing(solve: Solve) -> None:
    off = [Situation(name="off", settings={"V1": {"connected": "disconnected"}})]
    solution = solve(("V1", "dc_supply", PINS, {"voltage": 5.0}), LOAD, situations=off)
    assert solution.voltage("in")[0] == pytest.approx(0.0, abs=1e-9)


def test_current_supply_drives_its_current_out_of_plus(solve: Solve) -> None:
    solution = solve(("I1", "current_supply", PINS, {"current": 0.1}), LOAD)
    assert solution.voltage("in")[0] == pytest.approx(0.9, rel=1e-9)


def test_alternating_supply_is_told_by_its_effective_voltage(circuit_of: Callable[..., Circuit]) -> None:
    wave = waveform(circuit_of(("V1", "ac_supply", PINS, {"voltage": 12.0}), LOAD), until=20e-3)
    assert np.abs(wave.voltage("in")).max() == pytest.approx(12.0 * 2**0.5, rel=1e-3)


def test_pulse_supply_keeps_its_rhythm(circuit_of: Callable[..., Circuit]) -> None:
    values = {"high": 5.0, "width": 1e-3, "period": 4e-3, "delay": 1e-3}
    wave = waveform(circuit_of(("V1", "pulse_supply", PINS, values), LOAD), until=8e-3)
    at = [float(np.interp(ms * 1e-3, wave.times, wave.voltage("in"))) for ms in (0.5, 1.5, 2.5, 5.5, 6.5)]
    assert at == pytest.approx([0.0, 5.0, 0.0, 5.0, 0.0], abs=1e-6)
