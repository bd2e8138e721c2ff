"""Means along edges: straight ones are smoothed, corners stay."""

import numpy as np
from scipy.special import ndtr

from lidoff.board.along_edges import along_edges, outwards, taken

SHAPE = (80, 120)
ROWS, COLUMNS = np.indices(SHAPE, dtype=float)
EVERYWHERE = np.ones(SHAPE, bool)


def slanted(angle: float) -> tuple[np.ndarray, np.ndarray]:
    """A straight edge through the middle, and the distance from it, outwards."""
    away = (COLUMNS - 60) * np.cos(angle) + (ROWS - 40) * np.sin(angle)
    return np.asarray(ndtr(-away / 1.2), np.float32), away


def test_the_direction_points_out_of_copper() -> None:
    share, away = slanted(0.7)
    x, y = outwards(share)
    near = (np.abs(away) < 1.0) & (ROWS > 10) & (ROWS < 70)
    assert np.allclose(np.cos(0.7), x[near], atol=0.02)
    assert np.allclose(np.sin(0.7), y[near], atol=0.02)


def test_values_are_taken_from_places_that_far_off() -> None:
    ramp = COLUMNS.astype(np.float32)
    moved = taken(ramp, np.full(SHAPE, 2.5, np.float32), np.zeros(SHAPE, np.float32))
    assert np.allclose(ramp[:, :100] + 2.5, moved[:, :100], atol=0.05)


def test_noise_along_a_straight_edge_shrinks_and_the_edge_stays() -> None:
    share, away = slanted(0.3)
    noise = np.random.default_rng(2).normal(0.0, 0.08, SHAPE).astype(np.float32)
    inside = (ROWS > 12) & (ROWS < 68) & (np.abs(away) < 1.5)
    left = (along_edges(share + noise, share, EVERYWHERE) - share)[inside]
    # Eleven values with these weights leave half of the scatter of one, and what lies between pixels less still.
    assert float(np.std(left)) < 0.55 * float(np.std(noise[inside]))
    assert abs(float(np.mean(left))) < 0.01


def test_a_corner_stays_sharp() -> None:
    def smooth(values: np.ndarray) -> np.ndarray:
        return ndtr(-values / 1.2)

    share = np.asarray(smooth(COLUMNS - 60) * smooth(ROWS - 40), np.float32)
    corner = (np.abs(COLUMNS - 58) < 1.5) & (np.abs(ROWS - 38) < 1.5)
    assert np.abs(along_edges(share, share, EVERYWHERE) - share)[corner].max() < 0.06
    # The mean along tangents without regard to where the edge goes would cut the corner.
    x, y = outwards(share)
    plain = np.mean([taken(share, -k * y, k * x) for k in range(-3, 4)], axis=0)
    assert np.abs(plain - share)[corner].max() > 0.1


def test_only_what_is_asked_for_is_averaged() -> None:
    share, _ = slanted(0.3)
    noisy = share + np.random.default_rng(2).normal(0.0, 0.08, SHAPE).astype(np.float32)
    near = ROWS < 40
    found = along_edges(noisy, share, near)
    assert np.array_equal(found[~near], noisy[~near])
    assert not np.array_equal(found[near], noisy[near])
