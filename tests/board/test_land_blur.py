"""Rings of blur round placed lands on drawn sides of which every pixel is known: a white mask, a green one, and no mask."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import gaussian_filter

from lidoff.board import lands_of, package
from lidoff.board.classes import BARE, CLASSES, COVERED, LAMINATE
from lidoff.board.frame import BACK, FRONT
from lidoff.board.land_blur import without_land_blur
from lidoff.board.package import PlacedPart

SCALE = 20.0
SHAPE = (200, 240)
WHITE = {COVERED: (200, 197, 190), BARE: (165, 165, 163), LAMINATE: (228, 227, 223)}
GREEN = {COVERED: (40, 120, 60), BARE: (225, 225, 220), LAMINATE: (15, 70, 35)}
NO_MASK = {COVERED: (180, 110, 70), BARE: (178, 108, 68), LAMINATE: (215, 190, 130)}


def part_at(x: float, y: float, name: str = "1206", turn: float = 0.0) -> PlacedPart:
    return lands_of(package(name), reference="R1", side=FRONT, at=(x, y), turn=turn)


def drawn(part: PlacedPart, track: slice | None) -> np.ndarray:
    """True classes: the part's lands, and a track as wide as the rows that comes up to the first from the left."""
    classes = np.full(SHAPE, CLASSES.index(LAMINATE))
    y, x = ((np.arange(count) + 0.5) / SCALE for count in SHAPE)
    if track is not None:
        classes[track, : int(part.pads[0].at[0] * SCALE)] = CLASSES.index(COVERED)
    for pad in part.pads:
        columns = np.abs(x - pad.at[0]) < pad.size[0] / 2
        rows = np.abs(y - pad.at[1]) < pad.size[1] / 2
        classes[np.ix_(rows, columns)] = CLASSES.index(BARE)
    return classes


def picture_of(classes: np.ndarray, colours: dict[str, tuple[int, int, int]]) -> np.ndarray:
    even = np.zeros((*SHAPE, 3))
    for name, colour in colours.items():
        even[classes == CLASSES.index(name)] = colour
    return gaussian_filter(even, (1.2, 1.2, 0.0)).astype(np.float32)


def by_nearest_colour(even: np.ndarray, colours: dict[str, tuple[int, int, int]]) -> np.ndarray:
    """What a classifier by colour alone makes of it: sure of every pixel, and wrong in the blur of lands."""
    probability = np.zeros((*SHAPE, len(CLASSES)), np.float32)
    names = list(colours)
    off = np.stack([np.linalg.norm(even - np.array(colours[name]), axis=2) for name in names])
    for number, name in enumerate(names):
        probability[..., CLASSES.index(name)] = np.argmin(off, axis=0) == number
    return probability


def is_copper(probability: np.ndarray) -> np.ndarray:
    return np.asarray(probability[..., CLASSES.index(COVERED)] + probability[..., CLASSES.index(BARE)] > 0.5)


TRACK = slice(96, 104)
PART = part_at(6.0, 5.0)


def test_a_ring_goes_and_a_track_stays() -> None:
    truth = drawn(PART, TRACK)
    even = picture_of(truth, WHITE)
    found = by_nearest_colour(even, WHITE)
    ring = is_copper(found) & (truth == CLASSES.index(LAMINATE))
    ring[94:106, :100] = False  # the track's own blur
    assert ring.sum() > 100
    cleared = without_land_blur(found, even, (PART,), FRONT, SCALE)
    assert (is_copper(cleared) & ring).sum() < 0.1 * ring.sum()
    middle = truth[98:102] == CLASSES.index(COVERED)
    assert is_copper(cleared)[98:102][middle].all()


def test_probabilities_still_add_up_and_the_given_array_is_kept() -> None:
    even = picture_of(drawn(PART, TRACK), WHITE)
    found = by_nearest_colour(even, WHITE)
    before = found.copy()
    cleared = without_land_blur(found, even, (PART,), FRONT, SCALE)
    np.testing.assert_array_equal(found, before)
    np.testing.assert_allclose(cleared.sum(axis=2), 1.0, atol=1e-6)


@pytest.mark.parametrize("colours", [GREEN, NO_MASK])
def test_other_looks_are_left_alone(colours: dict[str, tuple[int, int, int]]) -> None:
    even = picture_of(drawn(PART, TRACK), colours)
    found = by_nearest_colour(even, colours)
    assert without_land_blur(found, even, (PART,), FRONT, SCALE) is found


def test_nothing_is_cleared_without_lands_on_the_side() -> None:
    even = picture_of(drawn(PART, TRACK), WHITE)
    found = by_nearest_colour(even, WHITE)
    assert without_land_blur(found, even, (), FRONT, SCALE) is found
    assert without_land_blur(found, even, (PART,), BACK, SCALE) is found


def test_a_side_of_one_class_is_left_alone() -> None:
    found = np.zeros((*SHAPE, len(CLASSES)), np.float32)
    found[..., CLASSES.index(LAMINATE)] = 1.0
    even = np.full((*SHAPE, 3), 228.0, np.float32)
    assert without_land_blur(found, even, (PART,), FRONT, SCALE) is found


@settings(max_examples=20, deadline=None)
@given(st.floats(3.0, 8.0), st.floats(3.0, 7.0), st.sampled_from(["0805", "1206", "SOT-23"]), st.booleans())
def test_copper_is_only_taken_near_lands_and_never_added(x: float, y: float, name: str, track: bool) -> None:
    part = part_at(x, y, name)
    even = picture_of(drawn(part, TRACK if track else None), WHITE)
    found = by_nearest_colour(even, WHITE)
    cleared = without_land_blur(found, even, (part,), FRONT, SCALE)
    taken = is_copper(found) & ~is_copper(cleared)
    assert not np.any(is_copper(cleared) & ~is_copper(found))
    rows, columns = np.nonzero(taken)
    for row, column in zip(rows, columns, strict=True):
        place = (np.array([column, row]) + 0.5) / SCALE
        reach = min(
            float(np.hypot(*np.maximum(np.abs(place - pad.at) - np.array(pad.size) / 2, 0.0)))
            for pad in part.pads
        )
        assert reach <= 0.3
