"""Placed lands laid onto rims drawn with a known shift, turn and growth; depths against shapely's distances."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.ndimage import gaussian_filter
from shapely import Point, Polygon
from shapely.geometry import LineString

from lidoff.board import lands_of, package
from lidoff.board.classes import BARE, CLASSES, COVERED, LAMINATE
from lidoff.board.frame import FRONT
from lidoff.board.land_shapes import LaidLand, depth_in_lands, free_rims, laid_lands, with_laid_lands
from lidoff.board.package import PlacedPart

SCALE = 20.0
SHAPE = (280, 280)
NOTHING = np.zeros(SHAPE, bool)


def placed(name: str, at: tuple[float, float] = (7.0, 7.0), turn: float = 0.0) -> PlacedPart:
    return lands_of(package(name), reference="R1", side=FRONT, at=at, turn=turn)


def true_lands(
    part: PlacedPart, shift: tuple[float, float], turn: float, growth: float
) -> tuple[LaidLand, ...]:
    """The part's lands as they are etched: shifted and grown by pixels, turned by degrees about their middle."""
    middle = np.mean([pad.at for pad in part.pads], axis=0)
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    found = []
    for pad in (pad for pad in part.pads if pad.side == FRONT):
        x, y = np.array(pad.at) - middle
        centre = (middle + np.array([cos * x - sin * y, sin * x + cos * y])) * SCALE - 0.5 + shift
        found.append(
            LaidLand(
                pin=pad.pin,
                at=(float(centre[0]), float(centre[1])),
                half=(pad.size[0] / 2 * SCALE + growth, pad.size[1] / 2 * SCALE + growth),
                turn=math.radians(pad.turn + turn),
                round=pad.round,
            )
        )
    return tuple(found)


def seen(lands: tuple[LaidLand, ...], blur: float = 1.0) -> np.ndarray:
    share = np.clip(depth_in_lands(lands, SHAPE, 2.0) + 0.5, 0.0, 1.0)
    return gaussian_filter(share, blur).astype(np.float32)


@pytest.mark.parametrize("name", ["1206", "SOIC-8", "SOT-23", "DIP-8"])
@pytest.mark.parametrize("turn", [0.0, 90.0, 30.0])
def test_lands_are_laid_where_they_were_etched(name: str, turn: float) -> None:
    part = placed(name, turn=turn)
    truth = true_lands(part, (1.1, -0.7), 0.8, 0.9)
    noise = np.random.default_rng(1).normal(scale=0.03, size=SHAPE)
    found = laid_lands((seen(truth) + noise).astype(np.float32), NOTHING, (part,), FRONT, SCALE)
    assert [one.pin for one in found] == [one.pin for one in truth]
    for one, true in zip(found, truth, strict=True):
        assert one.at == pytest.approx(true.at, abs=0.15)
        assert one.half == pytest.approx(true.half, abs=0.15)


def test_a_track_that_leaves_does_not_draw_the_land_after_it() -> None:
    part = placed("1206")
    truth = true_lands(part, (0.5, 0.5), 0.0, 0.0)
    rows, columns = np.indices(SHAPE)
    track = (abs(rows - truth[0].at[1]) < 5) & (columns < truth[0].at[0])
    share = np.maximum(seen(truth), gaussian_filter(np.where(track, 0.8, 0.0), 1.0)).astype(np.float32)
    found = laid_lands(share, track & (seen(truth) < 0.5), (part,), FRONT, SCALE)
    assert [one.at for one in found] == [pytest.approx(one.at, abs=0.15) for one in truth]


def test_a_land_of_another_shape_is_left_alone() -> None:
    part = placed("1206")
    square, other = true_lands(part, (0.0, 0.0), 0.0, 0.0)
    short = min(square.half) * 0.8
    share = seen((replace(square, round=True, half=(short, short)), other))
    assert [one.pin for one in laid_lands(share, NOTHING, (part,), FRONT, SCALE)] == [other.pin]


def test_nothing_is_laid_without_parts_or_metal() -> None:
    empty = np.zeros(SHAPE, np.float32)
    assert laid_lands(empty, NOTHING, (), FRONT, SCALE) == ()
    assert laid_lands(empty, NOTHING, (placed("1206"),), FRONT, SCALE) == ()
    assert len(free_rims((), NOTHING)[0]) == 0


def test_rims_beside_something_else_are_not_free() -> None:
    truth = true_lands(placed("1206"), (0.0, 0.0), 0.0, 0.0)
    right = np.indices(SHAPE)[1] > truth[1].at[0] + truth[1].half[0] + 2.0
    places, facing = free_rims(truth, right)
    assert np.hypot(*facing.T) == pytest.approx(1.0)
    assert len(places) < len(free_rims(truth, NOTHING)[0])
    assert places[:, 1].max() < truth[1].at[0] + truth[1].half[0] - 0.5


@given(
    half=st.tuples(st.floats(3.0, 20.0), st.floats(3.0, 20.0)),
    turn=st.floats(0.0, math.pi),
    is_round=st.booleans(),
)
def test_depths_are_distances_from_the_rim(half: tuple[float, float], turn: float, is_round: bool) -> None:
    land = LaidLand(pin="", at=(40.3, 39.6), half=half, turn=turn, round=is_round)
    depth = depth_in_lands((land,), (80, 80), 6.0)
    along = np.array([math.cos(turn), math.sin(turn)])
    down = np.array([-along[1], along[0]])
    if is_round:
        reach = half[0] - half[1]
        axis = (along if reach > 0 else down) * abs(reach)
        outline = LineString([land.at - axis, land.at + axis]).buffer(min(half), quad_segs=256)
    else:
        outline = Polygon(
            [
                land.at + a * half[0] * along + b * half[1] * down
                for a, b in ((1, 1), (1, -1), (-1, -1), (-1, 1))
            ]
        )
    for row, column in ((40, 40), (20, 30), (55, 41), (39, 60), (30, 22)):
        point = Point(column, row)
        away = outline.exterior.distance(point) * (1.0 if outline.contains(point) else -1.0)
        assert depth[row, column] == pytest.approx(max(away, -6.0), abs=0.02)


def classes_of(**share: np.ndarray) -> np.ndarray:
    probability = np.zeros((*SHAPE, len(CLASSES)), np.float32)
    for name, own in share.items():
        probability[..., CLASSES.index({"bare": BARE, "covered": COVERED, "laminate": LAMINATE}[name])] = own
    return probability


def test_the_blur_round_a_land_is_no_copper_but_a_track_is() -> None:
    (land, _) = true_lands(placed("1206"), (0.0, 0.0), 0.0, 0.0)
    depth = depth_in_lands((land,), SHAPE, 8.0)
    rows, columns = np.indices(SHAPE)
    track = (abs(rows - land.at[1]) < 4) & (columns < land.at[0])
    fringe = (depth <= 0.0) & (depth > -3.0)
    bare = depth > 0.0
    covered = (fringe | track) & ~bare
    probability = classes_of(bare=bare, covered=covered, laminate=~bare & ~covered)
    near = abs(depth) < 7.5
    settled = with_laid_lands(probability, bare.astype(np.float32), depth, near, fringe=4.0)
    copper = settled[..., CLASSES.index(BARE)] + settled[..., CLASSES.index(COVERED)] > 0.5
    assert np.all(copper[bare])
    assert np.all(copper[track & (abs(rows - land.at[1]) < 3)])
    assert not np.any(copper[fringe & ~track & (depth < -0.5) & (abs(rows - land.at[1]) > 5)])
    assert settled.sum(axis=2) == pytest.approx(1.0, abs=1e-5)


def test_a_rounded_corner_stays_round() -> None:
    (land, _) = true_lands(placed("1206"), (0.0, 0.0), 0.0, 0.0)
    depth = depth_in_lands((land,), SHAPE, 4.0)
    rows, columns = np.indices(SHAPE)
    corner = np.hypot(columns - land.at[0] - land.half[0], rows - land.at[1] - land.half[1]) < 4.0
    bare = (depth > 0.0) & ~corner
    probability = classes_of(bare=bare, covered=np.zeros(SHAPE), laminate=~bare)
    settled = with_laid_lands(probability, bare.astype(np.float32), depth, abs(depth) < 3.5)
    assert not np.any(settled[corner & (depth > 0.6), CLASSES.index(BARE)] > 0.5)
