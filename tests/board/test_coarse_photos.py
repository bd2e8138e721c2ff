"""Photos too coarse for the tracks, on copper of known width."""

from dataclasses import replace

import numpy as np
import pytest
from shapely import Polygon, box

from lidoff.board import Board, coarse_photos
from lidoff.board.coarse_photos import thin_share
from lidoff.board.frame import Registration
from lidoff.board.islands import Island
from lidoff.board.traced import TracedSide


def island(number: int, polygon: Polygon) -> Island:
    shell = tuple((float(x), float(y)) for x, y in polygon.exterior.coords)
    return Island(side="front", number=number, shell=shell, openings=(), area=polygon.area)


def side(width: float, px_per_mm: float) -> TracedSide:
    """Six tracks of one width with lands at their ends, and a pour."""
    tracks = [
        Polygon(box(3.0, y - width / 2, 25.0, y + width / 2).union(box(1.0, y - 0.7, 3.0, y + 0.7)).exterior)
        for y in np.arange(2.0, 14.0, 2.0)
    ]
    every = [*tracks, box(1.0, 15.0, 25.0, 19.0)]
    return TracedSide(
        side="front",
        photo="photos/front.jpg",
        registration=Registration(homography=np.diag([px_per_mm, px_per_mm, 1.0]), photo_shape=(900, 900)),
        copper=tuple(island(number, one) for number, one in enumerate(every, 1)),
    )


def board(*sides: TracedSide) -> Board:
    return Board(name="main", outline=((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)), sides=sides)


@pytest.mark.parametrize(
    ("width", "px_per_mm", "told"),
    [(0.25, 8.0, True), (0.25, 20.0, False), (0.4, 8.0, True), (0.6, 8.0, False)],
)
def test_tracks_of_few_pixels_ask_for_a_closer_photo(width: float, px_per_mm: float, told: bool) -> None:
    lines = coarse_photos(board(side(width, px_per_mm)))
    assert ["tracks on the front are less than 4 pixels wide" in line for line in lines] == [True] * told


def test_only_what_is_narrow_and_long_counts() -> None:
    assert thin_share(side(0.25, 8.0), 0.3) == pytest.approx(1.0, abs=0.02)
    assert thin_share(side(0.25, 8.0), 0.2) == pytest.approx(0.0, abs=0.02)
    assert thin_share(replace(side(0.25, 8.0), copper=()), 0.3) == 0.0


def test_a_side_that_was_typed_in_has_no_photo_to_take_again() -> None:
    assert coarse_photos(board(replace(side(0.25, 8.0), registration=None))) == ()
