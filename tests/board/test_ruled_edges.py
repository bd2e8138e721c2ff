"""Edges laid straight, and tracks of the usual width: pictures whose truth is known."""

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.board.rims import across, even_lines, half_places
from lidoff.board.ruled_edges import ruled

SHAPE = (240, 400)
SCALE = 20.0
FINE = 8  # finer pixels that make up one


def drawn(*lines: tuple[tuple[float, float], tuple[float, float], float]) -> np.ndarray:
    """Share of copper in each pixel, a little blurred: straight tracks from place to place (x, y) and their widths [pixels]."""
    rows, columns = ((np.indices((SHAPE[0] * FINE, SHAPE[1] * FINE)) + 0.5) / FINE - 0.5).astype(np.float32)
    copper = np.zeros(rows.shape, bool)
    for (x, y), (to_x, to_y), width in lines:
        length = np.hypot(to_x - x, to_y - y)
        u, v = (to_x - x) / length, (to_y - y) / length
        along = np.clip((columns - x) * u + (rows - y) * v, 0.0, length)
        copper |= (columns - x - along * u) ** 2 + (rows - y - along * v) ** 2 < (width / 2) ** 2
    share = cv2.resize(copper.astype(np.float32), SHAPE[::-1], interpolation=cv2.INTER_AREA)
    return np.asarray(cv2.GaussianBlur(share, (0, 0), 0.8), np.float32)


def everywhere() -> np.ndarray:
    return np.ones(SHAPE, bool)


def laid_straight(copper: np.ndarray, clear: np.ndarray, wander: float | None = None) -> np.ndarray:
    return ruled(copper, even_lines(copper), clear, SCALE, wander=wander)


def edges_at(copper: np.ndarray, place: tuple[float, float], facing: tuple[float, float]) -> float:
    """How far from a place (x, y) the edge lies in a direction [pixels]."""
    steps = np.arange(-4.0, 4.25, 0.25)
    seen = across(
        copper[..., None].astype(np.float32), np.array([place[::-1]]), np.array([facing[::-1]]), steps
    )
    return float(half_places(seen[..., 0], steps)[0])


def wavering(copper: np.ndarray, size: float, period: float) -> np.ndarray:
    """The same, with rows looked up from a little above and below in turn."""
    rows, columns = np.indices(SHAPE, dtype=np.float32)
    by = np.float32(np.sqrt(2.0) * size) * np.sin(columns * np.float32(2 * np.pi / period))
    return np.asarray(cv2.remap(copper, columns, rows + by, cv2.INTER_LINEAR))


@pytest.mark.parametrize("period", [13.0, 23.0])
def test_an_edge_that_wavers_becomes_straight(period: float) -> None:
    truth = drawn(((20, 60), (380, 60), 40.0))
    seen = wavering(truth, 0.25, period)
    after = laid_straight(seen, everywhere())
    places = [(float(x), 79.5) for x in range(60, 340, 7)]
    off = {
        name: np.array([edges_at(one, at, (0, 1)) for at in places])
        for name, one in (("seen", seen), ("after", after))
    }
    true = edges_at(truth, (200.0, 79.5), (0, 1))
    assert np.std(off["seen"]) > 0.2
    assert np.std(off["after"]) < 0.4 * np.std(off["seen"])
    assert np.mean(off["after"]) == pytest.approx(true, abs=0.12)


def test_true_bends_and_ends_stay_as_they_are() -> None:
    truth = drawn(((30, 40), (180, 40), 8.0), ((180, 40), (270, 130), 8.0), ((270, 130), (270, 210), 8.0))
    after = laid_straight(truth, everywhere(), wander=0.1)
    assert np.abs(after - truth).mean() / truth.mean() < 0.004
    assert ((after > 0.5) != (truth > 0.5)).sum() <= 6


@pytest.mark.parametrize("radius", [12.0, 40.0, 100.0])
def test_a_disc_stays_round(radius: float) -> None:
    truth = drawn(((200, 120), (200.01, 120), 2 * radius))
    after = laid_straight(truth, everywhere(), wander=0.1)
    for angle in np.arange(0.0, 2 * np.pi, 0.3):
        facing = (np.cos(angle), np.sin(angle))
        place = (200 + radius * facing[0], 120 + radius * facing[1])
        assert edges_at(after, place, facing) == pytest.approx(edges_at(truth, place, facing), abs=0.2)


def tracks(*widths: float) -> np.ndarray:
    return drawn(*(((30, 25 + 32 * row), (370, 25 + 32 * row), width) for row, width in enumerate(widths)))


def width_of(copper: np.ndarray, row: int) -> float:
    return float(copper[5 + 32 * row : 45 + 32 * row, 150:250].sum(axis=0).mean())


def test_tracks_a_little_off_get_the_width_of_most() -> None:
    after = laid_straight(tracks(8.0, 8.0, 8.0, 8.4, 7.7), everywhere(), wander=0.35)
    assert [width_of(after, row) for row in range(5)] == pytest.approx([8.0] * 5, abs=0.15)


def test_another_width_stays_and_so_does_one_found_on_a_short_run() -> None:
    lines = [
        ((30, 25 + 32 * row), (370, 25 + 32 * row), width) for row, width in enumerate((8.0, 8.0, 12.0, 12.0))
    ]
    seen = drawn(*lines, ((180, 25 + 32 * 4), (220, 25 + 32 * 4), 10.0))
    after = laid_straight(seen, everywhere(), wander=0.2)
    assert [width_of(after, row) for row in (0, 2)] == pytest.approx([8.0, 12.0], abs=0.1)
    short = (slice(5 + 32 * 4, 45 + 32 * 4), slice(190, 210))
    assert after[short].sum(axis=0).mean() == pytest.approx(10.0, abs=0.1)


def test_unknown_waver_leaves_widths_as_they_are() -> None:
    after = laid_straight(tracks(8.0, 8.0, 8.0, 8.4, 7.7), everywhere())
    assert [width_of(after, row) for row in (3, 4)] == pytest.approx([8.4, 7.7], abs=0.15)


def test_an_edge_beside_print_follows_the_line_it_lies_on() -> None:
    truth = drawn(((20, 60), (380, 60), 40.0))
    seen = truth.copy()
    seen[80:82, 190:206] = 1.0
    clear = everywhere()
    clear[:, 180:216] = False
    after = laid_straight(seen, clear)
    assert edges_at(seen, (198.0, 79.5), (0, 1)) > 1.5
    assert edges_at(after, (198.0, 79.5), (0, 1)) < 0.9


def test_without_copper_nothing_happens() -> None:
    nothing = np.zeros(SHAPE, np.float32)
    assert laid_straight(nothing, everywhere(), wander=0.2) is nothing


@settings(max_examples=15, deadline=None)
@given(st.floats(0.0, np.pi), st.floats(5.0, 24.0))
def test_a_straight_track_of_any_direction_stays(angle: float, width: float) -> None:
    reach = (110 * np.cos(angle), 110 * np.sin(angle))
    truth = drawn(((200 - reach[0], 120 - reach[1]), (200 + reach[0], 120 + reach[1]), width))
    after = laid_straight(truth, everywhere(), wander=0.1)
    across_it = (-np.sin(angle), np.cos(angle))
    place = (200 + across_it[0] * width / 2, 120 + across_it[1] * width / 2)
    assert edges_at(after, place, across_it) == pytest.approx(edges_at(truth, place, across_it), abs=0.1)
