"""The step by which a channel moves."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.evidence import read_log, summary_of
from lidoff.evidence.logs.steps import moved_step


def test_noughts_behind_every_value_are_not_resolved() -> None:
    assert 1e-3 == pytest.approx(moved_step(np.arange(3690, 3700) / 1000.0, 1e-6))


def test_one_value_that_uses_the_last_digit_shows_it_resolved() -> None:
    values = np.append(np.arange(3690, 3700) / 1000.0, 3.700001)
    assert 1e-6 == moved_step(values, 1e-6)


def test_few_values_may_end_on_noughts_by_chance() -> None:
    assert 0.1 == moved_step(np.array([1.0, 2.0, 3.0, 1.0, np.nan]), 0.1)


def test_values_that_an_offset_moved_keep_their_digit() -> None:
    kelvin = (np.arange(60.0, 80.0) + 459.67) / 1.8
    assert 1.0 / 1.8 == moved_step(kelvin, 1.0 / 1.8)


def test_a_mean_without_a_sum_says_that_only_digits_count() -> None:
    rows = "".join(f"{second},{3.7 - second / 1000:.6f}\n" for second in range(10))
    summary = summary_of(read_log(f"t [s],U [V]\n{rows}".encode()))
    assert ("No accuracy is known for U; only its digits count.",) == summary.notes
    (one,) = summary.channels
    assert one.mean is not None
    # Ten rows of 1 mV each: more than 1 mV/√12 ÷ √10, and far from the 1 µV of the last digit sent.
    assert 1e-3 / 12.0**0.5 / 10.0**0.5 <= one.mean.uncertainty < 1e-3
