"""Rims of lands moved by light on the mask, in drawn pictures whose truth is known."""

import cv2
import numpy as np
import pytest

from lidoff.board.land_rims import RingFit, ring_profile
from lidoff.board.lit_rims import rims_aside
from lidoff.board.rims import across, rims

METAL, RING, MASK = (np.array(one) for one in ([130.0, 130, 128], [195.0, 190, 165], [228.0, 228, 222]))
RADIUS, WIDTH = 17.0, 1.2
STEPS = np.arange(-3.5, 5.125, 0.25)
FINE = 4  # finer pixels that make up one


def lit(lift: tuple[float, float]) -> np.ndarray:
    """Round lands in rings on mask that is lighter by so much where it faces right and down, and darker opposite."""
    size = 80
    rows, columns = (np.indices((size * FINE, size * FINE)) + 0.5) / FINE - 0.5
    x, y = columns - 39.5, rows - 39.5
    far = np.hypot(x, y) - RADIUS
    turn = np.stack([x, y], axis=-1) / np.maximum(np.hypot(x, y), 1e-6)[..., None]
    light = 1.0 + (turn @ np.array(lift)) * np.exp(-((far / 1.4) ** 2) / 2)
    colour = np.where(
        (far < 0)[..., None], METAL, np.where((far < WIDTH)[..., None], RING, MASK * light[..., None])
    )
    one = cv2.resize(colour.astype(np.float32), (size, size), interpolation=cv2.INTER_AREA)
    return np.asarray(cv2.GaussianBlur(np.tile(one, (2, 3, 1)), (0, 0), 0.8))


def rims_of(picture: np.ndarray) -> tuple[np.ndarray, np.ndarray, RingFit]:
    """Places along the rims, the directions they face, and the ring fitted to all of them."""
    along = (METAL - MASK) / np.linalg.norm(METAL - MASK) ** 2
    share = ((picture - MASK) @ along).astype(np.float32)
    places, facing = rims(share, np.ones(share.shape, bool))
    ring = ring_profile(STEPS, np.median(across(picture, places, facing, STEPS), axis=0), 20.0)
    assert ring is not None
    return places, facing, ring


def told(picture: np.ndarray) -> tuple[tuple[float, float], tuple[float, float]]:
    """What is told of a picture, and what is true."""
    places, facing, ring = rims_of(picture)
    centre = np.mod(places, 80.0) - 39.5
    seen = np.linalg.norm(centre, axis=1)
    unit = centre / seen[:, None]
    terms = np.concatenate([np.ones((len(unit), 1)), unit[:, ::-1]], axis=1)
    true = np.linalg.lstsq(terms, RADIUS - seen, rcond=None)[0]
    return rims_aside(picture, places, facing, ring), (float(true[1]), float(true[2]))


@pytest.mark.parametrize("lift", [(0.4, 0.0), (-0.3, 0.3), (0.0, -0.45)])
def test_rims_are_told_to_lie_where_they_do(lift: tuple[float, float]) -> None:
    found, true = told(lit(lift))
    assert np.hypot(*true) > 0.2
    assert found == pytest.approx(true, abs=0.12)


@pytest.mark.parametrize("lift", [(0.0, 0.0), (0.03, -0.02)])
def test_little_light_moves_nothing(lift: tuple[float, float]) -> None:
    found, _ = told(lit(lift))
    assert found == (0.0, 0.0)


def test_rims_of_one_side_alone_tell_nothing() -> None:
    picture = lit((0.45, 0.0))
    places, facing, ring = rims_of(picture)
    right = facing[:, 1] > 0.3
    assert rims_aside(picture, places[right], facing[right], ring) == (0.0, 0.0)
