"""The shift of edges by light on relief, from made profiles."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter1d
from scipy.optimize import brentq
from scipy.special import ndtr

from lidoff.board.relief import SHIFT_ANGLES, Profiles, relief_shift

STEP = np.array([0.39, 0.83, 0.39])
MIDDLE = np.array([0.5, 2.0, 1.0])
FACING = np.arange(16) * np.pi / 8
FINE = np.linspace(-15.0, 15.0, 3001)


def made(
    bump_x: float, bump_y: float, noise: float = 0.0, most: float | None = None
) -> tuple[Profiles, np.ndarray]:
    """Profiles about the place where the colour is midway, and by how much it is off in each direction."""
    steps = np.arange(-5.0, 5.25, 0.5)
    unit = STEP / np.linalg.norm(STEP)
    middle = MIDDLE * np.linalg.norm(STEP)
    rng = np.random.default_rng(3)
    rows, moved = [], []
    for angle in FACING:
        bump = (bump_x * np.cos(angle) + bump_y * np.sin(angle)) / np.linalg.norm(STEP)

        if most is not None:
            bump = float(np.clip(bump, -most, most))
        low = middle - unit / 2

        # A step times one plus a bump, blurred as a whole, as a lens does it.
        core = ndtr(-FINE / 0.5)[:, None] * unit
        lit = core + (bump * np.exp(-((FINE / 1.7) ** 2) / 2))[:, None] * (low + core)
        seen = gaussian_filter1d(lit, 1.0 / (FINE[1] - FINE[0]), axis=0, mode="nearest")

        def profile(t: np.ndarray, seen: np.ndarray = seen) -> np.ndarray:
            return np.stack([np.interp(t, FINE, one) for one in seen.T], axis=-1)

        off = brentq(lambda t, profile=profile: float(profile(np.asarray(t)) @ unit) - 0.5, -1.5, 1.5)
        rows.append(profile(steps + off))
        moved.append(off)
    # The mean of four shares of the places scatters half as much as each of them.
    parts = np.array(rows)[:, None] + rng.normal(0.0, 2 * noise, (len(FACING), 4, len(steps), 3))
    return (
        Profiles(
            steps=steps,
            colours=parts.mean(axis=1),
            facing=FACING,
            counts=np.full(len(FACING), 300.0),
            step=unit,
            middle=middle,
            parts=parts,
        ),
        np.array(moved),
    )


QUARTER = SHIFT_ANGLES // 4
NOTHING = [0.0] * SHIFT_ANGLES


@pytest.mark.parametrize(("bump_x", "bump_y"), [(0.06, 0.03), (-0.05, 0.05), (0.0, -0.07)])
def test_the_shift_is_told_to_a_tenth_of_a_pixel(bump_x: float, bump_y: float) -> None:
    profiles, moved = made(bump_x, bump_y, noise=0.01)
    assert moved.tolist() == pytest.approx(relief_shift(profiles).outwards[:: SHIFT_ANGLES // 16], abs=0.1)


def test_steep_walls_are_lit_no_more_the_more_they_face_the_lamp() -> None:
    profiles, moved = made(0.07, 0.07, noise=0.01, most=0.07)
    found = relief_shift(profiles).outwards
    assert [moved[0], moved[2], moved[4]] == pytest.approx(found[[0, QUARTER // 2, QUARTER]], abs=0.15)


def test_even_light_moves_nothing() -> None:
    profiles, _ = made(0.0, 0.0, noise=0.01)
    assert pytest.approx(relief_shift(profiles).outwards, abs=0.1) == NOTHING


def test_profiles_that_are_no_steps_move_nothing() -> None:
    profiles, _ = made(0.05, 0.05, noise=0.6)
    assert relief_shift(profiles).outwards.tolist() == NOTHING


def test_without_profiles_nothing_moves() -> None:
    assert relief_shift(None).outwards.tolist() == NOTHING


def test_levels_that_are_a_little_off_move_all_edges_alike() -> None:
    profiles, moved = made(0.06, 0.03, noise=0.005)
    # Copper's level read a tenth too low: the step seems longer by that, and midway lies farther out.
    steps = profiles.steps
    read = [np.stack([np.interp(steps, steps, c) for c in row.T], axis=-1) / 0.9 for row in profiles.colours]
    unit = profiles.step
    low = profiles.middle - unit / 2
    off = [float(np.interp(0.5, (row @ unit)[::-1], steps[::-1])) for row in read]
    moved_on = np.array(off)

    def again(one: np.ndarray) -> np.ndarray:
        """Profiles about the place that is now taken for midway, with the levels as read."""
        rows = [
            np.stack([np.interp(steps + by, steps, c) for c in row.T], axis=-1) / 0.9
            for row, by in zip(one, moved_on, strict=True)
        ]
        return np.array(rows)

    misread = Profiles(
        steps=steps,
        colours=again(profiles.colours),
        facing=profiles.facing,
        counts=profiles.counts,
        step=unit,
        middle=low / 0.9 + unit / 2,
        parts=np.stack([again(profiles.parts[:, part]) for part in range(4)], axis=1),
    )
    told = relief_shift(misread).outwards[:: SHIFT_ANGLES // 16]
    expected = moved + np.array(off)
    assert float(np.mean(told)) == pytest.approx(float(np.mean(expected)), abs=0.05)
    assert float(np.mean(off)) > 0.1
