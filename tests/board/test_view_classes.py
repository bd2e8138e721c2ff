"""Classes of a view while strokes are put down: quick, obeyed, and near what a tracing gives."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from lidoff.board import (
    BACKGROUND,
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
    ViewClasses,
    classes_in_view,
    copper_of_prepared,
    find_outline,
    learn_for_view,
    prepare_for_view,
    rectangle,
    register_by_outline,
    with_parts,
)
from lidoff.errors import ImpossibleValue
from tests.board.build import night_lamp_layout, photos

ALL = (0.0, 0.0, 1e3, 1e3)


@cache
def prepared() -> PreparedSide:
    shot, size = photos("green"), night_lamp_layout().size
    registration = register_by_outline(find_outline(shot.front), side=FRONT, width=size[0], height=size[1])
    return prepare_for_view(
        shot.front, registration, side=FRONT, size=size, outline=rectangle(*size), most_pixels=150_000
    )


def seen(strokes: list[Stroke], window: tuple[float, float, float, float] = ALL, **most: int) -> ViewClasses:
    ready = prepared()
    return classes_in_view(ready, learn_for_view(ready, strokes), strokes, window, **most)


def at(found: ViewClasses, x: float, y: float) -> str:
    column, row = (
        (place - corner) * found.px_per_mm for place, corner in zip((x, y), found.corner, strict=True)
    )
    return CLASSES[found.classes[int(row), int(column)]]


def test_copper_of_a_view_is_nearly_that_of_a_tracing() -> None:
    found, traced = seen([]), copper_of_prepared(prepared())
    assert found.classes.shape == traced.classes.shape
    copper = [CLASSES.index(name) for name in (COVERED, BARE)]
    mine, true = np.isin(found.classes, copper), np.isin(traced.classes, copper) & prepared().inside
    assert (mine & true).sum() / (mine | true).sum() > 0.75


def test_a_stroke_changes_pixels_far_from_where_it_lies() -> None:
    # Every land called laminate: lands elsewhere follow, without a stroke on them.
    before = seen([])
    lands = [pad.at for pad in night_lamp_layout().pads if pad.side == FRONT]
    strokes = [Stroke(says=LAMINATE, points=(place,), width=0.8) for place in lands[: len(lands) // 2]]
    strokes.append(Stroke(says=COVERED, points=((3.0, 15.0), (3.0, 18.0)), width=0.4))
    after = seen(strokes)
    far = [place for place in lands[len(lands) // 2 :] if at(before, *place) == BARE]
    assert far
    assert sum(at(after, *place) != BARE for place in far) > len(far) / 2


def test_cuts_and_bridges_are_obeyed_whatever_is_painted_after_them() -> None:
    line = ((10.0, 5.0), (14.0, 5.0))
    strokes = [
        Stroke(says=CUT, points=line, width=0.6),
        Stroke(says=COVERED, points=line, width=0.6),
        Stroke(says=BRIDGE, points=((10.0, 15.0), (14.0, 15.0)), width=0.6),
    ]
    found = seen(strokes)
    assert (LAMINATE, COVERED) == (at(found, 12.0, 5.0), at(found, 12.0, 15.0))


def test_a_window_shows_the_same_as_all_of_the_side_at_its_place() -> None:
    whole, part = seen([]), seen([], (6.0, 4.0, 12.0, 9.0))
    scale = whole.px_per_mm
    assert part.corner == pytest.approx((6.0, 4.0), abs=1.0 / scale)
    top, left = round(part.corner[1] * scale), round(part.corner[0] * scale)
    same = whole.classes[top : top + part.classes.shape[0], left : left + part.classes.shape[1]]
    assert (same == part.classes).mean() > 0.97


def test_a_large_view_is_told_coarsely_and_at_its_place() -> None:
    fine, coarse = seen([]), seen([], most_classed=4000, most_shown=9000)
    assert coarse.classes.size <= 9000 * 1.05
    assert coarse.px_per_mm < fine.px_per_mm / 2
    step = round(fine.px_per_mm / coarse.px_per_mm)
    picked = fine.classes[step // 2 :: step, step // 2 :: step]
    assert (picked == coarse.classes).mean() > 0.8


def test_what_lies_beside_the_board_is_background() -> None:
    ready = prepared()
    inside = ready.inside.copy()
    inside[:30] = False
    ready = replace(ready, inside=inside)
    found = classes_in_view(ready, learn_for_view(ready, []), [], ALL)
    assert {CLASSES.index(BACKGROUND)} == set(np.unique(found.classes[:30]).tolist())


def test_memory_is_bounded_by_a_coarser_raster() -> None:
    ready = prepared()
    assert ready.picture.shape[0] * ready.picture.shape[1] == pytest.approx(150_000, rel=0.05)
    assert ready.features is not None
    assert ready.px_per_mm < 20.0


def test_a_view_beside_the_board_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="nothing of the board lies in the view"):
        seen([], (-9.0, -9.0, -1.0, -1.0))


def test_one_class_alone_is_refused_with_what_to_do() -> None:
    ready = prepared()
    labels = np.full_like(ready.guess.labels, -1)
    unknown = replace(ready, guess=replace(ready.guess, labels=labels))
    with pytest.raises(ImpossibleValue, match="nothing that could be told apart") as refused:
        learn_for_view(unknown, [])
    assert "draw along two different things" in refused.value.remedy
    painted = [Stroke(says=LAMINATE, points=((3.0, 3.0), (6.0, 3.0)), width=0.4)]
    with pytest.raises(ImpossibleValue, match="the front shows nothing but laminate so far"):
        learn_for_view(
            unknown,
            [*painted, Stroke(says=HOLE, points=((8.0, 8.0),)), Stroke(says=CUT, points=((9.0, 9.0),))],
        )
    both = [*painted, Stroke(says=COVERED, points=((3.0, 8.0), (6.0, 8.0)), width=0.4)]
    assert (0, 2) == learn_for_view(unknown, both).known


def test_parts_teach_a_side_that_was_made_ready_without_them() -> None:
    bare = prepared()
    taught = with_parts(bare, ())
    assert taught.features is bare.features
    assert np.array_equal(taught.guess.labels, bare.guess.labels)
