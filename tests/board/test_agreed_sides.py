"""Basins that meet without an edge are made to lie on one side."""

import numpy as np

from lidoff.board.agreed_sides import agreed_sides

BASINS = np.repeat(np.array([[1] * 20 + [2] * 20 + [3] * 20], np.int32), 30, axis=0)
FLAT = np.zeros(BASINS.shape, np.float32)


def test_a_basin_that_little_speaks_for_joins_its_neighbours() -> None:
    sides, weights = np.array([0.0, 1.0, -1.0, 1.0]), np.array([0.0, 80.0, 12.0, 80.0])
    assert [0.0, 1.0, 1.0, 1.0] == agreed_sides(BASINS, sides, weights, FLAT, 0.1).tolist()


def test_a_slope_between_them_lets_both_stand() -> None:
    slope = FLAT.copy()
    slope[:, [19, 20, 39, 40]] = 1.0
    sides, weights = np.array([0.0, 1.0, -1.0, 1.0]), np.array([0.0, 80.0, 12.0, 80.0])
    assert sides.tolist() == agreed_sides(BASINS, sides, weights, slope, 0.1).tolist()


def test_well_founded_sides_stand_against_a_short_border() -> None:
    sides, weights = np.array([0.0, 1.0, -1.0, 1.0]), np.array([0.0, 80.0, 90.0, 80.0])
    assert sides.tolist() == agreed_sides(BASINS, sides, weights, FLAT, 0.1).tolist()
