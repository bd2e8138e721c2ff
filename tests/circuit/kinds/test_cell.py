"""Cells and batteries."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.circuit import Situation
from lidoff.circuit.kinds.cell import CHEMISTRIES, rested_voltage
from tests.circuit.kinds.conftest import Row, Solve

LOAD = ("R1", "resistor", {"1": "p", "2": "gnd"}, {"resistance": 10.0})
PINS = {"plus": "p", "minus": "gnd"}


def cell(kind: str = "cell", **values: float | str) -> Row:
    return "BT1", kind, PINS, values


def test_full_lithium_cell_rests_at_its_end_of_charge_voltage(solve: Solve) -> None:
    light = ("R1", "resistor", {"1": "p", "2": "gnd"}, {"resistance": 1e9})
    solution = solve(cell(chemistry="lithium-ion", state_of_charge=1.0), light)
    assert solution.voltage("p")[0] == pytest.approx(4.2, abs=1e-6)


def test_told_emf_behind_internal_resistance(solve: Solve) -> None:
    # OpenStax, College Physics, Electromotive Force: Terminal Voltage: 12.0 V behind 0.1 Ω on 10.0 Ω gives 1.188 A
    solution = solve(cell(emf=12.0, internal_resistance=0.1), LOAD)
    assert -solution.current("BT1")[0] == pytest.approx(1.188, abs=5e-4)


def test_battery_multiplies_cells_and_their_resistance(solve: Solve) -> None:
    solution = solve(cell("battery", cells=3.0, emf=1.5, internal_resistance=0.2), LOAD)
    assert solution.voltage("p")[0] == pytest.approx(4.5 * 10.0 / 10.6, rel=1e-9)


def test_removed_cell_leaves_the_net_dead(solve: Solve) -> None:
    out = [Situation(name="out", settings={"BT1": {"connected": "removed"}})]
    solution = solve(cell(), LOAD, situations=out)
    assert solution.voltage("p")[0] == pytest.approx(0.0, abs=1e-9)


def test_state_of_charge_may_be_set_by_the_situation(solve: Solve) -> None:
    solution = solve(
        cell(internal_resistance=0.0), LOAD, variations={("BT1", "state_of_charge"): [0.0, 0.5, 1.0]}
    )
    assert np.all(np.diff(solution.voltage("p")) > 0.0)


@settings(max_examples=100, deadline=None)
@given(chemistry=st.sampled_from(sorted(CHEMISTRIES)), low=st.floats(0, 1), high=st.floats(0, 1))
def test_fuller_cell_never_has_a_lower_voltage(chemistry: str, low: float, high: float) -> None:
    low, high = min(low, high), max(low, high)
    code = np.full(2, CHEMISTRIES[chemistry])
    empty, full = rested_voltage(code, np.array([low, high]))
    assert empty <= full
