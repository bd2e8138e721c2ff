"""Discs of copper about drilled holes, against pictures whose discs are known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from lidoff.board import FRONT, Stroke, with_strokes
from lidoff.board.classes import CLASSES, COVERED, CUT, LAMINATE, LEGEND
from lidoff.board.layout import Hole
from lidoff.board.via_rings import RoundCopper, round_copper

SCALE = 20.0
FINE = 4
SIZE = (140, 220)  # rows, columns
BLUR = 1.9  # as of a photo with 2.5 pixels of this raster to each of its own
MIDDLES = ((3.0, 3.5), (6.5, 3.45), (9.0, 3.52))
RADIUS = 9.1


def places() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    rows, columns = np.indices((SIZE[0] * FINE, SIZE[1] * FINE)) / FINE
    return columns + 0.5 / FINE, rows + 0.5 / FINE


def picture(
    radii: tuple[float, ...] = (RADIUS,) * 3, *, drill: float = -0.4, level: float = 1.0
) -> NDArray[np.float32]:
    """Discs with a track to the first, with drilled holes, blurred by a bell and with a little noise."""
    import cv2

    x, y = places()
    fine = np.zeros(x.shape, np.float32)
    fine[(x < MIDDLES[0][0] * SCALE) & (np.abs(y - MIDDLES[0][1] * SCALE) < 2.5)] = level
    for (across, down), radius in zip(MIDDLES, radii, strict=True):
        far = np.hypot(x - across * SCALE, y - down * SCALE)
        fine[far < radius] = level
        fine[far < 4.0] = drill
    sharp = fine.reshape(SIZE[0], FINE, SIZE[1], FINE).mean(axis=(1, 3), dtype=np.float32)
    noise = np.random.default_rng(5).normal(0.0, 0.03, SIZE)
    return np.asarray(cv2.GaussianBlur(sharp, (0, 0), BLUR) + noise, np.float32)


def holes() -> list[Hole]:
    return [Hole(at=(x + 0.01, y - 0.01), diameter=0.4) for x, y in MIDDLES]


def found(
    share: NDArray[np.float32], hidden: NDArray[np.bool_] | None = None, marks: list[Hole] | None = None
) -> RoundCopper | None:
    import cv2

    masked = np.ones(SIZE, bool) if hidden is None else ~hidden
    clear = cv2.erode(masked.astype(np.uint8), np.ones((7, 7), np.uint8)) > 0
    return round_copper(share, clear, masked, holes() if marks is None else marks, SCALE, blur=BLUR)


def share_about(plane: NDArray[np.float32], middle: tuple[float, float]) -> float:
    """Area above one half about a middle, without what is more than half a disc's radius inside [square pixels]."""
    rows, columns = np.indices(SIZE)
    far = np.hypot(columns + 0.5 - middle[0] * SCALE, rows + 0.5 - middle[1] * SCALE)
    return float(np.sum((plane > 0.5) & (far > RADIUS / 2.0) & (far < 14.0)))


def true_area() -> float:
    return float(np.pi * (RADIUS**2 - (RADIUS / 2.0) ** 2))


@pytest.mark.parametrize("level", [1.0, 0.8])
def test_a_disc_is_as_wide_as_it_was_before_the_blur(level: float) -> None:
    share = picture(level=level)
    told = found(share)
    assert told is not None
    for middle in MIDDLES[1:]:
        seen, laid = (share_about(one, middle) for one in (share, told.held(share)))
        assert laid == pytest.approx(true_area(), rel=0.05)
        assert seen < 0.95 * true_area()


def test_a_track_that_leaves_the_disc_stays() -> None:
    share = picture()
    told = found(share)
    assert told is not None
    row, end = round(MIDDLES[0][1] * SCALE), round(MIDDLES[0][0] * SCALE - RADIUS)
    track = (slice(row - 2, row + 2), slice(end - 12, end + 3))
    assert np.all(told.held(share)[track] >= np.minimum(share[track], 1.0))


def test_print_across_a_disc_hides_none_of_it() -> None:
    share, hidden = picture(), np.zeros(SIZE, bool)
    column = round(MIDDLES[2][0] * SCALE)
    hidden[:, column - 8 : column + 2] = True
    share[hidden] = 0.0
    told = found(share, hidden)
    assert told is not None
    assert share_about(told.held(share), MIDDLES[2]) == pytest.approx(true_area(), rel=0.05)


def test_a_round_spot_that_may_be_print_needs_a_disc_that_is_seen_whole() -> None:
    share, hidden = picture(), np.zeros(SIZE, bool)
    column = round(MIDDLES[2][0] * SCALE)
    hidden[:, column - 8 : column + 2] = True
    share[hidden] = 0.0
    told = found(share, hidden, [replace(hole, sure=0.5) for hole in holes()])
    assert told is not None
    assert share_about(told.least, MIDDLES[1]) == pytest.approx(true_area(), rel=0.05)
    assert share_about(told.least, MIDDLES[2]) == 0.0


def test_plain_laminate_beside_a_hidden_disc_is_not_filled() -> None:
    share, hidden = picture(), np.zeros(SIZE, bool)
    column, row = (round(one * SCALE) for one in MIDDLES[2])
    hidden[:, column - 8 : column + 2] = True
    share[hidden] = 0.0
    share[row - 12 : row - 3, column + 3 : column + 12] = 0.0  # a bite out of the disc that is plainly seen
    told = found(share, hidden)
    assert told is not None
    assert np.all(told.least[row - 8 : row - 4, column + 4 : column + 7] == 0.0)


def test_holes_without_copper_get_none() -> None:
    assert found(np.zeros(SIZE, np.float32)) is None
    bare = [Hole(at=(1.0, 6.0), diameter=0.4)]
    share = picture()
    told = found(share, marks=[*holes(), *bare])
    assert told is not None
    assert np.all(told.least[110:130, 10:30] == 0.0)


def test_holes_wider_than_those_of_vias_are_left_alone() -> None:
    assert found(picture(), marks=[Hole(at=at, diameter=1.5) for at in MIDDLES]) is None
    assert found(picture(), marks=[]) is None


def test_a_smaller_disc_keeps_its_own_size() -> None:
    share = picture((9.1, 9.1, 7.5))
    told = found(share)
    assert told is not None
    rows, columns = np.indices(SIZE)
    far = np.hypot(columns + 0.5 - MIDDLES[2][0] * SCALE, rows + 0.5 - MIDDLES[2][1] * SCALE)
    laid = np.sum((told.held(share) > 0.5) & (far > 5.0) & (far < 14.0))
    assert laid == pytest.approx(np.pi * (7.5**2 - 5.0**2), rel=0.08)


def test_strokes_win_over_discs_and_print_stays_print() -> None:
    told = found(picture())
    assert told is not None
    probability = np.zeros((*SIZE, len(CLASSES)), np.float32)
    probability[..., CLASSES.index(LAMINATE)] = 1.0
    column, row = (round(one * SCALE) for one in MIDDLES[1])
    probability[:, column + 6] = 0.0
    probability[:, column + 6, CLASSES.index(LEGEND)] = 1.0
    cut = Stroke(says=CUT, points=((MIDDLES[1][0] - 0.3, 1.0), (MIDDLES[1][0] - 0.3, 6.0)), width=0.1)
    copper = with_strokes(FRONT, SCALE, probability, [cut], discs=told)
    assert copper.mask[row, column + 6]
    assert copper.classes[row, column + 6] == CLASSES.index(LEGEND)
    assert copper.classes[row, column + 7] == CLASSES.index(COVERED)
    assert not copper.mask[row, column - 6]
