"""The uncertainty of edges: read off the photo, kept with the side, used by distances."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest

from lidoff.board import (
    BACK,
    FRONT,
    Board,
    board_from_dict,
    board_from_layout,
    board_to_dict,
    edge_uncertainty_of,
    net_distance,
)
from lidoff.board.classes import CLASSES, COVERED, LAMINATE
from lidoff.board.distances import EDGE_UNCERTAINTY
from lidoff.board.edge_wander import edge_wander
from lidoff.board.rims import even_lines
from lidoff.board.true_edges import settled_edges
from tests.board.build import night_lamp_layout

SCALE = 20.0


@pytest.mark.parametrize("wander", [0.05, 0.15, 0.3])
def test_wander_is_the_scatter_about_straight_edges(wander: float) -> None:
    rng = np.random.default_rng(5)
    rows, columns = np.indices((400, 60), dtype=float)
    edge = 20.0 + rng.normal(0.0, wander, (400, 1)) + 0.03 * rows[:, :1]
    level = np.clip(0.5 + (edge - columns) / 4, 0.0, 1.0).astype(np.float32)
    found = edge_wander(even_lines(level), np.ones(level.shape, bool), SCALE)
    assert found == pytest.approx(wander, rel=0.25)


def test_too_few_edges_tell_no_wander() -> None:
    level = np.zeros((40, 40), np.float32)
    level[10:20, 10:20] = 1.0
    assert edge_wander(even_lines(level), np.ones(level.shape, bool), SCALE) is None


def told_for(noise: float) -> float | None:
    """Uncertainty of broad tracks across a picture of so much noise [pixels]."""
    from scipy.special import ndtr

    rows, columns = np.indices((320, 320), dtype=float)
    distances = [np.abs((part - 20.0) % 80.0 - 40.0) - 20.0 for part in (rows, columns)]
    inside = np.where((rows + columns) // 320 == 0, distances[0], distances[1])
    share = ndtr(-inside)[..., None]
    picture = (1 - share) * np.array([20.0, 80, 40]) + share * np.array([40.0, 130, 70])
    picture = picture + np.random.default_rng(2).normal(0.0, noise, picture.shape)
    probability = np.zeros((*inside.shape, len(CLASSES)), np.float32)
    probability[..., CLASSES.index(COVERED)] = inside < 0
    probability[..., CLASSES.index(LAMINATE)] = inside >= 0
    return settled_edges(probability, picture.astype(np.float32), SCALE).uncertainty


def test_a_noisier_photo_tells_edges_less_surely() -> None:
    quiet, noisy = told_for(0.5), told_for(8.0)
    assert quiet is not None
    assert noisy is not None
    assert 0.1 < quiet < noisy < 1.5


def lamp(front: float | None, back: float | None) -> Board:
    board = board_from_layout(night_lamp_layout(), "lamp")
    told = {FRONT: front, BACK: back}
    return replace(
        board, sides=tuple(replace(side, edge_uncertainty=told[side.side]) for side in board.sides)
    )


def test_a_side_keeps_its_edge_uncertainty_in_the_board_file() -> None:
    data = json.loads(json.dumps(board_to_dict(lamp(0.0123, None))))
    assert ["edge_uncertainty_mm" in side for side in data["sides"]] == [True, False]
    again = board_from_dict(data)
    assert edge_uncertainty_of(again, FRONT) == pytest.approx(0.0123)
    assert edge_uncertainty_of(again, BACK) == EDGE_UNCERTAINTY


def test_a_distance_takes_the_edges_of_its_own_side_unless_told_otherwise() -> None:
    nets = ("vcc",), ("signal",)
    told, default, given = (
        net_distance(lamp(value, value), *nets, edge_uncertainty=asked).clearance
        for value, asked in ((0.011, None), (None, None), (0.011, 0.08))
    )
    assert told.length == default.length == given.length
    for distance, edge in ((told, 0.011), (default, EDGE_UNCERTAINTY), (given, 0.08)):
        scale = math.sqrt(distance.uncertainty**2 - 2.0 * edge**2) / distance.length
        assert scale == pytest.approx(0.003, rel=0.01)  # typed boards have no registration
