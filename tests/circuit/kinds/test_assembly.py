"""Several junctions in one body."""

from __future__ import annotations

import pytest

from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "x", "minus": "y"}, {"voltage": 12.0})
BRIDGE = (
    "D1",
    "bridge_rectifier",
    {"ac_1": "x", "ac_2": "y", "plus": "p", "minus": "gnd"},
    {"forward_drop": 0.9},
)
LOAD = ("R1", "resistor", {"1": "p", "2": "gnd"}, {"resistance": 20.0})


def test_bridge_gives_the_same_output_for_either_sign(solve: Solve) -> None:
    solution = solve(SUPPLY, BRIDGE, LOAD, variations={("V1", "voltage"): [12.0, -12.0]})
    one, other = solution.voltage("p")
    assert one == pytest.approx(other, rel=1e-9)


def test_bridge_costs_two_drops(solve: Solve) -> None:
    current = ("I1", "current_supply", {"plus": "x", "minus": "y"}, {"current": 0.5})
    short = ("W1", "wire", {"1": "p", "2": "gnd"})
    solution = solve(current, BRIDGE, short)
    assert solution.between("x", "y")[0] == pytest.approx(1.8, abs=1e-3)


@pytest.mark.parametrize(
    ("kind", "volts", "amperes"), [("two_way_suppressor", 6.5, 0.01), ("varistor", 430.0, 0.001)]
)
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_clamp_holds_its_told_voltage_of_either_sign(
    solve: Solve, kind: str, volts: float, amperes: float, sign: float
) -> None:
    current = ("I1", "current_supply", {"plus": "a", "minus": "gnd"}, {"current": sign * amperes})
    part = ("RV1", kind, {"1": "a", "2": "gnd"}, {"breakdown_voltage": volts})
    assert solve(current, part).voltage("a")[0] == pytest.approx(sign * volts, rel=1e-4)


def test_varistor_at_mains_peak_leaks_next_to_nothing(solve: Solve) -> None:
    mains = ("V1", "dc_supply", {"plus": "a", "minus": "gnd"}, {"voltage": 325.0})
    assert solve(mains, ("RV1", "varistor", {"1": "a", "2": "gnd"})).current("RV1")[0] < 1e-5
