from __future__ import annotations

import math

import numpy as np
import pytest

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities import Quantity, coverage_factor, monte_carlo

SEED = 19950101


def test_draws_of_a_linear_sum_agree_with_propagation() -> None:
    drawn = monte_carlo(
        lambda a, b: a + 2.0 * b,
        [Quantity(1.0, "V", 0.3), Quantity(2.0, "V", 0.2)],
        np.random.default_rng(SEED),
        unit="V",
    )
    assert drawn.quantity.value == pytest.approx(5.0, abs=5 * 0.5 / math.sqrt(1e5))
    assert drawn.quantity.uncertainty == pytest.approx(0.5, rel=0.01)
    assert drawn.high - drawn.low == pytest.approx(2 * 1.96 * 0.5, rel=0.015)


def test_correlated_draws_of_a_difference_cancel() -> None:
    same = [[1.0, 1.0], [1.0, 1.0]]
    drawn = monte_carlo(
        lambda a, b: a - b,
        [Quantity(5.0, "V", 0.1), Quantity(5.0, "V", 0.1)],
        np.random.default_rng(SEED),
        unit="V",
        correlations=same,
    )
    assert drawn.quantity.uncertainty == pytest.approx(0.0, abs=1e-9)


def test_few_degrees_of_freedom_widen_the_interval() -> None:
    drawn = monte_carlo(
        lambda a: a, [Quantity(0.0, "V", 1.0, 4.0)], np.random.default_rng(SEED), 400_000, unit="V"
    )
    assert drawn.high == pytest.approx(coverage_factor(0.95, 4.0), rel=0.02)


@pytest.mark.parametrize(
    ("shape", "half_width"), [("rectangular", 3**0.5), ("triangular", 6**0.5), ("arcsine", 2**0.5)]
)
def test_bounded_shapes_keep_limits_and_standard_deviation(shape: str, half_width: float) -> None:
    drawn = monte_carlo(
        lambda a: a,
        [Quantity(0.0, "V", 1.0)],
        np.random.default_rng(SEED),
        unit="V",
        shapes=[shape],
        probability=0.9999,
    )
    assert drawn.quantity.uncertainty == pytest.approx(1.0, rel=0.01)
    assert half_width >= drawn.high > 0.97 * half_width
    assert -half_width <= drawn.low < -0.97 * half_width


def test_the_shortest_interval_is_no_longer_than_the_even_one() -> None:
    drawn = monte_carlo(lambda a: a**2, [Quantity(1.0, "V", 0.5)], np.random.default_rng(SEED), unit="V")
    assert drawn.shortest_high - drawn.shortest_low < drawn.high - drawn.low


def test_a_constant_has_an_interval_of_no_width() -> None:
    drawn = monte_carlo(
        lambda a: 3.0 + 0.0 * a, [Quantity(1.0, "V", 0.5)], np.random.default_rng(SEED), unit="V"
    )
    assert (drawn.low, drawn.high, drawn.quantity.uncertainty) == (3.0, 3.0, 0.0)


def test_the_same_seed_draws_the_same() -> None:
    results = {
        monte_carlo(lambda a: a, [Quantity(1.0, "V", 0.5)], np.random.default_rng(SEED), unit="V")
        for _ in range(2)
    }
    assert len(results) == 1


def test_draws_without_a_finite_result_are_counted() -> None:
    with pytest.raises(ImpossibleValue, match=r"\d+ of 100000 draws have no finite result"):
        monte_carlo(np.sqrt, [Quantity(0.0, "V", 0.5)], np.random.default_rng(SEED), unit="V")


def test_a_function_of_another_shape_is_a_fault_of_the_caller() -> None:
    with pytest.raises(TypeError, match=r"returned shape \(2, 100000\)"):
        monte_carlo(
            lambda a: np.stack([a, a]), [Quantity(0.0, "V", 0.5)], np.random.default_rng(SEED), unit="V"
        )


def test_too_few_draws_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="10 draws are too few"):
        monte_carlo(lambda a: a, [Quantity(0.0, "V", 0.5)], np.random.default_rng(SEED), 10, unit="V")


def test_a_probability_of_one_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"coverage probability of 1\.0"):
        monte_carlo(
            lambda a: a, [Quantity(0.0, "V", 0.5)], np.random.default_rng(SEED), unit="V", probability=1.0
        )


def test_two_degrees_of_freedom_have_no_standard_deviation() -> None:
    with pytest.raises(ImpossibleValue, match="2 degrees of freedom has draws without a standard deviation"):
        monte_carlo(lambda a: a, [Quantity(0.0, "V", 0.5, 2.0)], np.random.default_rng(SEED), unit="V")


def test_an_unknown_shape_is_refused() -> None:
    with pytest.raises(UnknownName, match="no distribution 'gaussian'"):
        monte_carlo(
            lambda a: a, [Quantity(0.0, "V", 0.5)], np.random.default_rng(SEED), unit="V", shapes=["gaussian"]
        )


def test_correlated_inputs_are_normal() -> None:
    with pytest.raises(ImpossibleValue, match="shape that is not normal"):
        monte_carlo(
            lambda a: a,
            [Quantity(0.0, "V", 0.5)],
            np.random.default_rng(SEED),
            unit="V",
            shapes=["rectangular"],
            correlations=[[1.0]],
        )


def test_as_many_shapes_as_quantities() -> None:
    with pytest.raises(ImpossibleValue, match="0 shapes for 1 quantities"):
        monte_carlo(lambda a: a, [Quantity(0.0, "V", 0.5)], np.random.default_rng(SEED), unit="V", shapes=[])
