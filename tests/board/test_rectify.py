"""Outline, registration and alignment, against the truth of rendered photos."""

import math

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter1d

from lidoff.board import (
    BACK,
    FRONT,
    Registration,
    align_back,
    aspect_of_outline,
    find_outline,
    find_round_spots,
    outline_polygon,
    rectify,
    register_by_outline,
    register_by_points,
    rescaled_by_length,
    rescaled_by_pitch,
)
from lidoff.errors import ImpossibleValue
from tests.board.build import night_lamp_layout, photos

SIZE = night_lamp_layout().size
GRID = np.stack(np.meshgrid(np.linspace(0, SIZE[0], 5), np.linspace(0, SIZE[1], 5)), -1).reshape(-1, 2)


def flat(finish: str, side: str, registration: Registration):  # type: ignore[no-untyped-def]
    shot = photos(finish)
    return rectify(shot.front if side == FRONT else shot.back, registration, side=side, size=SIZE)


@pytest.mark.parametrize("finish", ["green", "black", "white"])
def test_the_outline_puts_every_place_within_a_tenth_of_a_millimetre(finish: str) -> None:
    shot = photos(finish)
    registration = register_by_outline(find_outline(shot.front), side=FRONT, width=SIZE[0], height=SIZE[1])
    found = registration.to_board(shot.truth.cameras[FRONT].to_photo(GRID))
    assert np.max(np.linalg.norm(found - GRID, axis=1)) < 0.1


def test_the_lens_is_estimated_from_the_edges() -> None:
    straight, curved = find_outline(photos(lens=0.0).front), find_outline(photos(lens=0.05).front)
    assert straight.lens == pytest.approx(0.0, abs=0.01)
    # The renderer's polynomial r·(1 + a·r²) is, to first order, the division model with −a.
    assert curved.lens == pytest.approx(-0.05, abs=0.015)


def test_width_over_height_follows_from_a_tilted_photo() -> None:
    aspect = aspect_of_outline(find_outline(photos(tilt=20.0).front))
    assert aspect.ratio == pytest.approx(SIZE[0] / SIZE[1], rel=0.005)


def test_one_edge_length_gives_the_scale_within_half_a_per_cent() -> None:
    shot = photos(tilt=20.0)
    registration = register_by_outline(find_outline(shot.front), side=FRONT, width=SIZE[0])
    found = registration.to_board(shot.truth.cameras[FRONT].to_photo(GRID))
    assert np.ptp(found[:, 1]) == pytest.approx(SIZE[1], rel=0.005)


def test_holes_bring_the_back_onto_the_front() -> None:
    shot = photos("green")
    front = register_by_outline(find_outline(shot.front), side=FRONT, width=SIZE[0], height=SIZE[1])
    back = register_by_outline(find_outline(shot.back), side=BACK, width=SIZE[0], height=SIZE[1])
    # A corner set 0.6 mm wrong by hand: the holes must mend it.
    shifted = Registration(
        homography=back.homography @ np.array([[1, 0, 0.6], [0, 1, -0.4], [0, 0, 1]]),
        lens=back.lens,
        photo_shape=back.photo_shape,
    )
    alignment = align_back(
        find_round_spots(flat("green", FRONT, front)), find_round_spots(flat("green", BACK, shifted)), shifted
    )
    seen = alignment.registration.to_board(shot.truth.cameras[BACK].to_photo(GRID))
    inner = (GRID > 3).all(axis=1) & (GRID < np.array(SIZE) - 3).all(axis=1)
    assert np.median(np.linalg.norm(seen - GRID, axis=1)[inner]) < 0.1
    assert alignment.median_mm < 0.1
    assert len(alignment.pairs) >= 4


@pytest.mark.parametrize("side", [FRONT, BACK])
def test_holes_in_lands_are_found_and_not_their_lands(side: str) -> None:
    # Lands differ from a green mask by their hue as holes do, and more strongly.
    shot = photos("green")
    photo = shot.front if side == FRONT else shot.back
    registration = register_by_outline(find_outline(photo), side=side, width=SIZE[0], height=SIZE[1])
    dark = [spot for spot in find_round_spots(flat("green", side, registration)) if spot.darker]
    drilled = [hole for hole in night_lamp_layout().holes if 0.8 < hole.diameter < 2.0]
    assert len(drilled) == 5
    for hole in drilled:
        concentric = [spot.diameter for spot in dark if math.dist(spot.at, hole.at) < 0.15]
        assert concentric == [pytest.approx(hole.diameter, rel=0.15)]


def test_pairs_set_by_hand_win_over_found_ones() -> None:
    shot = photos("green")
    front = register_by_outline(find_outline(shot.front), side=FRONT, width=SIZE[0], height=SIZE[1])
    spots = find_round_spots(flat("green", FRONT, front))
    manual = [((5.0, 5.0), (5.3, 5.0)), ((20.0, 5.0), (20.3, 5.0)), ((20.0, 15.0), (20.3, 15.0))]
    alignment = align_back(spots, spots, front, manual=manual)
    by_hand = [pair.residual for pair in alignment.pairs if pair.manual]
    assert len(by_hand) == 3
    assert max(by_hand) < 0.05


def test_four_points_register_a_photo() -> None:
    camera = photos().truth.cameras[FRONT]
    places = np.array([[1.0, 1.0], [24.0, 2.0], [23.0, 18.0], [2.0, 17.0]])
    registration = register_by_points(camera.to_photo(places), places, photo_shape=camera.photo_shape)
    assert np.allclose(places, registration.to_board(camera.to_photo(places)), atol=1e-6)
    assert registration.uncertainty_mm > 0.0


def corners_seen(lens: float) -> tuple[np.ndarray, np.ndarray, Registration]:
    """Corners on a photo whose lens bends, where they are on the board, and the registration that is true."""
    true = Registration(
        homography=np.array([[60.0, 0.0, 400.0], [0.0, 60.0, 500.0], [0.0, 0.0, 1.0]]),
        lens=lens,
        photo_shape=(2600, 3400),
    )
    corners = np.array([(0.0, 0.0), (42.0, 0.0), (42.0, 28.0), (0.0, 28.0)])
    return true.to_photo(corners), corners, true


def off_within(found: Registration, true: Registration) -> float:
    """Root mean square of how far places on the board are off [mm]."""
    places = np.stack(np.meshgrid(np.linspace(0, 42, 15), np.linspace(0, 28, 11)), axis=-1).reshape(-1, 2)
    off = found.to_board(true.to_photo(places)) - places
    return float(np.sqrt(np.mean(np.sum(off**2, axis=1))))


def test_four_clicks_on_a_photo_of_unknown_lens_are_as_sure_as_the_lens_lets_them() -> None:
    seen, corners, true = corners_seen(0.02)
    found = register_by_points(seen, corners, photo_shape=true.photo_shape)
    assert off_within(found, true) > 0.05
    assert off_within(found, true) < 1.5 * found.uncertainty_mm


def test_a_lens_that_is_known_is_kept_under_clicks() -> None:
    seen, corners, true = corners_seen(0.02)
    found = register_by_points(seen, corners, photo_shape=true.photo_shape, lens=0.02)
    assert off_within(found, true) < 1e-6
    assert found.uncertainty_mm == pytest.approx(1.5 / 60.0, rel=0.05)


def test_a_known_length_sets_the_scale() -> None:
    registration = Registration(homography=np.diag([10.0, 10.0, 1.0]), photo_shape=(400, 400))
    scaled = rescaled_by_length(registration, np.array([0.0, 0.0]), np.array([200.0, 0.0]), 25.0)
    assert scaled.to_board(np.array([[200.0, 0.0]]))[0, 0] == pytest.approx(25.0)
    assert scaled.scale_uncertainty == pytest.approx(1.5 * 2**0.5 / 200.0, rel=0.01)


def test_more_pins_make_the_pitch_surer() -> None:
    registration = Registration(homography=np.diag([10.0, 10.0, 1.0]), photo_shape=(400, 400))
    row = np.array([[20.0 + 26.0 * k, 50.0] for k in range(10)])
    few, many = rescaled_by_pitch(registration, row[:3], 2.54), rescaled_by_pitch(registration, row, 2.54)
    assert many.to_board(row)[9, 0] - many.to_board(row)[0, 0] == pytest.approx(9 * 2.54)
    assert many.scale_uncertainty < few.scale_uncertainty


def test_a_length_of_zero_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="give one known edge length in mm, above zero"):
        register_by_outline(find_outline(photos().front), side=FRONT, width=0.0)


def test_a_rectangle_keeps_its_four_corners() -> None:
    outline = find_outline(photos().front)
    registration = register_by_outline(outline, side=FRONT, width=SIZE[0], height=SIZE[1])
    assert len(outline_polygon(outline, registration, tolerance=0.4)) in (4, 5, 6)


def lined(raster: float, *, crisp: bool) -> np.ndarray:
    """A photo of 8 px/mm with lines two of its pixels wide, a little blurred, on so fine a raster."""
    finer = 16
    place = (np.arange(400 * finer) + 0.5) / finer
    lines = np.where(np.mod(place, 11.3) < 2.0, 200.0, 40.0)
    shown = gaussian_filter1d(lines, 0.7 * finer).reshape(400, finer).mean(axis=1)
    photo = np.repeat(np.round(shown).astype(np.uint8)[None, :, None], 400, axis=0).repeat(3, axis=2)
    corners = np.array([(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0)])
    registration = register_by_points(8 * corners - 0.5, corners, photo_shape=(400, 400))
    flat = rectify(photo, registration, side=FRONT, size=(50.0, 50.0), px_per_mm=raster, crisp=crisp)
    return np.asarray(flat.picture[:, :, 0], float)


def test_a_crisp_picture_keeps_the_contrast_of_thin_tracks_however_they_lie() -> None:
    peaks = {}
    for crisp in (False, True):
        row = lined(20.0, crisp=crisp)[500, 30:-30]
        tops = (row[1:-1] >= row[:-2]) & (row[1:-1] > row[2:]) & (row[1:-1] > 100)
        peaks[crisp] = row[1:-1][tops]
    assert len(peaks[True]) >= 25
    # Blurred by 0.7 pixels and by one pixel's width, a line of two has 0.81 of its step.
    assert np.mean(peaks[True]) == pytest.approx(40 + 0.81 * 160, abs=4)
    assert np.mean(peaks[False]) < np.mean(peaks[True]) - 4
    assert np.ptp(peaks[True]) < 0.7 * np.ptp(peaks[False])


def test_a_photo_as_fine_as_the_raster_is_sampled_alike() -> None:
    assert np.array_equal(lined(10.0, crisp=True), lined(10.0, crisp=False))
