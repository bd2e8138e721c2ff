"""Rounded corners: their slopes, their exact ends, and what keeps Newton's steps from leaping over them."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.circuit.kind import Array
from lidoff.circuit.smooth import (
    band_limited,
    clipped,
    logistic,
    positive_part,
    softened,
    step,
    waking_limited,
)

WIDTH = np.array([0.05])
Rounded = Callable[[Array], tuple[Array, Array]]

ROUNDED: dict[str, Rounded] = {
    "step": lambda x: step(x, WIDTH),
    "softened": lambda x: softened(x, WIDTH),
    "clipped": lambda x: clipped(x, np.array([-1.0]), np.array([2.0]), WIDTH),
    "positive_part": lambda x: positive_part(x, WIDTH),
}
places = st.floats(-50.0, 50.0)


@pytest.mark.parametrize("name", sorted(ROUNDED))
@settings(max_examples=60, deadline=None)
@given(x=places)
def test_slope_agrees_with_differences(name: str, x: float) -> None:
    rounded, at, by = ROUNDED[name], np.array([x]), 1e-6
    _, slope = rounded(at)
    difference = (rounded(at + by)[0] - rounded(at - by)[0]) / (2.0 * by)
    assert slope[0] == pytest.approx(difference[0], rel=1e-5, abs=1e-7)


@pytest.mark.parametrize(
    ("name", "x", "expected"),
    [
        ("step", 10.0, 1.0),
        ("step", -10.0, 0.0),
        ("step", 0.0, 0.5),
        ("softened", 10.0, 10.0),
        ("softened", -10.0, 0.0),
        ("clipped", 0.5, 0.5),
        ("clipped", 9.0, 2.0),
        ("clipped", -9.0, -1.0),
        ("positive_part", 0.0, 0.0),
    ],
)
def test_far_from_its_corner_the_rounded_function_is_the_sharp_one(
    name: str, x: float, expected: float
) -> None:
    assert ROUNDED[name](np.array([x]))[0][0] == pytest.approx(expected, abs=1e-8)


@given(x=places)
def test_positive_parts_of_both_signs_add_up(x: float) -> None:
    one, other = positive_part(np.array([x]), WIDTH)[0], positive_part(np.array([-x]), WIDTH)[0]
    assert one[0] - other[0] == pytest.approx(x, abs=1e-12)


def test_logistic_saturates_without_overflow() -> None:
    assert logistic(np.array([-1e6, 1e6])).tolist() == [0.0, 1.0]


@settings(max_examples=200, deadline=None)
@given(old=places, new=places)
def test_limited_step_lies_between_old_and_new(old: float, new: float) -> None:
    held = band_limited(np.array([new]), np.array([old]), np.array([-1.0]), np.array([1.0]), np.array([0.3]))[
        0
    ]
    assert min(old, new) <= held <= max(old, new)


@pytest.mark.parametrize(
    ("old", "new", "held"),
    [
        (5.0, -5.0, 0.7),
        (-5.0, 5.0, -0.7),
        (0.5, -5.0, 0.2),
        (5.0, 9.0, 9.0),
        (-0.95, -9.0, -1.25),
        (-3.0, -9.0, -9.0),
    ],
    ids=["into the band from above", "from below", "inside", "away above", "out of the band", "away below"],
)
def test_band_slows_only_the_steps_through_it(old: float, new: float, held: float) -> None:
    args = (np.array([new]), np.array([old]), np.array([-1.0]), np.array([1.0]), np.array([0.3]))
    assert band_limited(*args)[0] == pytest.approx(held)


def test_waking_supply_may_rise_through_the_band_at_once() -> None:
    args = (np.array([5.0]), np.array([0.0]), np.array([2.5]), np.array([3.5]), np.array([0.1]))
    assert waking_limited(*args)[0] == 5.0


def test_falling_supply_is_slowed_in_the_band() -> None:
    args = (np.array([0.0]), np.array([5.0]), np.array([2.5]), np.array([3.5]), np.array([0.1]))
    assert waking_limited(*args)[0] == pytest.approx(3.4)
