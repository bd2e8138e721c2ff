"""Homographies and the lens."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.board import Registration
from lidoff.board.frame import bent, fit_homography, straightened
from lidoff.errors import ImpossibleValue

SHAPE = (300, 400)


@given(lens=st.floats(-0.15, 0.15), x=st.floats(0, 399), y=st.floats(0, 299))
def test_bending_undoes_straightening(lens: float, x: float, y: float) -> None:
    point = np.array([[x, y]])
    assert np.allclose(point, bent(straightened(point, lens, SHAPE), lens, SHAPE), atol=1e-6)


def test_a_homography_is_found_from_its_own_points() -> None:
    true = np.array([[1.1, 0.1, 5.0], [-0.2, 0.9, 3.0], [1e-3, 2e-3, 1.0]])
    points = np.array([[0, 0], [10, 0], [10, 8], [0, 8], [4, 3.0]])
    registration = Registration(homography=true, photo_shape=SHAPE)
    found = fit_homography(points, registration.to_photo(points))
    assert np.allclose(true, found, atol=1e-9)


def test_to_board_undoes_to_photo() -> None:
    registration = Registration(
        homography=np.array([[9.0, 1.0, 50.0], [-1.0, 8.0, 60.0], [1e-3, 1e-3, 1.0]]),
        lens=0.05,
        photo_shape=SHAPE,
    )
    places = np.array([[1.0, 2.0], [20.0, 15.0]])
    assert np.allclose(places, registration.to_board(registration.to_photo(places)))


def test_three_points_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="3 marked points are too few; mark four or more"):
        fit_homography(np.zeros((3, 2)), np.zeros((3, 2)))


def test_points_on_one_line_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="one line"):
        Registration(homography=np.zeros((3, 3)), photo_shape=SHAPE)
