"""Copper from a photo, strokes, pieces, nets."""

from functools import cache

import numpy as np
import pytest

from lidoff.board import (
    BARE,
    BRIDGE,
    CLASSES,
    COVERED,
    CUT,
    FRONT,
    HOLE,
    LAMINATE,
    PreparedSide,
    Stroke,
    classify,
    copper_of_prepared,
    find_outline,
    find_round_spots,
    follow_copper,
    learn,
    painted,
    prepare_side,
    rectify,
    register_by_outline,
    way_along,
    with_strokes,
)
from lidoff.board.beneath import seen_through, without_slits
from lidoff.board.guess import FirstGuess
from lidoff.errors import ImpossibleValue, UnknownName
from tests.board.build import copper_from, night_lamp_layout, photos


@cache
def prepared() -> PreparedSide:
    shot, size = photos("green"), night_lamp_layout().size
    registration = register_by_outline(find_outline(shot.front), side=FRONT, width=size[0], height=size[1])
    side = rectify(shot.front, registration, side=FRONT, size=size, px_per_mm=16)
    return prepare_side(side, spots=find_round_spots(side))


def test_copper_is_found_without_a_stroke() -> None:
    # The table shows through the two mounting holes as bright as tin: only they need the analyst's word.
    holes = [Stroke(says=HOLE, points=(at,), width=3.4) for at in ((2.6, 2.6), (23.4, 17.4))]
    found = copper_of_prepared(prepared(), holes)
    true = photos("green").truth.copper(FRONT, found.px_per_mm)
    assert (found.mask & true).sum() / (found.mask | true).sum() > 0.8


def test_a_cut_wins_over_what_the_photo_shows() -> None:
    sure = np.zeros((20, 30, 7), np.float32)
    sure[..., 0] = 1.0
    cut = Stroke(says=CUT, points=((1.5, 0.0), (1.5, 2.0)), width=0.2)
    found = with_strokes(
        FRONT, 10.0, sure, [cut, Stroke(says=COVERED, points=((0.0, 1.0), (3.0, 1.0)), width=0.4)]
    )
    assert not found.mask[10, 15]
    assert found.mask[10, 5]


def test_a_bridge_wins_over_what_the_photo_shows() -> None:
    nothing = np.zeros((20, 30, 7), np.float32)
    nothing[..., 2] = 1.0
    found = with_strokes(
        FRONT, 10.0, nothing, [Stroke(says=BRIDGE, points=((0.5, 1.0), (2.5, 1.0)), width=0.3)]
    )
    assert found.mask[10, 15]
    assert found.confidence[10, 15] == 1.0


def test_a_painted_class_holds_where_it_is_painted() -> None:
    found = copper_of_prepared(
        prepared(), [Stroke(says=LAMINATE, points=((3.0, 9.0), (8.0, 9.0)), width=0.6)]
    )
    under = painted(Stroke(says=LAMINATE, points=((3.0, 9.0), (8.0, 9.0)), width=0.6), found.mask.shape, 16.0)
    assert not np.any(found.mask & under)


def test_tiles_give_the_same_as_the_whole() -> None:
    side = prepared()
    model = learn(
        side.picture, side.px_per_mm, side.guess, rng=np.random.default_rng(0), features=side.features
    )
    whole = classify(side.picture, side.px_per_mm, side.guess.light, model, features=side.features)
    window = (slice(60, 160), slice(90, 220))
    part = classify(side.picture, side.px_per_mm, side.guess.light, model, window=window)
    # Blurs on a smaller copy begin on other pixels in a tile: probabilities differ a little, classes where two are near a tie.
    assert np.abs(whole[window] - part).max() < 0.25
    assert np.mean(np.argmax(whole[window], axis=2) == np.argmax(part, axis=2)) > 0.995


def test_strokes_of_both_kinds_right_a_guess_that_took_a_whole_area_for_something_else() -> None:
    rng = np.random.default_rng(5)
    picture = np.full((160, 320, 3), (205, 190, 70), np.uint8)  # yellow laminate without a mask
    picture[60:100] = (85, 65, 45)  # a broad tarnished track
    drift = np.linspace(0.9, 1.1, 320)[None, :, None]
    noisy = np.clip(picture * drift + rng.normal(0, 4, picture.shape), 0, 255).astype(np.uint8)
    taken_for_metal = np.full((160, 320), CLASSES.index(BARE), np.int8)
    taken_for_metal[60:100] = CLASSES.index(LAMINATE)
    guess = FirstGuess(
        labels=taken_for_metal,
        light=np.ones((160, 320, 3), np.float32),
        step=(0.4, 0.4, 0.4),
        separation=10.0,
        copper_lighter=True,
    )
    strokes = [
        Stroke(says=LAMINATE, points=((5.0, 1.5), (9.0, 1.5)), width=0.5),
        Stroke(says=COVERED, points=((5.0, 4.0), (9.0, 4.0)), width=0.5),
    ]
    model = learn(noisy, 20.0, guess, strokes, rng=rng)
    found = np.argmax(classify(noisy, 20.0, guess.light, model), axis=2)
    laminate = found == CLASSES.index(LAMINATE)
    assert laminate[:55].mean() > 0.8
    assert laminate[105:].mean() > 0.8
    assert laminate[65:95].mean() < 0.05


def test_equal_calls_give_equal_copper() -> None:
    assert np.array_equal(copper_of_prepared(prepared()).mask, copper_of_prepared(prepared()).mask)


def test_an_unknown_stroke_is_refused() -> None:
    with pytest.raises(UnknownName, match="a stroke of 'bridg'; did you mean 'bridge'"):
        Stroke(says="bridg", points=((0.0, 0.0),))


def test_one_click_follows_the_copper_to_its_ends() -> None:
    mask = np.zeros((40, 60), bool)
    mask[10:14, 5:50] = True
    mask[30:34, 5:50] = True
    found = follow_copper(copper_from(mask), (2.0, 1.2))
    assert found.area == pytest.approx(1.8)
    assert not found.reached[32, 20]


def test_a_click_beside_all_copper_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"no copper within 0.3 mm of \(3.00, 3.00\) mm"):
        follow_copper(copper_from(np.zeros((40, 60), bool)), (3.0, 3.0))


def test_the_way_along_a_track_has_its_width() -> None:
    mask = np.zeros((60, 400), bool)
    mask[25:33, 20:380] = True
    places, widths = way_along(copper_from(mask, px_per_mm=20.0), (1.5, 1.45), (18.5, 1.45))
    assert np.median(widths) == pytest.approx(0.4, abs=0.06)
    assert places[0][0] == pytest.approx(1.5, abs=0.1)


def test_copper_beside_print_stays_where_it_goes_on_in_the_open() -> None:
    copper = np.zeros((20, 30), np.float32)
    copper[:, 4:14] = 1.0
    hidden = np.zeros((20, 30), np.float32)
    hidden[:, 14:17] = 1.0
    carried = seen_through(copper, hidden, 20.0)
    assert carried[:, 13].min() > 0.5
    assert carried[:, 14:].max() < 0.5


def test_a_track_that_crosses_a_printed_line_at_half_a_right_angle_goes_on() -> None:
    row, column = np.indices((60, 60))
    copper = (np.abs(row - column) < 5).astype(np.float32)
    hidden = np.zeros((60, 60), np.float32)
    hidden[:, 28:32] = 1.0
    copper[hidden > 0] = 0.0
    carried = seen_through(copper, hidden, 20.0, ink=hidden)
    assert carried[np.arange(26, 34), np.arange(26, 34)].min() > 0.5
    assert carried[40:, 28:32].max() < 0.5
    # Beneath a body nothing tells a track at a slant from two lands.
    assert seen_through(copper, hidden, 20.0)[29, 29] < 0.5


def test_tracks_on_either_side_of_a_printed_line_are_not_joined_across_their_widths() -> None:
    rows, columns = np.indices((80, 80))
    # One track passes above the line's end at a slant; another crosses beneath the line and bends alongside the first.
    above = np.abs(rows + columns - 60) <= 5
    bent = (rows >= 34) & (rows < 42) & (columns >= 38)
    bent |= (np.abs(rows + columns - 76) <= 5) & (columns < 40) & (rows >= 34)
    hidden = np.where((columns >= 38) & (columns < 42) & (rows >= 26), 1.0, 0.0).astype(np.float32)
    copper = np.where(hidden > 0, 0.0, (above | bent).astype(np.float32)).astype(np.float32)
    carried = seen_through(copper, hidden, 20.0, ink=hidden)
    between = (hidden > 0) & ~above & ~bent & (rows < 34)
    assert not np.any(carried[between] > 0.5)
    assert carried[38, 38:42].min() > 0.5


def test_a_slit_of_one_pixel_closes_beside_print_alone() -> None:
    copper = np.ones((20, 30), np.float32)
    copper[:, [8, 20]] = 0.0
    beside = np.zeros((20, 30), np.float32)
    beside[:, :8] = 1.0
    closed = without_slits(copper, beside, 20.0)
    assert closed[:, 8].min() > 0.5
    assert closed[:, 20].max() == 0.0


def test_where_a_pixel_is_as_wide_as_a_gap_no_slit_closes() -> None:
    copper = np.ones((20, 30), np.float32)
    copper[:, 8] = 0.0
    assert without_slits(copper, np.ones((20, 30), np.float32), 10.0)[:, 8].max() == 0.0
