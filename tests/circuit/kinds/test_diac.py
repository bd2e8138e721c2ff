"""Diacs: breaking over, falling back, letting go, and what that makes of a capacitor."""

from __future__ import annotations

from collections.abc import Callable
from math import log

import numpy as np
import pytest

from lidoff.circuit import Circuit
from lidoff.circuit.waveform import waveform
from tests.circuit.kinds.conftest import Row, Solve

TOLD = {"breakover_voltage": 32.0, "breakback_voltage": 8.0, "holding_current": 1e-3}


def diac(**values: float) -> Row:
    return "D1", "diac", {"1": "a", "2": "gnd"}, {**TOLD, **values}


def through(amperes: float) -> Row:
    return "I1", "current_supply", {"plus": "a", "minus": "gnd"}, {"current": amperes}


def behind(volts: float, ohms: float = 1e3) -> tuple[Row, Row]:
    return (
        ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": volts}),
        ("R1", "resistor", {"1": "in", "2": "a"}, {"resistance": ohms}),
    )


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_it_blocks_below_its_breakover_voltage_both_ways(solve: Solve, sign: float) -> None:
    assert sign * 30.0 == pytest.approx(solve(*behind(sign * 30.0), diac()).voltage("a")[0], abs=0.05)


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("volts", [28.0, 32.0, 36.0])
def test_its_highest_voltage_is_the_breakover_voltage(solve: Solve, sign: float, volts: float) -> None:
    amperes = sign * np.geomspace(1e-6, 1e-3, 61)
    part = diac(breakover_voltage=volts)
    across = solve(through(0.0), part, variations={("I1", "current"): amperes}).voltage("a")
    assert volts == pytest.approx(float(np.abs(across).max()), abs=0.2)


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("falls", [5.0, 8.0, 12.0])
def test_at_ten_milliamperes_its_voltage_has_fallen_as_told(solve: Solve, sign: float, falls: float) -> None:
    across = solve(through(sign * 10e-3), diac(breakback_voltage=falls)).voltage("a")[0]
    assert sign * (32.0 - falls) == pytest.approx(across, abs=0.3)


def test_between_breakover_and_holding_current_more_current_takes_less_voltage(solve: Solve) -> None:
    amperes = np.geomspace(0.15e-3, 0.9e-3, 12)
    across = solve(through(0.0), diac(), variations={("I1", "current"): amperes}).voltage("a")
    assert (np.diff(across) < 0.0).all()


def test_over_its_breakover_voltage_it_takes_what_the_resistor_lets_through(solve: Solve) -> None:
    # (36 V − 24 V) / 1 kΩ, the lower voltage told at 10 mA
    assert 12e-3 == pytest.approx(solve(*behind(36.0), diac()).current("R1")[0], rel=0.03)


def oscillator(circuit_of: Callable[..., Circuit], volts: float) -> Circuit:
    return circuit_of(
        *behind(volts, 10e3),
        ("C1", "capacitor", {"1": "a", "2": "gnd"}, {"capacitance": 100e-9}),
        ("D1", "diac", {"1": "a", "2": "b"}, {**TOLD, "holding_current": 5e-3, "off_resistance": 1e9}),
        ("R2", "resistor", {"1": "b", "2": "gnd"}, {"resistance": 22.0}),
    )


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_with_a_capacitor_it_oscillates_at_the_period_of_the_closed_form(
    circuit_of: Callable[..., Circuit], sign: float
) -> None:
    # Charging from the lower voltage to breakover: R·C·ln((V − V_low)/(V − V_high)), with 10 kΩ, 100 nF, 60 V
    wave = waveform(oscillator(circuit_of, sign * 60.0), until=1.6e-3, from_rest=True)
    volts = sign * wave.voltage("a")
    tops = [
        k for k in range(1, len(volts) - 1) if volts[k - 1] < volts[k] >= volts[k + 1] and volts[k] > 30.0
    ]
    assert 32.0 == pytest.approx(volts.max(), abs=0.3)
    assert len(tops) >= 2
    bottom = tops[0] + int(volts[tops[0] : tops[1]].argmin())
    low = float(volts[bottom])
    assert 24.0 == pytest.approx(low, abs=0.3)
    charging = 10e3 * 100e-9 * log((60.0 - low) / (60.0 - volts.max()))
    assert charging == pytest.approx(float(wave.times[tops[1]] - wave.times[bottom]), rel=0.02)
    # the first time it charges from nought
    assert 10e3 * 100e-9 * log(60.0 / 28.0) == pytest.approx(float(wave.times[tops[0]]), rel=0.03)


def test_it_fires_a_triac_once_its_capacitor_is_full(circuit_of: Callable[..., Circuit]) -> None:
    circuit = circuit_of(
        *behind(60.0, 10e3),
        ("C1", "capacitor", {"1": "a", "2": "gnd"}, {"capacitance": 100e-9}),
        ("D1", "diac", {"1": "a", "2": "g"}, TOLD),
        ("R2", "resistor", {"1": "in", "2": "load"}, {"resistance": 100.0}),
        ("Q1", "triac", {"main_2": "load", "main_1": "gnd", "gate": "g"}, {"trigger_current": 5e-3}),
    )
    wave = waveform(circuit, until=1e-3, from_rest=True)
    due = 10e3 * 100e-9 * log(60.0 / 28.0)
    before, after = (float(np.interp(due * share, wave.times, wave.voltage("load"))) for share in (0.9, 1.1))
    assert 60.0 == pytest.approx(before, abs=0.5)
    assert after < 2.0
