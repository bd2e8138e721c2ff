"""Capacitors at rest, and their charge in time."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lidoff.circuit import Circuit, all_kinds
from lidoff.circuit.waveform import waveform
from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 5.0})
FEED = ("R1", "resistor", {"1": "in", "2": "out"}, {"resistance": 10e3})


def test_capacitor_at_rest_carries_no_current(solve: Solve) -> None:
    solution = solve(SUPPLY, FEED, ("C1", "capacitor", {"1": "out", "2": "gnd"}, {"capacitance": 1e-6}))
    assert solution.voltage("out")[0] == pytest.approx(5.0, abs=1e-6)


def test_leakage_of_a_capacitor_divides_the_voltage(solve: Solve) -> None:
    values = {"capacitance": 1e-6, "leakage_resistance": 90e3}
    solution = solve(SUPPLY, FEED, ("C1", "capacitor", {"1": "out", "2": "gnd"}, values))
    assert solution.voltage("out")[0] == pytest.approx(4.5, rel=1e-6)


def test_electrolytic_charges_through_its_series_resistance(circuit_of: Callable[..., Circuit]) -> None:
    values = {"capacitance": 100e-6, "series_resistance": 2.0}
    source = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 5.0, "resistance": 8.0})
    circuit = circuit_of(source, ("C1", "electrolytic_capacitor", {"plus": "in", "minus": "gnd"}, values))
    wave = waveform(circuit, until=2e-3, from_rest=True)
    # i = 5 V/10 Ω · e^(−t/1 ms); at the terminals 5 V − 8 Ω · i
    expected = 5.0 - 8.0 * 0.5 * np.exp(-1.0)
    assert float(np.interp(1e-3, wave.times, wave.voltage("in"))) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("name", ["capacitor", "electrolytic_capacitor", "film_capacitor"])
def test_every_capacitor_states_its_highest_voltage(name: str) -> None:
    assert "voltage_rating" in {rating.name for rating in all_kinds()[name].ratings}
