"""Fuses: told states, and the tripping of a resettable one."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Situation
from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 5.0})
LOAD = ("R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": 100.0})


def test_blown_fuse_lets_nothing_through(solve: Solve) -> None:
    fuse = ("F1", "fuse", {"1": "in", "2": "out"})
    solution = solve(
        SUPPLY, fuse, LOAD, situations=[Situation(name="blown", settings={"F1": {"state": "blown"}})]
    )
    assert solution.current("R1")[0] == pytest.approx(0.0, abs=1e-9)


def test_resettable_fuse_is_its_cold_resistance_well_below_the_trip_current(solve: Solve) -> None:
    fuse = ("F1", "resettable_fuse", {"1": "in", "2": "out"}, {"resistance": 0.3, "trip_current": 1.0})
    solution = solve(SUPPLY, fuse, LOAD)
    assert solution.current("F1")[0] == pytest.approx(5.0 / 100.3, rel=1e-6)


def test_largest_current_of_a_resettable_fuse_is_its_trip_current(solve: Solve) -> None:
    fuse = ("F1", "resettable_fuse", {"1": "in", "2": "gnd"}, {"resistance": 0.3, "trip_current": 1.0})
    volts = np.linspace(0.01, 2.0, 400)
    solution = solve(SUPPLY, fuse, variations={("V1", "voltage"): volts})
    assert solution.current("F1").max() == pytest.approx(1.0, rel=1e-4)


def test_tripped_fuse_takes_constant_power(solve: Solve) -> None:
    fuse = ("F1", "resettable_fuse", {"1": "in", "2": "gnd"}, {"resistance": 0.3, "trip_current": 1.0})
    solution = solve(SUPPLY, fuse, variations={("V1", "voltage"): [5.0, 12.0]})
    # the power at which it trips: 0.3 Ω · (1 A · 2^(1/4))²
    assert solution.power("F1") == pytest.approx([0.3 * 2.0**0.5] * 2, rel=1e-3)


def test_short_behind_a_resettable_fuse_leaves_little_current(solve: Solve) -> None:
    fuse = ("F1", "resettable_fuse", {"1": "in", "2": "out"}, {"resistance": 0.3, "trip_current": 1.0})
    short = ("R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": 0.01})
    solution = solve(SUPPLY, fuse, short)
    assert solution.current("F1")[0] == pytest.approx(0.4243 / 5.0, rel=0.01)
