from __future__ import annotations

import math

import pytest

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities import resolution_uncertainty, standard_from_limits


def test_a_display_step_leaves_its_twelfth_root() -> None:
    # JCGM 100:2008, F.2.2.1: u = 0.29 of the step.
    assert resolution_uncertainty(1.0) == pytest.approx(0.29, abs=0.005)


@pytest.mark.parametrize("half_width", [-1.0, math.nan, math.inf])
def test_limits_that_cannot_be_are_refused(half_width: float) -> None:
    with pytest.raises(ImpossibleValue, match="limits of"):
        standard_from_limits(half_width)


def test_an_unknown_shape_gets_the_nearest_name() -> None:
    with pytest.raises(UnknownName, match="did you mean 'rectangular'"):
        standard_from_limits(1.0, "rectangle")
