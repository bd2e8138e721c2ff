"""Information that a reading is expected to give, against closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.insight.worth import expected_bits, narrowing


def entropy(*shares: float) -> float:
    return -float(sum(share * np.log2(share) for share in shares))


def test_a_reading_that_parts_explanations_cleanly_is_worth_their_entropy() -> None:
    weights = np.array([0.7, 0.2, 0.1])
    means = np.array([[0.0], [50.0], [100.0]])
    found = expected_bits(weights, means, np.ones((3, 1)), np.zeros((3, 1)))
    assert found[0] == pytest.approx(entropy(0.7, 0.2, 0.1), abs=1e-6)


def test_a_reading_that_all_foresee_alike_is_worth_nothing() -> None:
    found = expected_bits(np.array([0.5, 0.5]), np.full((2, 1), 3.0), np.full((2, 1), 0.1), np.zeros((2, 1)))
    assert found[0] == pytest.approx(0.0, abs=1e-12)


def test_a_beep_is_worth_what_a_binary_channel_carries() -> None:
    # T. M. Cover, J. A. Thomas, Elements of Information Theory, 2nd ed., Wiley, 2006, eq. (7.5): 1 − H(p), by recollection.
    slips = 0.1
    signs = np.array([[slips], [1.0 - slips]])
    found = expected_bits(np.array([0.5, 0.5]), np.zeros((2, 1)), np.ones((2, 1)), signs)
    assert found[0] == pytest.approx(1.0 - entropy(slips, 1.0 - slips), abs=1e-9)


def test_two_normals_agree_with_the_integral() -> None:
    weights, means, spreads = np.array([0.3, 0.7]), np.array([[0.0], [1.5]]), np.array([[1.0], [0.6]])
    grid = np.linspace(-12.0, 14.0, 200_001)
    densities = np.exp(-0.5 * ((grid - means) / spreads) ** 2) / spreads / np.sqrt(2.0 * np.pi)
    mixture = weights @ densities
    terms = np.where(densities > 0.0, densities * np.log2(np.maximum(densities, 1e-300) / mixture), 0.0)
    expected = weights @ np.trapezoid(terms, grid, axis=1)
    found = expected_bits(weights, means, spreads, np.zeros((2, 1)))
    assert found[0] == pytest.approx(expected, abs=2e-3)


@given(
    share=st.floats(0.01, 0.99),
    apart=st.floats(0.0, 40.0),
    spread=st.floats(0.01, 5.0),
)
def test_information_lies_between_nothing_and_the_entropy(share: float, apart: float, spread: float) -> None:
    weights = np.array([share, 1.0 - share])
    found = expected_bits(weights, np.array([[0.0], [apart]]), np.full((2, 1), spread), np.zeros((2, 1)))
    assert -1e-9 <= found[0] <= entropy(share, 1.0 - share) + 1e-3


def test_a_reading_of_a_quantity_itself_narrows_it_to_the_meters_share() -> None:
    # A normal quantity of variance 4 read by a meter of variance 1 is left with 4·1/(4 + 1).
    left = narrowing(np.array([[4.0]]), np.array([[4.0]]), np.array([5.0]))
    assert left[0, 0] == pytest.approx((0.8 / 4.0) ** 0.5)
