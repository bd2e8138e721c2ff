"""Where profiles fall through one half, on straight lines and on profiles with more than one fall."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.board.rims import half_places

STEPS = np.arange(-4.0, 4.25, 0.25)


@given(place=st.floats(-3.5, 3.5), slope=st.floats(0.05, 2.0))
def test_a_straight_fall_is_met_where_it_is_one_half(place: float, slope: float) -> None:
    assert half_places((0.5 - slope * (STEPS - place))[None], STEPS) == pytest.approx(place, abs=1e-6)


def test_of_two_falls_the_nearer_one_counts() -> None:
    profile = np.where((STEPS < -1.9) | ((STEPS > -0.1) & (STEPS < 0.9)), 1.0, 0.0)
    assert half_places(profile[None], STEPS) == pytest.approx(0.875)


@pytest.mark.parametrize("profile", [np.zeros(len(STEPS)), np.ones(len(STEPS)), STEPS / 8.0 + 0.5])
def test_what_does_not_fall_is_met_nowhere(profile: np.ndarray) -> None:
    assert np.all(np.isinf(half_places(profile[None], STEPS)))
