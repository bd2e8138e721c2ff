"""Scatter that a few values far off leave alone."""

import numpy as np
import pytest

from lidoff.board.scatter import scatter_of


def test_values_far_off_count_for_nothing() -> None:
    values = np.random.default_rng(1).normal(0.0, 2.0, 20_000)
    assert scatter_of(values) == pytest.approx(2.0, rel=0.02)
    values[:400] = 1e6
    assert scatter_of(values) == pytest.approx(2.0, rel=0.05)
