from __future__ import annotations

import pytest

from lidoff.errors import ImpossibleValue
from lidoff.quantities import Extremes, extremes


def test_extremes_stand_at_the_corners() -> None:
    assert extremes(lambda a, b: a / b, [10.0, 2.0], [1.0, 0.5]) == Extremes(low=3.6, high=11.0 / 1.5)


def test_extremes_of_too_many_inputs_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="17 values with 17 half-widths"):
        extremes(lambda *a: sum(a), [1.0] * 17, [0.1] * 17)
