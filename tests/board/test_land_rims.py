"""The rim of lands told from the ring round them, on made profiles."""

import numpy as np
import pytest
from scipy.special import ndtr

from lidoff.board.land_rims import ring_profile

STEPS = np.arange(-5.0, 5.125, 0.25)
METAL, MASK = np.array([192.0, 191, 186]), np.array([15.0, 68, 38])


def made(edge: float, width: float, ring: np.ndarray, blur: float = 1.0) -> np.ndarray:
    first, second = (ndtr((STEPS - at) / blur)[:, None] for at in (edge, edge + width))
    return METAL * (1.0 - first) + ring * (first - second) + MASK * second


@pytest.mark.parametrize(("edge", "width"), [(-0.5, 1.2), (-0.9, 2.0), (-0.3, 0.8)])
def test_the_metal_ends_where_it_truly_does(edge: float, width: float) -> None:
    found = ring_profile(STEPS, made(edge, width, np.array([100.0, 105, 60])), 20.0)
    assert found is not None
    assert found.edge == pytest.approx(edge, abs=0.25)


def test_a_coarse_photo_still_tells_most_of_a_usual_ring() -> None:
    far = np.arange(-6.0, 6.125, 0.25)
    first, second = (ndtr((far - at) / 2.2)[:, None] for at in (-0.6, 0.6))
    ring = np.array([100.0, 105, 60])
    found = ring_profile(far, METAL * (1.0 - first) + ring * (first - second) + MASK * second, 20.0)
    assert found is not None
    assert found.edge == pytest.approx(-0.6, abs=0.3)


def test_without_a_ring_the_rim_stays() -> None:
    found = ring_profile(STEPS, made(0.0, 0.0, MASK), 20.0)
    assert found is not None
    assert found.edge == pytest.approx(0.0, abs=0.1)


def test_metal_that_hardly_differs_from_mask_tells_nothing() -> None:
    dull = made(-0.5, 1.2, np.array([100.0, 105, 60]))
    assert ring_profile(STEPS, MASK + 0.05 * (dull - MASK), 20.0) is None


def test_a_profile_of_another_shape_tells_nothing() -> None:
    wavy = made(-0.5, 1.2, np.array([100.0, 105, 60])) + 60.0 * np.sin(STEPS * 2.0)[:, None]
    assert ring_profile(STEPS, wavy, 20.0) is None
