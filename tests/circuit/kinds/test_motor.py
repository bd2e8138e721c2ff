"""Motors at their two ends: running free and held."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lidoff.circuit import Circuit, Situation, Solution
from lidoff.circuit.waveform import waveform
from tests.circuit.kinds.conftest import Row, Solve

SUPPLY = ("V1", "dc_supply", {"plus": "p", "minus": "gnd"}, {"voltage": 3.0})


def motor(**values: float | str) -> Row:
    told = {"resistance": 2.0, "back_emf_constant": 0.0022, "no_load_current": 0.1, **values}
    return "M1", "motor", {"plus": "p", "minus": "gnd"}, told


def speed(solution: Solution) -> np.ndarray:
    index = next(k for k, name in enumerate(solution.system.variables) if name.endswith(":speed"))
    return solution.outcome.unknowns[:, index]


def test_free_motor_draws_its_no_load_current_at_its_no_load_speed(solve: Solve) -> None:
    solution = solve(SUPPLY, motor())
    assert solution.current("M1")[0] == pytest.approx(0.1, rel=1e-6)
    assert speed(solution)[0] == pytest.approx((3.0 - 2.0 * 0.1) / 0.0022, rel=1e-6)


def test_stalled_motor_is_its_resistance(solve: Solve) -> None:
    stalled = [Situation(name="stalled", settings={"M1": {"state": "stalled"}})]
    solution = solve(SUPPLY, motor(), situations=stalled)
    assert solution.current("M1")[0] == pytest.approx(1.5, rel=1e-9)
    assert speed(solution)[0] == pytest.approx(0.0, abs=1e-9)


def test_load_torque_adds_its_share_of_current(solve: Solve) -> None:
    solution = solve(SUPPLY, motor(load_torque=1e-3))
    assert solution.current("M1")[0] == pytest.approx(0.1 + 1e-3 / 0.0022, rel=1e-6)


def test_reversed_supply_turns_it_the_other_way(solve: Solve) -> None:
    solution = solve(SUPPLY, motor(), variations={("V1", "voltage"): [3.0, -3.0]})
    forward, backward = speed(solution)
    assert backward == pytest.approx(-forward, rel=1e-9)


def test_torque_beyond_its_own_holds_it(solve: Solve) -> None:
    solution = solve(SUPPLY, motor(load_torque=0.1))
    assert solution.current("M1")[0] == pytest.approx(1.5, rel=1e-3)


def test_damping_makes_speed_and_current_grow_together(solve: Solve) -> None:
    damping, k, ohms = 2e-7, 0.0022, 2.0
    solution = solve(SUPPLY, motor(load_damping=damping, no_load_current=0.0))
    expected = 3.0 / (k + ohms * damping / k)
    assert speed(solution)[0] == pytest.approx(expected, rel=1e-6)


def test_run_up_starts_at_the_stall_current_and_ends_at_no_load(circuit_of: Callable[..., Circuit]) -> None:
    wave = waveform(circuit_of(SUPPLY, motor(inertia=1e-7)), until=1.0, from_rest=True)
    current = wave.current("M1")
    assert current.max() == pytest.approx(1.5, rel=1e-2)
    assert current[-1] == pytest.approx(0.1, rel=1e-3)
