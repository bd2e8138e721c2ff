"""Resistors that follow temperature, light and hand."""

from __future__ import annotations

import numpy as np
import pytest

from tests.circuit.kinds.conftest import Row, Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 1.0})


def across(kind: str, **values: float | str) -> Row:
    return "R1", kind, {"1": "in", "2": "gnd"}, values


def test_thermistor_follows_its_b_value(solve: Solve) -> None:
    part = across("ntc", resistance=10e3, beta=3950.0)
    solution = solve(SUPPLY, part, variations={("R1", "temperature"): [0.0, 25.0, 50.0, 100.0]})
    # 10 kΩ · exp(3950·(1/T − 1/298.15)), worked out by hand to four digits
    assert 1.0 / solution.current("R1") == pytest.approx([33620.6, 10000.0, 3588.2, 697.2], rel=1e-3)


def test_photoresistor_loses_a_decade_of_light_to_gamma(solve: Solve) -> None:
    part = across("photoresistor", resistance=15e3, gamma=0.7, dark_resistance=1e12)
    solution = solve(SUPPLY, part, variations={("R1", "light"): [10.0, 100.0]})
    assert 1.0 / solution.current("R1") == pytest.approx([15e3, 15e3 * 10**-0.7], rel=1e-6)


def test_photoresistor_in_the_dark_keeps_its_dark_resistance(solve: Solve) -> None:
    solution = solve(SUPPLY, across("photoresistor", light=0.0, dark_resistance=1e6))
    assert 1.0 / solution.current("R1")[0] == pytest.approx(1e6, rel=1e-6)


@pytest.mark.parametrize(("position", "volts"), [(0.0, 1.0), (0.25, 0.75), (1.0, 0.0)])
def test_wiper_divides_by_its_position_down_to_either_end(
    solve: Solve, position: float, volts: float
) -> None:
    values = {"resistance": 10e3, "position": position}
    part = ("RV1", "potentiometer", {"1": "in", "wiper": "w", "2": "gnd"}, values)
    assert solve(SUPPLY, part).voltage("w")[0] == pytest.approx(volts, abs=1e-6)


def test_logarithmic_track_has_a_tenth_at_half_travel(solve: Solve) -> None:
    values: dict[str, float | str] = {"resistance": 10e3, "position": 0.5, "taper": "logarithmic"}
    part: Row = ("RV1", "potentiometer", {"1": "in", "wiper": "w", "2": "gnd"}, values)
    assert solve(SUPPLY, part).voltage("w")[0] == pytest.approx(0.9, abs=1e-6)


def test_potentiometer_with_one_end_is_a_variable_resistor(solve: Solve) -> None:
    part = ("RV1", "potentiometer", {"1": "in", "wiper": "gnd"}, {"resistance": 10e3})
    solution = solve(SUPPLY, part, variations={("RV1", "position"): [0.2, 1.0]})
    assert np.asarray(solution.pin_current("RV1", "1")) == pytest.approx([1 / 2e3, 1 / 10e3], rel=1e-6)
