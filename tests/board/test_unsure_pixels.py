"""Unsure pixels settled by colour, on pictures in which colour tells copper from laminate."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.board.classes import BARE, CLASSES, COVERED, LAMINATE
from lidoff.board.unsure_pixels import settled_by_colour

SHAPE = (90, 120)
SCALE = 20.0
COPPER, BASE = np.array([30.0, 100, 60]), np.array([20.0, 60, 40])


def probabilities(share: np.ndarray) -> np.ndarray:
    found = np.zeros((*SHAPE, len(CLASSES)), np.float32)
    found[..., CLASSES.index(COVERED)] = share
    found[..., CLASSES.index(LAMINATE)] = 1.0 - share
    return found


def picture(copper: np.ndarray, noise: float = 1.0) -> np.ndarray:
    light = np.random.default_rng(3).normal(scale=noise, size=(*SHAPE, 3))
    return (np.where(copper[..., None], COPPER, BASE) + light).astype(np.float32)


@pytest.fixture
def pour() -> np.ndarray:
    """Copper everywhere but for two gaps."""
    columns = np.indices(SHAPE)[1]
    return np.asarray((columns % 60 > 8) & (columns > 3))


def test_a_blot_without_an_edge_round_it_goes(pour: np.ndarray) -> None:
    share = np.where(pour, 0.95, 0.05)
    share[30:50, 30:50] = 0.4
    settled = settled_by_colour(probabilities(share), picture(pour), SCALE)
    assert np.all((settled[..., CLASSES.index(COVERED)] > 0.5) == pour)


def test_a_gap_that_was_missed_in_part_opens(pour: np.ndarray) -> None:
    share = np.where(pour, 0.95, 0.05)
    share[30:50] = np.where(pour[30:50], 0.95, 0.6)
    settled = settled_by_colour(probabilities(share), picture(pour), SCALE)
    assert np.all((settled[..., CLASSES.index(COVERED)] > 0.5) == pour)


def test_what_is_sure_stays_whatever_its_colour(pour: np.ndarray) -> None:
    share = np.where(pour, 1.0, 0.0)
    share[30:50, 30:50] = 0.0
    settled = settled_by_colour(probabilities(share), picture(pour), SCALE)
    assert settled[..., CLASSES.index(COVERED)] == pytest.approx(share, abs=1e-5)


def test_one_kind_alone_says_nothing() -> None:
    share = np.full(SHAPE, 0.9)
    even = picture(np.ones(SHAPE, bool))
    assert np.array_equal(settled_by_colour(probabilities(share), even, SCALE), probabilities(share))


@settings(max_examples=20, deadline=None)
@given(seed=st.integers(0, 1000), metal=st.floats(0.0, 1.0))
def test_both_together_and_all_others_stay_as_they_are(seed: int, metal: float) -> None:
    rng = np.random.default_rng(seed)
    found = probabilities(rng.uniform(size=SHAPE)) * np.float32(1.0 - metal)
    found[..., CLASSES.index(BARE)] = metal
    settled = settled_by_colour(found, rng.uniform(0, 255, (*SHAPE, 3)).astype(np.float32), SCALE)
    pair = [CLASSES.index(COVERED), CLASSES.index(LAMINATE)]
    assert settled[..., pair].sum(axis=2) == pytest.approx(found[..., pair].sum(axis=2), abs=1e-5)
    assert np.all(settled[..., pair] >= 0.0)
    others = [number for number in range(len(CLASSES)) if number not in pair]
    assert np.array_equal(settled[..., others], found[..., others])
