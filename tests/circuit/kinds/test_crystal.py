"""Crystals by their equivalent circuit."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import kind_of, settings_of
from lidoff.circuit.kind import all_kinds
from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 5.0})


def test_crystal_carries_no_direct_current(solve: Solve) -> None:
    load = ("R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": 1e6})
    solution = solve(SUPPLY, ("Y1", "crystal", {"1": "in", "2": "out"}), load)
    assert solution.voltage("out")[0] == pytest.approx(0.0, abs=1e-4)


def test_motional_branch_resonates_at_the_told_frequency() -> None:
    part = all_kinds()["crystal"].example_part()
    numbers = {name: np.array([value]) for name, value in settings_of(part).items()}
    mass, spring, _ = (element.derive(numbers) for element in kind_of(part).elements(part))
    resonance = 1.0 / (2.0 * np.pi * np.sqrt(mass["inductance"] * spring["capacitance"]))
    assert resonance[0] == pytest.approx(12e6, rel=1e-12)
