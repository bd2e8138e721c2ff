"""Laws that kinds share, each against its closed form."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from lidoff.circuit.laws import (
    BRANCH,
    INDUCTANCE,
    JUNCTION,
    exponential,
    junction_current,
    junction_scale,
    knee_limited,
    pulse,
    pulse_corners,
    thermal_voltage,
)
from lidoff.circuit.steering import STEADY_DRAW, STEERED, steady_draw, steered

N_VT = np.array([0.0257])
TRAIN = {"low": 0.0, "high": 5.0, "delay": 1.0, "rise": 0.1, "width": 0.4, "fall": 0.2, "period": 2.0}


def test_thermal_voltage_at_room_temperature() -> None:
    # k·T/q at 298.15 K from the exact constants of the SI (2019)
    assert thermal_voltage(np.array([25.0]))[0] == pytest.approx(0.025692579, abs=5e-10)


def test_exponential_goes_on_as_its_tangent() -> None:
    below, above = exponential(np.array([79.0, 1000.0]))
    assert below == pytest.approx(np.exp(79.0), rel=1e-12)
    assert above == pytest.approx(np.exp(80.0) * 921.0, rel=1e-12)


@settings(max_examples=100, deadline=None)
@given(volts=st.floats(-5.0, 5.0), ohms=st.floats(1e-3, 1e4), exponent=st.floats(-15.0, -6.0))
def test_junction_current_solves_its_own_equation(volts: float, ohms: float, exponent: float) -> None:
    i_s = 10.0**exponent

    def left(i: float) -> float:
        return float(i_s * np.expm1(min((volts - i * ohms) / 0.0257, 600.0)) - i)

    expected = brentq(left, -1.1 * i_s, max(volts, 0.0) / ohms + 1e-9, xtol=1e-18, rtol=1e-13)
    found, _ = junction_current(np.array([volts]), np.array([i_s]), N_VT, np.array([ohms]))
    assert found[0] == pytest.approx(expected, rel=1e-6, abs=1e-15)


@settings(max_examples=100, deadline=None)
@given(drop=st.floats(0.1, 4.0), slope=st.floats(1e-5, 0.2), current=st.floats(1e-6, 10.0))
def test_scaled_junction_drops_what_it_was_told(drop: float, slope: float, current: float) -> None:
    i_s, offset = junction_scale(np.array([drop]), np.array([current]), np.array([slope]))
    if drop > slope:
        assert i_s[0] * np.expm1((drop - offset[0]) / slope) == pytest.approx(current, rel=1e-9)


def test_real_junction_has_no_offset() -> None:
    assert junction_scale(np.array([0.7]), np.array([0.01]), np.array([0.045]))[1][0] == pytest.approx(
        0.0, abs=1e-15
    )


@settings(max_examples=150, deadline=None)
@given(old=st.floats(-100.0, 0.8), new=st.floats(-1e3, 1e3))
def test_knee_limited_step_never_overflows_nor_turns_back(old: float, new: float) -> None:
    held = knee_limited(np.array([new]), np.array([old]), np.array([1e-12]), N_VT, np.array([1e-6]))[0]
    assert min(old, new) - 1e-9 <= held <= max(old, new) + 1e-9
    # above the knee, which is below 0.8 V here, the voltage rises with the logarithm of the step, by a slope voltage at least
    slope = float(N_VT[0])
    rise = slope * np.log1p(max(new - old, 0.0) / slope)
    assert held <= max(old, 0.8) + max(rise, slope) + 1e-3


def test_junction_without_resistance_still_has_a_slope() -> None:
    parameters = {
        "saturation_current": np.full(1, 1e-12),
        "slope_voltage": N_VT,
        "resistance": np.zeros(1),
        "offset": np.zeros(1),
    }
    response = JUNCTION.respond((np.array([[0.6]]),), parameters)
    assert response.values[0][0, 0] == pytest.approx(1e-12 * np.expm1(0.6 / 0.0257), rel=1e-3)
    assert response.slopes[0][0, 0] == pytest.approx(response.values[0][0, 0] / 0.0257, rel=1e-3)


def test_branch_holds_no_flux_and_inductance_does() -> None:
    assert BRANCH.store is None
    assert INDUCTANCE.store is not None
    kept = INDUCTANCE.store(
        (np.zeros((1, 1)), np.full((1, 1), 2.0)), {"inductance": np.full(1, 3.0), "connected": np.ones(1)}
    )
    assert kept.values[0][0, 0] == pytest.approx(-6.0)


@pytest.mark.parametrize(
    ("time", "level"), [(0.0, 0.0), (1.05, 2.5), (1.3, 5.0), (1.6, 2.5), (1.8, 0.0), (3.05, 2.5), (5.3, 5.0)]
)
def test_pulse_train_at_its_corners(time: float, level: float) -> None:
    parameters = {**{name: np.array([value]) for name, value in TRAIN.items()}, "time": np.array([time])}
    assert pulse(parameters)[0] == pytest.approx(level, abs=1e-9)


def test_pulse_corners_lie_where_the_train_bends() -> None:
    assert sorted(pulse_corners(TRAIN, 0.0, 3.01)) == pytest.approx([1.0, 1.1, 1.5, 1.7, 3.0])


@pytest.mark.parametrize(("volts", "amperes"), [(0.0, 0.0), (1.0, 0.01), (5.0, 0.01), (-5.0, -0.01)])
def test_steady_draw_is_constant_once_there_is_voltage(volts: float, amperes: float) -> None:
    response = STEADY_DRAW.respond((np.array([[volts]]),), steady_draw(np.array([0.01])))
    assert response.values[0][0, 0] == pytest.approx(amperes, abs=1e-9)


@pytest.mark.parametrize(("control", "conductance"), [(0.0, 1e-10), (0.6, 1e-10), (1.4, 2.0), (-1.4, 1e-10)])
def test_steered_conductance_has_two_ends(control: float, conductance: float) -> None:
    parameters = steered(*(np.array([v]) for v in (2.0, 1e-10, 1.0, 0.01)))
    response = STEERED.respond((np.array([[control]]), np.array([[1.0]])), parameters)
    assert response.values[0][0, 0] == pytest.approx(conductance, rel=1e-6)
