"""The shift of edges by light on relief, from made profiles."""

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import ndtr

from lidoff.board.relief import Profiles, relief_shift

STEP = np.array([0.39, 0.83, 0.39])
MIDDLE = np.array([0.5, 2.0, 1.0])
FACING = np.arange(16) * np.pi / 8


def made(bump_x: float, bump_y: float, noise: float = 0.0) -> tuple[Profiles, np.ndarray]:
    """Profiles about the place where the colour is midway, and by how much it is off in each direction."""
    steps = np.arange(-5.0, 5.25, 0.5)
    unit = STEP / np.linalg.norm(STEP)
    middle = MIDDLE * np.linalg.norm(STEP)
    rng = np.random.default_rng(3)
    rows, moved = [], []
    for angle in FACING:
        bump = (bump_x * np.cos(angle) + bump_y * np.sin(angle)) / np.linalg.norm(STEP)

        def place(t: float, bump: float = bump) -> float:
            return float(ndtr(-t / 1.1) + bump * float(middle @ unit) * np.exp(-((t / 1.9) ** 2) / 2)) - 0.5

        off = brentq(place, -1.5, 1.5)
        at = steps + off
        rows.append(
            ndtr(-at / 1.1)[:, None] * unit + (bump * np.exp(-((at / 1.9) ** 2) / 2))[:, None] * middle
        )
        moved.append(off)
    colours = np.array(rows) + rng.normal(0.0, noise, (len(FACING), len(steps), 3))
    return (
        Profiles(
            steps=steps,
            colours=colours,
            facing=FACING,
            counts=np.full(len(FACING), 300.0),
            step=unit,
            middle=middle,
        ),
        np.array(moved),
    )


@pytest.mark.parametrize(("bump_x", "bump_y"), [(0.06, 0.03), (-0.05, 0.05), (0.0, -0.07)])
def test_the_shift_is_told_to_a_tenth_of_a_pixel(bump_x: float, bump_y: float) -> None:
    profiles, moved = made(bump_x, bump_y, noise=0.01)
    found = relief_shift(profiles)
    assert [moved[0], moved[4]] == pytest.approx(found, abs=0.1)


def test_even_light_moves_nothing() -> None:
    profiles, _ = made(0.0, 0.0, noise=0.01)
    assert [0.0, 0.0] == pytest.approx(relief_shift(profiles), abs=0.1)


def test_profiles_that_are_no_steps_move_nothing() -> None:
    profiles, _ = made(0.05, 0.05, noise=0.6)
    assert [0.0, 0.0] == relief_shift(profiles).tolist()


def test_without_profiles_nothing_moves() -> None:
    assert [0.0, 0.0] == relief_shift(None).tolist()
