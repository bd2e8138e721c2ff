"""Light of lands and print told apart from copper by its hue, on made pictures."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from lidoff.board.classes import BARE, BODY, CLASSES, COVERED, LAMINATE
from lidoff.board.glow import glow_of
from lidoff.board.true_edges import settled_edges

SCALE = 20.0
LOW, HIGH, METAL, RING = (
    np.array(colour, np.float32)
    for colour in ([20.0, 80, 40], [40.0, 130, 70], [215.0, 180, 110], [120.0, 100, 60])
)


def as_light(values: np.ndarray) -> np.ndarray:
    unit = np.asarray(values, float) / 255.0
    return np.where(unit <= 0.04045, unit / 12.92, ((unit + 0.055) / 1.055) ** 2.4)


def as_values(light: np.ndarray) -> np.ndarray:
    unit = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(255.0 * unit, np.float32)


def flat(colour: np.ndarray, shape: tuple[int, int] = (1, 1)) -> np.ndarray:
    return np.broadcast_to(colour, (*shape, 3)).astype(np.float32)


@pytest.mark.parametrize("own", [LOW, HIGH])
@pytest.mark.parametrize("share", [0.1, 0.4])
def test_what_lies_beneath_the_light_comes_back(own: np.ndarray, share: float) -> None:
    mixed = as_values((1 - share) * as_light(own) + share * as_light(METAL))
    found = glow_of(flat(mixed), flat(HIGH), flat(LOW), flat(METAL), np.ones((1, 1), bool))
    assert found.share[0, 0] == pytest.approx(share, abs=0.01)
    assert found.without[0, 0] == pytest.approx(own, abs=1.0)


def test_light_of_coppers_own_hue_is_left() -> None:
    near = np.ones((1, 1), bool)
    levels = (as_values(as_light(LOW) + k * (as_light(HIGH) - as_light(LOW))) for k in (0.4, 1.0, 0.0, 3.0))
    seen, high, low, bright = (flat(one) for one in levels)
    found = glow_of(seen, high, low, bright, near)
    assert not found.told[0, 0]
    assert found.without == pytest.approx(seen)


def test_the_gap_between_a_land_and_a_pour_is_open_all_round() -> None:
    """A land in a ring of open laminate, a gap of six pixels, a pour: the ring must not pass for copper beneath the mask."""
    rows, columns = np.indices((160, 160), dtype=float)
    away = np.hypot(rows - 80, columns - 80)
    true = np.zeros((160, 160, 3))
    true[:] = as_light(HIGH)
    true[away < 32] = as_light(LOW)
    true[away < 27.2] = as_light(RING)
    true[away < 26] = as_light(METAL)
    true[100:, :20] = as_light(LOW)
    picture = as_values(cv2.GaussianBlur(true, (0, 0), 1.0))
    picture = picture + np.random.default_rng(4).normal(0.0, 1.0, picture.shape).astype(np.float32)
    probability = np.zeros((160, 160, len(CLASSES)), np.float32)
    bare, laminate = away < 26.5, ((away >= 29.0) & (away < 32)) | ((rows >= 100) & (columns < 20))
    probability[..., CLASSES.index(BARE)] = bare
    probability[..., CLASSES.index(LAMINATE)] = laminate
    probability[..., CLASSES.index(COVERED)] = ~bare & ~laminate
    settled = settled_edges(probability, picture, SCALE).probability
    copper = settled[..., CLASSES.index(COVERED)] + settled[..., CLASSES.index(BARE)]
    gap = (away > 27.5) & (away < 31)
    assert not np.any(copper[gap] > 0.5)
    assert np.all(copper[(away < 25) | ((away > 33.5) & (columns > 24))] > 0.5)


def test_laminate_beside_a_bright_body_is_no_copper() -> None:
    """A body's blurred light makes laminate along it look like copper; a track that comes out beneath it stays."""
    rows, columns = np.indices((120, 160), dtype=float)
    body, track = rows >= 70, (columns >= 60) & (columns < 72)
    true = np.where(track[..., None], as_light(HIGH), as_light(LOW))
    true[body] = as_light(np.array([225.0, 190, 130]))
    picture = as_values(cv2.GaussianBlur(true, (0, 0), 1.2))
    picture = picture + np.random.default_rng(4).normal(0.0, 1.0, picture.shape).astype(np.float32)
    probability = np.zeros((120, 160, len(CLASSES)), np.float32)
    taken_for_copper = track | ((rows >= 67) & ~body)
    probability[..., CLASSES.index(BODY)] = body
    probability[..., CLASSES.index(COVERED)] = taken_for_copper & ~body
    probability[..., CLASSES.index(LAMINATE)] = ~taken_for_copper & ~body
    copper = settled_edges(probability, picture, SCALE).probability[..., CLASSES.index(COVERED)] > 0.5
    beside = (rows >= 66) & (rows < 68)
    assert not copper[beside & ((columns < 56) | (columns > 76))].any()
    assert copper[beside & (columns >= 62) & (columns < 70)].all()
