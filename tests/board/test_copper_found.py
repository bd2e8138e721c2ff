"""What copper was found with, and what has changed since."""

from dataclasses import replace
from typing import Any

import pytest

from lidoff.board import (
    BACK,
    Board,
    CopperFound,
    Stroke,
    board_from_dict,
    board_from_layout,
    board_to_dict,
    changed_since_found,
    place_part,
    with_found,
)
from lidoff.board.copper_found import copper_found
from tests.board.build import night_lamp_layout


@pytest.fixture(scope="module")
def traced() -> Board:
    board = board_from_layout(night_lamp_layout(), "lamp")
    return replace(board, copper_found=copper_found(board))


def with_stroke(board: Board, says: str) -> Board:
    stroke = Stroke(says=says, points=((1.0, 1.0), (4.0, 1.0)))
    first, *others = board.sides
    return replace(board, sides=(replace(first, strokes=(*first.strokes, stroke)), *others))


def with_part(board: Board, x: float = 12.0) -> Board:
    part = place_part("0805", reference="R99", side=BACK, first=(x, 5.0), second=(x + 1.9, 5.0))
    return replace(board, parts=(*board.parts, part))


def renamed(board: Board) -> Board:
    first, *others = board.parts
    return replace(board, parts=(*others, replace(first, reference="X1")))


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda board: board, ()),
        (with_part, ("parts",)),
        (lambda board: with_stroke(board, "laminate"), ("strokes",)),
        (lambda board: with_stroke(with_part(board), "body"), ("parts", "strokes")),
        (lambda board: replace(board, outline=((0, 0), (9, 0), (9, 9))), ("photos",)),
        # These are obeyed at once, or say nothing of copper.
        (lambda board: with_stroke(board, "cut"), ()),
        (lambda board: with_stroke(board, "bridge"), ()),
        (renamed, ()),
    ],
)
def test_only_what_copper_is_found_with_makes_it_old(
    traced: Board, change: Any, told: tuple[str, ...]
) -> None:
    assert told == changed_since_found(change(traced))


def test_what_copper_was_found_with_outlives_the_file(traced: Board) -> None:
    placed = with_part(traced, 12.34567)
    found = replace(placed, copper_found=copper_found(placed, doubts=("a doubt",), coarse=("too coarse",)))
    read = board_from_dict(board_to_dict(found))
    assert found.copper_found == read.copper_found
    assert () == changed_since_found(read)


def test_doubts_stay_as_long_as_the_photos_lie_as_they_lay(traced: Board) -> None:
    doubted = replace(
        traced, copper_found=copper_found(traced, doubts=("few holes",), coarse=("too coarse",))
    )
    again = copper_found(with_part(doubted))
    assert (("few holes",), ()) == (again.doubts, again.coarse)
    moved = replace(doubted, outline=((0, 0), (9, 0), (9, 9)))
    assert () == copper_found(moved).doubts


def test_a_tracing_that_kept_nothing_counts_as_made_with_what_was_there(traced: Board) -> None:
    old = replace(traced, copper_found=None)
    assert () == changed_since_found(with_part(old))
    assert ("parts",) == changed_since_found(with_found(with_part(old), old))
    assert with_found(renamed(old), old).copper_found is None


def test_without_copper_there_is_none_to_be_found_again() -> None:
    bare = Board(name="main", outline=(), copper_found=CopperFound(photos="", parts="", strokes=""))
    assert () == changed_since_found(with_part(bare))
