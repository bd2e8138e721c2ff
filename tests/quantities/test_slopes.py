from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.quantities import Quantity, sensitivities


@given(value=st.floats(min_value=0.3, max_value=5.0), relative=st.floats(min_value=1e-9, max_value=0.3))
def test_slopes_of_a_steep_law_are_exact_to_seven_digits(value: float, relative: float) -> None:
    # An exponential that grows e-fold every 26 mV, as a junction does.
    (slope,) = sensitivities(lambda v: math.exp(v / 0.026), [Quantity(value, "V", relative * 0.026)])
    assert slope == pytest.approx(math.exp(value / 0.026) / 0.026, rel=1e-7)


def test_a_small_input_at_zero_has_its_slope() -> None:
    (slope,) = sensitivities(lambda x: 1.0 + 3.0 * x, [Quantity(0.0, "A", 1e-9)])
    assert slope == pytest.approx(3.0, rel=1e-6)


def test_a_step_that_leaves_the_domain_is_halved() -> None:
    (slope,) = sensitivities(math.log, [Quantity(1.0, "1", 3.0)])
    assert slope == pytest.approx(1.0, rel=1e-8)


def test_a_quantity_with_no_size_to_step_by_has_no_slope() -> None:
    assert sensitivities(lambda x: 3.0 * x, [Quantity(0.0, "A")]) == (0.0,)


def test_a_noisy_function_keeps_a_usable_slope() -> None:
    # Steps of 1e-9, as an iterative solution leaves them, on a slope of 2.
    (slope,) = sensitivities(lambda x: round(2.0 * x, 9), [Quantity(1.0, "V", 0.01)])
    assert slope == pytest.approx(2.0, rel=1e-5)
