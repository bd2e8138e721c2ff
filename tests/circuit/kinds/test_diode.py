"""Diodes against Lambert's W, and Zeners at their told point."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import lambertw

from tests.circuit.kinds.conftest import Row, Solve

V_T = 1.380649e-23 * 298.15 / 1.602176634e-19


def supply(volts: float) -> Row:
    return "V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": volts}


def feed(ohms: float) -> Row:
    return "R1", "resistor", {"1": "in", "2": "d"}, {"resistance": ohms}


def test_diode_and_resistor_follow_lambert(solve: Solve) -> None:
    i_s, n, ohms = 1e-9, 1.7, 470.0
    part = (
        "D1",
        "diode",
        {"anode": "d", "cathode": "gnd"},
        {"saturation_current": i_s, "emission": n, "series_resistance": 0.0},
    )
    volts = np.array([-5.0, 0.3, 0.9, 5.0])
    solution = solve(supply(5.0), feed(ohms), part, variations={("V1", "voltage"): volts})
    # T. C. Banwell and A. Jayakumar, Electronics Letters 36(4), 2000, eq. (4)
    scale = n * V_T
    inner = i_s * ohms / scale * np.exp((volts + i_s * ohms) / scale)
    expected = scale / ohms * np.array([lambertw(one).real for one in inner.tolist()]) - i_s
    assert solution.current("D1") == pytest.approx(expected, rel=1e-6, abs=1e-11)


@pytest.mark.parametrize(
    ("kind", "drop", "current"), [("diode", 0.7, 0.01), ("schottky", 0.3, 0.1), ("led", 2.0, 0.02)]
)
def test_typical_part_drops_its_told_voltage_at_its_test_current(
    solve: Solve, kind: str, drop: float, current: float
) -> None:
    source = ("I1", "current_supply", {"plus": "d", "minus": "gnd"}, {"current": current})
    solution = solve(source, ("D1", kind, {"anode": "d", "cathode": "gnd"}, {}))
    assert solution.voltage("d")[0] == pytest.approx(drop, abs=1e-6)


def test_warm_diode_drops_less(solve: Solve) -> None:
    source = ("I1", "current_supply", {"plus": "d", "minus": "gnd"}, {"current": 0.01})
    part = ("D1", "diode", {"anode": "d", "cathode": "gnd"})
    solution = solve(source, part, variations={("D1", "temperature"): [25.0, 75.0]})
    cool, warm = solution.voltage("d")
    assert warm - cool == pytest.approx(-0.1, abs=1e-6)


def test_diode_of_fixed_drop_holds_it_over_decades(solve: Solve) -> None:
    values = {"forward_drop": 0.7, "emission": 1e-3, "series_resistance": 0.0}
    part = ("D1", "diode", {"anode": "d", "cathode": "gnd"}, values)
    solution = solve(supply(5.0), feed(1e3), part, variations={("R1", "resistance"): [10.0, 1e3, 1e6]})
    assert solution.voltage("d") == pytest.approx([0.7] * 3, abs=1e-3)


def test_ideal_diode_drops_nothing(solve: Solve) -> None:
    values = {"forward_drop": 0.0, "emission": 1e-3, "series_resistance": 0.0}
    part = ("D1", "diode", {"anode": "d", "cathode": "gnd"}, values)
    solution = solve(supply(5.0), feed(1e3), part, variations={("V1", "voltage"): [5.0, -5.0]})
    assert solution.voltage("d") == pytest.approx([0.0, -5.0], abs=1e-3)


@pytest.mark.parametrize("kind", ["zener", "suppressor"])
def test_zener_holds_its_told_voltage_at_its_told_current(solve: Solve, kind: str) -> None:
    source = ("I1", "current_supply", {"plus": "d", "minus": "gnd"}, {"current": 0.005})
    values = {"breakdown_voltage": 5.1, "breakdown_current": 0.005}
    solution = solve(source, ("D1", kind, {"anode": "gnd", "cathode": "d"}, values))
    assert solution.voltage("d")[0] == pytest.approx(5.1, abs=1e-6)


def test_ideal_zener_holds_its_voltage_over_decades(solve: Solve) -> None:
    values = {"breakdown_voltage": 10.0, "dynamic_resistance": 0.0, "breakdown_slope": 1e-4}
    part = ("D1", "zener", {"anode": "gnd", "cathode": "d"}, values)
    solution = solve(supply(20.0), feed(1e3), part, variations={("R1", "resistance"): [100.0, 1e4, 1e6]})
    assert solution.voltage("d") == pytest.approx([10.0] * 3, abs=2e-3)


def test_zener_the_other_way_round_is_a_diode(solve: Solve) -> None:
    source = ("I1", "current_supply", {"plus": "d", "minus": "gnd"}, {"current": 0.01})
    part = ("D1", "zener", {"anode": "d", "cathode": "gnd"}, {"breakdown_voltage": 5.1})
    assert solve(source, part).voltage("d")[0] == pytest.approx(0.75, abs=1e-6)
