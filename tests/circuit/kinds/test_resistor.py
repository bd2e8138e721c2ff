"""Resistors."""

from __future__ import annotations

import pytest

from lidoff.circuit import Part, settings_of
from lidoff.errors import ImpossibleValue
from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 5.0})


def test_resistor_obeys_ohm(solve: Solve) -> None:
    solution = solve(SUPPLY, ("R1", "resistor", {"1": "in", "2": "gnd"}, {"resistance": 470.0}))
    assert solution.current("R1")[0] == pytest.approx(5.0 / 470.0, rel=1e-12)


def test_warm_resistor_changes_by_its_coefficient(solve: Solve) -> None:
    values = {"resistance": 1000.0, "temperature_coefficient": 0.004}
    part = ("R1", "resistor", {"1": "in", "2": "gnd"}, values)
    solution = solve(SUPPLY, part, variations={("R1", "temperature"): [25.0, 75.0]})
    assert 5.0 / solution.current("R1") == pytest.approx([1000.0, 1200.0], rel=1e-12)


def test_resistor_of_zero_ohms_is_refused() -> None:
    part = Part(reference="R1", kind="resistor", pins={}, values={"resistance": 0.0})
    with pytest.raises(ImpossibleValue, match="R1: resistance = 0 Ω cannot be; give a finite value > 0"):
        settings_of(part)
