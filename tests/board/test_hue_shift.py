"""Shifts of edges by light, read off hue: made profiles, whose truth is known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ndtr

from lidoff.board.hue_shift import HueShift, hue_shift, joined_shift

STEPS = np.arange(-5.0, 5.25, 0.5)
LOW = np.array([0.3, 1.5, 0.8])
GREENER = np.array([0.38, 0.84, 0.39]) / np.linalg.norm([0.38, 0.84, 0.39])
FACING = np.arange(8) * np.pi / 4
ANGLES = np.arange(64) * 2 * np.pi / 64


def profiles(
    strength: float, step: np.ndarray = GREENER, low: np.ndarray = LOW
) -> tuple[np.ndarray, np.ndarray]:
    """Profiles about the place of midway colour, lit by one plus `strength` times a bump, and the shift of each."""
    rows, shifts = [], []
    for angle in FACING:
        fine = np.linspace(-8.0, 8.0, 3201)
        lit = 1.0 + strength * np.cos(angle) * np.exp(-((fine / 1.7) ** 2) / 2)
        seen = (low + ndtr(-fine / 1.1)[:, None] * step) * lit[:, None] - low
        along = seen @ step / (step @ step)
        inner = np.abs(fine) < 3.0
        shift = float(fine[inner][np.argmin(np.abs(along[inner] - 0.5))])
        rows.append(np.stack([np.interp(STEPS + shift, fine, one) for one in seen.T], axis=-1))
        shifts.append(shift)
    return np.array(rows), np.array(shifts)


def four(rows: np.ndarray, noise: float = 0.0) -> np.ndarray:
    return rows[:, None] + np.random.default_rng(2).normal(0.0, noise, (len(rows), 4, *rows.shape[1:]))


@pytest.mark.parametrize("strength", [0.12, 0.05, -0.1])
def test_hue_tells_by_how_much_light_moved_an_edge(strength: float) -> None:
    rows, shifts = profiles(strength)
    told = hue_shift(FACING, rows, four(rows), STEPS, LOW, GREENER)
    assert np.ptp(shifts) > 0.2
    assert told.outwards.tolist() == pytest.approx(shifts.tolist(), abs=0.03)


def test_two_greys_differ_in_no_hue_and_tell_nothing() -> None:
    grey = np.ones(3) / np.sqrt(3.0)
    rows, _ = profiles(0.1, grey, 3.0 * grey)
    told = hue_shift(FACING, rows, four(rows), STEPS, 3.0 * grey, grey)
    assert len(told.outwards) == 0


def test_what_scatters_more_is_told_to_be_less_sure() -> None:
    rows, _ = profiles(0.1)
    still, noisy = (hue_shift(FACING, rows, four(rows, noise), STEPS, LOW, GREENER) for noise in (0.0, 0.02))
    assert noisy.unsure.mean() > still.unsure.mean() == pytest.approx(0.07)


def test_sure_hue_overrules_what_was_expected() -> None:
    truth = 0.8 * np.cos(ANGLES) - 0.2
    told = HueShift(facing=FACING, outwards=truth[::8], unsure=np.full(8, 0.02))
    joined, unsure = joined_shift(np.zeros(64), 0.5, told)
    assert (joined - joined.mean()).tolist() == pytest.approx((truth - truth.mean()).tolist(), abs=0.02)
    assert unsure < 0.05


@pytest.mark.parametrize("everywhere", [-0.7, 0.3])
def test_what_all_directions_have_in_common_stays_as_expected(everywhere: float) -> None:
    expected = 0.3 * np.sin(ANGLES) + 0.1
    told = HueShift(facing=FACING, outwards=expected[::8] + everywhere, unsure=np.full(8, 0.02))
    joined, _ = joined_shift(expected, 0.5, told)
    assert joined.tolist() == pytest.approx(expected.tolist(), abs=1e-9)


def test_one_direction_alone_tells_nothing() -> None:
    told = HueShift(facing=FACING[:1], outwards=np.ones(1), unsure=np.full(1, 0.02))
    joined, unsure = joined_shift(np.zeros(64), 0.5, told)
    assert np.abs(joined).max() < 1e-9
    assert unsure == pytest.approx(0.5)


def test_without_hue_the_expected_stays_as_it_was() -> None:
    nothing = HueShift(facing=np.empty(0), outwards=np.empty(0), unsure=np.empty(0))
    joined, unsure = joined_shift(0.4 * np.sin(ANGLES), 0.3, nothing)
    assert joined.tolist() == pytest.approx((0.4 * np.sin(ANGLES)).tolist())
    assert unsure == pytest.approx(0.3)


@given(st.floats(0.02, 2.0), st.floats(0.02, 2.0), st.floats(-1.0, 1.0))
def test_two_sources_are_surer_than_either_alone_and_lie_between_them(
    own: float, theirs: float, value: float
) -> None:
    told = HueShift(facing=FACING, outwards=value * np.cos(FACING), unsure=np.full(8, theirs))
    joined, unsure = joined_shift(np.zeros(64), own, told)
    assert unsure < own
    assert np.abs(joined).max() <= abs(value) + 1e-6
