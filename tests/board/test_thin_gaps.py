"""Dips between conductors that a coarse photo does not resolve."""

import cv2
import numpy as np

from lidoff.board.thin_gaps import thin_gaps


def coarse(gap: int, land: float = 3.0) -> np.ndarray:
    """A land and a pour with a gap between them of some pixels, blurred as by a photo of 2.5 pixels a pixel."""
    share = np.full((80, 120), 1.0, np.float32)
    share[:, :50] = land
    share[:, 50 : 50 + gap] = 0.0
    return np.asarray(cv2.GaussianBlur(share, (0, 0), 1.8))


def test_a_gap_that_never_reaches_the_laminate_is_found() -> None:
    share = coarse(5)
    assert share.min() > 0.25
    assert thin_gaps(share, detail=2.5)[10:70].any(axis=1).all()


def test_copper_without_a_gap_has_none() -> None:
    assert not thin_gaps(coarse(0), detail=2.5).any()


def test_a_wide_gap_is_left_to_its_own_level() -> None:
    assert not thin_gaps(coarse(30), detail=1.0).any()


def test_grain_makes_no_gap() -> None:
    rng = np.random.default_rng(4)
    grain = 1.0 + rng.normal(0.0, 0.05, (80, 120))
    assert not thin_gaps(grain.astype(np.float32), detail=2.5).any()
