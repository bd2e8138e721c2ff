"""Lamps, heaters, buzzers."""

from __future__ import annotations

import numpy as np
import pytest

from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 6.0})


def test_lamp_draws_its_rated_current_at_its_rated_voltage(solve: Solve) -> None:
    lamp = ("LA1", "lamp", {"1": "in", "2": "gnd"}, {"rated_voltage": 6.0, "rated_current": 0.3})
    assert solve(SUPPLY, lamp).current("LA1")[0] == pytest.approx(0.3, rel=1e-9)


def test_cold_lamp_has_a_fraction_of_its_hot_resistance(solve: Solve) -> None:
    values = {"rated_voltage": 6.0, "rated_current": 0.3, "hot_over_cold": 10.0}
    solution = solve(
        SUPPLY, ("LA1", "lamp", {"1": "in", "2": "gnd"}, values), variations={("V1", "voltage"): [1e-6]}
    )
    assert 1e-6 / solution.current("LA1")[0] == pytest.approx(20.0 / 10.0, rel=1e-6)


def test_glowing_lamp_follows_its_power_law(solve: Solve) -> None:
    lamp = ("LA1", "lamp", {"1": "in", "2": "gnd"}, {"rated_voltage": 6.0, "exponent": 0.55})
    low, high = solve(SUPPLY, lamp, variations={("V1", "voltage"): [3.0, 6.0]}).current("LA1")
    assert np.log2(high / low) == pytest.approx(0.55, abs=1e-3)


def test_heater_turns_its_rated_power_into_heat(solve: Solve) -> None:
    heater = ("EH1", "heater", {"1": "in", "2": "gnd"}, {"rated_voltage": 6.0, "rated_power": 9.0})
    assert solve(SUPPLY, heater).power("EH1")[0] == pytest.approx(9.0, rel=1e-9)


def test_buzzer_draws_its_average_current_above_its_least_voltage(solve: Solve) -> None:
    buzzer = ("LS1", "buzzer", {"plus": "in", "minus": "gnd"}, {"rated_current": 0.025})
    solution = solve(SUPPLY, buzzer, variations={("V1", "voltage"): [0.0, 6.0]})
    assert solution.current("LS1") == pytest.approx([0.0, 0.025], rel=1e-2, abs=1e-9)


def test_piezo_carries_no_direct_current(solve: Solve) -> None:
    solution = solve(SUPPLY, ("LS1", "piezo", {"1": "in", "2": "gnd"}))
    assert solution.current("LS1")[0] < 1e-8
