"""Edges of copper on made pictures whose edges are known to a fraction of a pixel."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import ndtr

from lidoff.board.classes import BARE, CLASSES, COVERED, LAMINATE, LEGEND
from lidoff.board.true_edges import settled_edges

SHAPE = (240, 320)
SCALE = 20.0
BLUR = 1.2  # of the picture [pixels]
COPPER, MASK, METAL, OPEN = (
    np.array(c) for c in ((33.0, 107, 56), (15.0, 69, 38), (190.0, 190, 185), (100.0, 105, 60))
)

Field = NDArray[np.float64]


def outside_of_discs(radius: float) -> Field:
    """Distance from the rims of discs of copper, outwards [pixels]."""
    y, x = np.indices(SHAPE) + 0.0
    middles = [(cx, cy) for cx in (45, 125, 205, 285) for cy in (45, 125, 200)]
    nearest = np.minimum.reduce([np.hypot(x - cx, y - cy) for cx, cy in middles])
    return np.asarray(nearest - radius, np.float64)


def blurred_step(distance: Field, inner: Field, outer: Field, at: float = 0.0) -> Field:
    return outer + ndtr((at - distance) / BLUR)[..., None] * (inner - outer)


def classes_of(mask: NDArray[np.bool_], inner: str) -> NDArray[np.float32]:
    probability = np.zeros((*SHAPE, len(CLASSES)), np.float32)
    probability[..., CLASSES.index(inner)] = mask
    probability[..., CLASSES.index(LAMINATE)] = ~mask
    return probability


def area(settled: NDArray[np.float32]) -> float:
    return float((settled[..., CLASSES.index(COVERED)] + settled[..., CLASSES.index(BARE)] > 0.5).sum())


def bias(settled: NDArray[np.float32], distance: Field) -> float:
    """Mean place of the settled rim, outwards of the true one [pixels]."""
    found = area(settled)
    rim = float((np.abs(distance) < 1.0).sum()) / 2.0
    return (found - float((distance < 0.0).sum())) / rim


@pytest.mark.parametrize("thicker", [-1.0, 1.0])
def test_an_edge_lies_where_the_colour_is_midway_wherever_it_was_classed(thicker: float) -> None:
    distance = outside_of_discs(18.3)
    picture = blurred_step(distance, COPPER, MASK).astype(np.float32)
    settled = settled_edges(classes_of(distance < thicker, COVERED), picture, SCALE).probability
    assert abs(bias(settled, distance)) < 0.1


@pytest.mark.parametrize("inner", [COVERED, BARE])
def test_pixels_far_from_an_edge_keep_their_class(inner: str) -> None:
    distance = outside_of_discs(18.3)
    picture = blurred_step(distance, COPPER, MASK).astype(np.float32)
    before = classes_of(distance < 0.0, inner)
    settled = settled_edges(before, picture, SCALE).probability
    far = np.abs(distance) > 6.0
    assert np.array_equal(before[far], settled[far])


def test_light_on_the_relief_is_taken_back() -> None:
    distance = outside_of_discs(18.3)
    gy, gx = np.gradient(distance)
    lit = 0.14 * (0.8 * gx + 0.6 * gy) * np.exp(-((distance / 1.9) ** 2) / 2)
    picture = (blurred_step(distance, COPPER, MASK) * (1.0 + lit)[..., None]).astype(np.float32)
    settled = settled_edges(classes_of(distance < 0.0, COVERED), picture, SCALE).probability
    copper = settled[..., CLASSES.index(COVERED)] > 0.5
    here = np.abs(distance) < 6.0
    true_rows, true_columns = np.nonzero((distance < 0.0) & here)
    rows, columns = np.nonzero(copper & here)
    # Without correction the centre moves by 0.6 and 0.45 pixels' worth of rim on either side.
    assert int((copper != (distance < 0.0)).sum()) < 0.15 * float((np.abs(distance) < 1.0).sum()) / 2
    assert abs(float(columns.mean() - true_columns.mean())) < 0.25
    assert abs(float(rows.mean() - true_rows.mean())) < 0.25


def test_a_ring_of_laminate_does_not_widen_a_land() -> None:
    distance, ring = outside_of_discs(14.2), 1.3
    picture = blurred_step(distance, OPEN, MASK, ring) + ndtr(-distance / BLUR)[..., None] * (METAL - OPEN)
    settled = settled_edges(classes_of(distance < 0.7, BARE), picture.astype(np.float32), SCALE).probability
    assert abs(bias(settled, distance)) < 0.25


def test_tracks_thinner_than_the_blur_come_out_no_wider() -> None:
    column = np.indices(SHAPE)[1] + 0.0
    distance = np.abs((column + 12.2) % 40.0 - 20.0) - 2.5  # tracks of 5 pixels
    blur = 2.0
    share = (ndtr((2.5 - distance - 2.5) / blur) - ndtr((-2.5 - distance - 2.5) / blur))[..., None]
    picture = (MASK + share * (COPPER - MASK)).astype(np.float32)
    settled = settled_edges(classes_of(distance < 0.6, COVERED), picture, SCALE, detail=2.5).probability
    # Half of what a track shows would make it a pixel wider.
    assert abs(area(settled) / float((distance < 0.0).sum()) - 1.0) < 0.1


def test_drilled_lands_come_out_as_wide_as_others() -> None:
    distance, left = outside_of_discs(14.2), np.arange(SHAPE[1]) < 165
    hole = np.array([60.0, 50, 40])
    drilled = blurred_step(np.where(left, distance + 6.0, 99.0), hole - METAL, np.zeros(3))
    picture = (blurred_step(distance, METAL, MASK) + drilled).astype(np.float32)
    metal = (
        settled_edges(classes_of(distance < 0.0, BARE), picture, SCALE).probability[..., CLASSES.index(BARE)]
        > 0.5
    )
    gained = (metal.astype(float) - (distance < 0.0)) * (distance > -3.0)
    rim = float((np.abs(distance) < 1.0).sum()) / 4.0
    # Were the hole's colour taken for the metal's, they would differ by more than half a pixel.
    assert abs(float(gained[:, left].sum() - gained[:, ~left].sum())) < 0.3 * rim


def test_noise_wavers_less_along_an_edge() -> None:
    distance = outside_of_discs(18.3)
    noise = np.random.default_rng(5).normal(0.0, 12.0, (*SHAPE, 3))
    picture = (blurred_step(distance, COPPER, MASK) + noise).astype(np.float32)
    copper = settled_edges(classes_of(distance < 0.0, COVERED), picture, SCALE).probability[
        ..., CLASSES.index(COVERED)
    ]
    wrong = (copper > 0.5) != (distance < 0.0)
    # Each pixel for itself is wrong in three quarters of those beside the rim.
    assert float(wrong.sum()) < 0.5 * float((np.abs(distance) < 1.0).sum()) / 2


def test_a_picture_without_steps_moves_nothing_out_of_reach() -> None:
    distance = outside_of_discs(18.3)
    flat = np.full((*SHAPE, 3), 80.0, np.float32)
    settled = settled_edges(classes_of(distance < 0.0, COVERED), flat, SCALE).probability
    assert np.all(np.isfinite(settled))
    assert np.allclose(1.0, settled.sum(axis=2))


def test_edges_beside_print_of_the_mask_s_own_hue_are_moved_back_as_well() -> None:
    grey_copper, grey_mask, white = (np.full(3, level) for level in (32.0, 19.0, 230.0))
    x = np.indices(SHAPE)[1] + 0.0
    bars = np.minimum(np.abs(x - 225.3), np.abs(x - 290.3)) - 15.0
    distance = np.where(x < 180.0, outside_of_discs(18.3), bars)
    gx = np.gradient(distance)[1]
    lit = 0.14 * gx * np.exp(-((distance / 1.9) ** 2) / 2)
    seen = blurred_step(distance, grey_copper, grey_mask) * (1.0 + lit)[..., None]
    to_print = np.minimum(np.abs(x - 245.5), np.abs(x - 310.5)) - 2.0
    picture = seen + ndtr(-to_print / BLUR)[..., None] * (white - seen)
    # The classes go by what is seen: midway between the levels, which light has moved to the right.
    classes = classes_of(seen.mean(axis=2) > (32.0 + 19.0) / 2, COVERED)
    classes[to_print < 0.0] = 0.0
    classes[to_print < 0.0, CLASSES.index(LEGEND)] = 1.0
    settled = settled_edges(classes, picture.astype(np.float32), SCALE).probability
    beside = (to_print > 1.0) & (to_print < 5.0) & (x > 200.0)
    wrong = [
        int(((one[..., CLASSES.index(COVERED)] > 0.5) != (distance < 0.0))[beside].sum())
        for one in (classes, settled)
    ]
    assert wrong[0] >= 2 * SHAPE[0]
    assert wrong[1] < 0.1 * wrong[0]


def test_a_coarse_photo_s_land_does_not_move_the_track_beside_it() -> None:
    blur = 1.9  # [pixels], of a photo whose pixels are two and a half of these
    x = np.indices(SHAPE)[1] + 0.0
    period = np.mod(x, 80.0)
    land, track = np.abs(period - 30.0) - 12.0, np.abs(period - 53.0) - 4.0
    share = [ndtr((width - np.abs(period - at)) / blur) for at, width in ((30.0, 12.0), (53.0, 4.0))]
    picture = MASK + share[1][..., None] * (COPPER - MASK) + share[0][..., None] * (METAL - MASK)
    classes = classes_of(track < 0.0, COVERED)
    classes[land < 0.0] = 0.0
    classes[land < 0.0, CLASSES.index(BARE)] = 1.0
    settled = settled_edges(classes, picture.astype(np.float32), SCALE, detail=2.5).probability
    level = settled[120, :, CLASSES.index(COVERED)]
    columns = np.flatnonzero((level[:-1] >= 0.5) != (level[1:] >= 0.5))
    edges = columns + (level[columns] - 0.5) / (level[columns] - level[columns + 1])
    middle = edges[(edges > 80.0) & (edges < 240.0)]
    assert np.mod(middle, 80.0).tolist() == pytest.approx([49.0, 57.0] * 2, abs=0.35)
