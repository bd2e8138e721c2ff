"""Seeds of the first guess: print against metal by width, and what strokes leave of them."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from lidoff.board import BARE, CLASSES, COVERED, LAMINATE, LEGEND, Stroke, classify, learn
from lidoff.board.guess import FirstGuess
from lidoff.board.metal import mark_others

SCALE = 12.0


def board_with(width_mm: float, blur: float) -> tuple[np.ndarray, np.ndarray]:
    """CIELAB picture of a dark board with one bright line across, and where that is."""
    lightness = np.full((120, 240), 25.0, np.float32)
    half = width_mm * SCALE / 2
    rows = np.arange(120)[:, None] + 0.5
    covered = np.clip(half + 0.5 - np.abs(rows - 60.0), 0.0, 1.0) * np.ones((1, 240))
    lightness += 65.0 * cv2.GaussianBlur(covered.astype(np.float32), (0, 0), blur)
    lab = np.zeros((120, 240, 3), np.float32)
    lab[..., 0] = lightness
    return lab, covered > 0.5


@pytest.mark.parametrize(("width_mm", "kind"), [(0.22, LEGEND), (0.9, BARE)])
def test_a_blurred_line_is_as_wide_as_at_half_its_height(width_mm: float, kind: str) -> None:
    lab, line = board_with(width_mm, 1.3)
    labels = np.full(line.shape, -1, np.int8)
    ground = np.abs(lab[..., 0] - 25.0) < 8.0
    mark_others(labels, lab, np.ones(line.shape, bool), ground, SCALE, (), sharp=True)
    named = labels[line][labels[line] >= 0]
    assert len(named) > 0.4 * line.sum()
    assert np.mean(named == CLASSES.index(kind)) > 0.95


def test_seeds_that_the_strokes_make_unlikely_do_not_bring_a_mistake_back() -> None:
    rng = np.random.default_rng(3)
    laminate, copper = np.array([105.0, 95.0, 65.0]), np.array([92.0, 84.0, 68.0])
    picture = np.empty((160, 320, 3))
    # The other side's copper shines through the laminate, more to the left, where the guess took it for copper.
    picture[:80] = laminate + np.linspace(1.0, 0.0, 320)[None, :, None] * (copper - laminate)
    tarnish = cv2.GaussianBlur(rng.normal(0.0, 1.0, (80, 320)).astype(np.float32), (0, 0), 6.0)
    tarnish /= tarnish.std()
    picture[80:] = copper + 14.0 * tarnish[..., None]
    photo = np.clip(picture + rng.normal(0.0, 2.0, picture.shape), 0, 255).astype(np.uint8)
    labels = np.full((160, 320), CLASSES.index(LAMINATE), np.int8)
    labels[80:][tarnish > 0.0] = CLASSES.index(COVERED)
    labels[:80, :100] = CLASSES.index(COVERED)
    light = np.ones((160, 320, 3), np.float32)
    guess = FirstGuess(labels=labels, light=light, step=(0.3, 0.3, 0.3), separation=5.0, copper_lighter=False)
    strokes = [
        Stroke(says=COVERED, points=((10.0, 6.0), (15.0, 6.0)), width=0.8),
        Stroke(says=LAMINATE, points=((1.0, 2.0), (6.0, 2.0)), width=0.8),
        Stroke(says=LAMINATE, points=((9.0, 2.0), (15.0, 2.0)), width=0.8),
    ]
    model = learn(photo, 20.0, guess, strokes, rng=np.random.default_rng(0))
    probability = classify(photo, 20.0, light, model)
    found = probability[..., CLASSES.index(COVERED)] > 0.5
    assert found[84:].mean() > 0.99
    assert found[:76].mean() < 0.045  # 0.06 if seeds of a sixth of a chance stay
