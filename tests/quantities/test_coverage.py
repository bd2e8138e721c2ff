from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities import (
    Quantity,
    combined_uncertainty,
    coverage_factor,
    effective_degrees_of_freedom,
    probability_at_least,
    probability_between,
)


def test_independent_uncertainties_add_by_squares() -> None:
    assert combined_uncertainty([3.0, 4.0, 12.0]) == pytest.approx(13.0, rel=1e-15)
    assert combined_uncertainty([]) == 0.0


def test_equal_shares_add_their_degrees_of_freedom() -> None:
    assert effective_degrees_of_freedom([1e-90, 1e-90], [4.0, 4.0]) == pytest.approx(8.0, rel=1e-12)


def test_known_uncertainties_leave_no_doubt() -> None:
    assert effective_degrees_of_freedom([1.0, 2.0], [math.inf, math.inf]) == math.inf
    assert effective_degrees_of_freedom([0.0], [4.0]) == math.inf


@pytest.mark.parametrize(
    ("components", "dofs", "words"),
    [
        ([1.0], [], "1 uncertainties with 0"),
        ([-1.0], [4.0], "an uncertainty of -1.0"),
        ([1.0], [0.0], "with 0.0 degrees of freedom"),
    ],
)
def test_degrees_of_freedom_that_cannot_be_are_refused(
    components: list[float], dofs: list[float], words: str
) -> None:
    with pytest.raises(ImpossibleValue, match=words):
        effective_degrees_of_freedom(components, dofs)


@given(
    st.lists(
        st.tuples(st.floats(min_value=1e-6, max_value=1e6), st.floats(min_value=1.0, max_value=1e4)),
        min_size=1,
        max_size=6,
    )
)
def test_effective_degrees_of_freedom_lie_between_the_least_and_the_sum(
    shares: list[tuple[float, float]],
) -> None:
    components, dofs = zip(*shares, strict=True)
    effective = effective_degrees_of_freedom(components, dofs)
    assert min(dofs) * (1 - 1e-9) <= effective <= sum(dofs) * (1 + 1e-9)


@pytest.mark.parametrize("probability", [0.0, 1.0, -0.1, 1.5, math.nan])
def test_a_probability_outside_zero_to_one_is_refused(probability: float) -> None:
    with pytest.raises(ImpossibleValue, match="a coverage probability of"):
        coverage_factor(probability)


def test_a_rectangular_distribution_has_no_degrees_of_freedom() -> None:
    with pytest.raises(ImpossibleValue, match="for a rectangular distribution"):
        coverage_factor(0.95, 4.0, shape="rectangular")


def test_a_coverage_factor_needs_a_known_shape() -> None:
    with pytest.raises(UnknownName, match="no coverage factor for 'arcsine'"):
        coverage_factor(0.95, shape="arcsine")


def test_half_of_a_symmetric_quantity_lies_above_its_value() -> None:
    assert probability_at_least(Quantity(5.0, "V", 0.1), 5.0) == 0.5
    assert probability_at_least(Quantity(5.0, "V", 0.1, 4.0), 5.0) == 0.5


def test_a_quantity_without_uncertainty_is_on_one_side() -> None:
    assert [probability_at_least(Quantity(5.0, "V"), limit) for limit in (4.9, 5.0, 5.1)] == [1.0, 1.0, 0.0]
    assert [probability_between(Quantity(5.0, "V"), low, 6.0) for low in (5.0, 5.1)] == [1.0, 0.0]


@given(
    distance=st.floats(min_value=-8.0, max_value=8.0),
    dof=st.sampled_from([2.0, 4.5, 30.0, math.inf]),
)
def test_the_probability_agrees_with_the_tables_of_the_distribution(distance: float, dof: float) -> None:
    table = stats.norm if math.isinf(dof) else stats.t(dof)
    quantity = Quantity(1.0 + 0.25 * distance, "V", 0.25, dof)
    expected = table.sf(-(quantity.value - 1.0) / 0.25)
    assert probability_at_least(quantity, 1.0) == pytest.approx(expected, rel=1e-9, abs=0.0)


def test_the_far_tail_keeps_its_digits() -> None:
    # Normal, between 10 and 11 standard deviations: difference of the upper tails, from scipy's survival function.
    expected = stats.norm.sf(10.0) - stats.norm.sf(11.0)
    assert probability_between(Quantity(0.0, "V", 1.0), 10.0, 11.0) == pytest.approx(
        expected, rel=1e-9, abs=0.0
    )
    assert probability_between(Quantity(0.0, "V", 1.0), -11.0, -10.0) == pytest.approx(
        expected, rel=1e-9, abs=0.0
    )


def test_limits_are_numbers_in_order() -> None:
    with pytest.raises(ImpossibleValue, match="the lower one first"):
        probability_between(Quantity(5.0, "V", 0.1), 6.0, 4.0)
    with pytest.raises(ImpossibleValue, match="a limit of nan V"):
        probability_at_least(Quantity(5.0, "V", 0.1), math.nan)
