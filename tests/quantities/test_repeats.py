from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue
from lidoff.quantities import correlation_of_repeats, mean_of_repeats

READINGS = st.lists(st.floats(min_value=-1e3, max_value=1e3), min_size=2, max_size=20)


def test_one_reading_shows_no_scatter() -> None:
    with pytest.raises(ImpossibleValue, match="1 reading cannot show a scatter; read at least twice"):
        mean_of_repeats([5.0], unit="V")


def test_a_reading_that_is_not_finite_is_named() -> None:
    with pytest.raises(ImpossibleValue, match="reading 2 is nan V"):
        mean_of_repeats([5.0, math.nan], unit="V")


def test_readings_taken_together_are_as_many() -> None:
    with pytest.raises(ImpossibleValue, match="2 and 3 readings"):
        correlation_of_repeats([1.0, 2.0], [1.0, 2.0, 3.0])


def test_readings_that_do_not_scatter_do_not_correlate() -> None:
    assert correlation_of_repeats([1.0, 1.0], [1.0, 2.0]) == 0.0


@given(values=READINGS)
def test_the_mean_lies_among_its_readings(values: list[float]) -> None:
    mean = mean_of_repeats(values, unit="V")
    assert min(values) - 1e-9 <= mean.value <= max(values) + 1e-9
    assert mean.dof == len(values) - 1


@given(values=READINGS)
def test_the_correlation_stays_between_minus_one_and_one(values: list[float]) -> None:
    backwards = [-value for value in values]
    assert -1.0 <= correlation_of_repeats(values, backwards) <= 1.0
    assert correlation_of_repeats(values, values) == pytest.approx(-correlation_of_repeats(values, backwards))
