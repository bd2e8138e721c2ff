from __future__ import annotations

import math

import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import umath

from lidoff.errors import ImpossibleValue
from lidoff.quantities import (
    Quantity,
    propagate,
    propagate_jointly,
    second_order_uncertainty,
)

VALUES = st.floats(min_value=0.1, max_value=100.0)
SPREADS = st.floats(min_value=1e-4, max_value=0.02)
COEFFICIENTS = st.floats(min_value=-0.99, max_value=0.99)


def test_a_power_comes_out_with_its_sum() -> None:
    power = propagate(lambda v, i: v * i, [Quantity(5.02, "V", 0.02), Quantity(1.58, "A", 0.01)], unit="W")
    assert power.value == pytest.approx(7.9316, abs=1e-12)
    assert power.uncertainty == pytest.approx(math.hypot(1.58 * 0.02, 5.02 * 0.01), rel=1e-12)


def test_a_quantity_less_itself_is_sure() -> None:
    same = [[1.0, 1.0], [1.0, 1.0]]
    result = propagate(
        lambda a, b: a - b, [Quantity(5.0, "V", 0.1), Quantity(5.0, "V", 0.1)], unit="V", correlations=same
    )
    assert result.uncertainty == pytest.approx(0.0, abs=1e-12)


@given(v=VALUES, i=VALUES, relative_v=SPREADS, relative_i=SPREADS, r=COEFFICIENTS)
def test_propagation_agrees_with_an_independent_library(
    v: float, i: float, relative_v: float, relative_i: float, r: float
) -> None:
    first, second = uncertainties.correlated_values_norm(
        [(v, v * relative_v), (i, i * relative_i)], [[1.0, r], [r, 1.0]]
    )
    expected = first * umath.exp(-second / 50.0) + first / second
    result = propagate(
        lambda a, b: a * math.exp(-b / 50.0) + a / b,
        [Quantity(v, "V", v * relative_v), Quantity(i, "A", i * relative_i)],
        unit="V",
        correlations=[[1.0, r], [r, 1.0]],
    )
    assert result.value == pytest.approx(expected.nominal_value, rel=1e-12)
    assert result.uncertainty == pytest.approx(expected.std_dev, rel=1e-6, abs=1e-9 * v)


def test_a_result_that_is_not_finite_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"not finite at 5, 0 \(float division by zero\)"):
        propagate(lambda v, i: v / i, [Quantity(5.0, "V"), Quantity(0.0, "A", 0.1)], unit="Ω")


def test_a_domain_fault_of_the_function_is_refused_in_words() -> None:
    with pytest.raises(ImpossibleValue, match="not finite at -1"):
        propagate(math.sqrt, [Quantity(-1.0, "1", 0.1)], unit="1")


@pytest.mark.parametrize(
    ("correlations", "words"),
    [
        ([[1.0]], "not 2 × 2"),
        ([[1.0, 2.0], [2.0, 1.0]], "beyond ±1"),
        ([[0.5, 0.0], [0.0, 1.0]], "a diagonal other than 1"),
        ([[1.0, 0.5], [-0.5, 1.0]], "not symmetric"),
        ([[1.0, math.nan], [math.nan, 1.0]], "beyond ±1"),
    ],
)
def test_correlations_that_cannot_be_are_refused(correlations: list[list[float]], words: str) -> None:
    with pytest.raises(ImpossibleValue, match=words):
        propagate(
            lambda a, b: a + b,
            [Quantity(1.0, "V", 0.1), Quantity(1.0, "V", 0.1)],
            unit="V",
            correlations=correlations,
        )


def test_three_correlations_that_cannot_hold_together_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="cannot hold together"):
        propagate(
            lambda a, b, c: a + b + c,
            [Quantity(1.0, "V", 0.1)] * 3,
            unit="V",
            correlations=[[1.0, 0.9, 0.9], [0.9, 1.0, -0.9], [0.9, -0.9, 1.0]],
        )


def test_correlated_inputs_keep_the_smallest_degrees_of_freedom_that_matter() -> None:
    inputs = [Quantity(1.0, "V", 0.1, 4.0), Quantity(1.0, "V", 0.1, 9.0), Quantity(1.0, "V", 0.0, 1.0)]
    mixed = [[1.0, 0.5, 0.0], [0.5, 1.0, 0.0], [0.0, 0.0, 1.0]]
    assert propagate(lambda a, b, c: a + b + c, inputs, unit="V", correlations=mixed).dof == 4.0
    assert propagate(lambda a, b, c: a + b + c, inputs, unit="V").dof == pytest.approx(4.0 / (1 / 4 + 1 / 9))


def test_opposite_results_are_fully_correlated() -> None:
    joint = propagate_jointly(
        [lambda a: a, lambda a: -2.0 * a, lambda a: 7.0 + 0.0 * a], [Quantity(3.0, "V", 0.1)], units=["V"] * 3
    )
    assert joint.correlations[0][1] == pytest.approx(-1.0, abs=1e-12)
    assert joint.correlations[0][2] == pytest.approx(0.0, abs=1e-9)
    assert [row[place] for place, row in enumerate(joint.correlations)] == [1.0, 1.0, 1.0]


def test_as_many_units_as_functions() -> None:
    with pytest.raises(ImpossibleValue, match="1 functions with 0 units"):
        propagate_jointly([lambda a: a], [Quantity(1.0, "V")], units=[])


def test_second_order_terms_vanish_for_a_sum() -> None:
    inputs = [Quantity(1.0, "V", 0.3), Quantity(2.0, "V", 0.4)]
    assert second_order_uncertainty(lambda a, b: a + b, inputs) == pytest.approx(0.5, rel=1e-9)


def test_second_order_of_a_product_is_exact() -> None:
    # Variance of a product of independent quantities: a²u(b)² + b²u(a)² + u(a)²u(b)².
    inputs = [Quantity(1.0, "V", 0.3), Quantity(2.0, "A", 0.4)]
    expected = math.sqrt(0.4**2 + 4.0 * 0.3**2 + 0.12**2)
    assert second_order_uncertainty(lambda a, b: a * b, inputs) == pytest.approx(expected, rel=1e-9)


def test_second_order_of_a_bend_that_bends_takes_the_third_derivative() -> None:
    # For a·b² the formula is exact but for the term 3 u(a)² u(b)⁴, by the moments of the normal distribution.
    a, b, u_a, u_b = 3.0, 2.0, 0.3, 0.4
    exact = 4 * (a * b * u_b) ** 2 + 2 * a**2 * u_b**4 + u_a**2 * b**4 + 6 * (b * u_a * u_b) ** 2
    result = second_order_uncertainty(lambda a, b: a * b**2, [Quantity(a, "V", u_a), Quantity(b, "A", u_b)])
    assert result == pytest.approx(math.sqrt(exact), rel=1e-8)


def test_second_order_of_a_cube_takes_the_third_derivative() -> None:
    # 9 u² + ½·6² u⁴ + 3·6 u⁴ at x = 1.
    result = second_order_uncertainty(lambda x: x**3, [Quantity(1.0, "1", 0.3)])
    assert result == pytest.approx(math.sqrt(9 * 0.3**2 + 36 * 0.3**4), rel=1e-8)
