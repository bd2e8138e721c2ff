"""A side in hand: what marks it as another one, and which photos it takes."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.board import Board, Stroke
from lidoff.dossier import board_from_text
from lidoff.dossier.entries import Photo
from lidoff.dossier.side_in_hand import ready_side, side_in_hand
from lidoff.errors import DossierError, ImpossibleValue

DEMO = Path(__file__).parents[2] / "demos" / "night-light"
FRONT, BACK = (Photo(file=f"photos/main-{side}.jpg", board="main", side=side) for side in ("front", "back"))


def board() -> Board:
    return board_from_text((DEMO / "boards" / "main.json").read_text(encoding="utf-8"), "boards/main.json")


def test_the_mark_stays_under_strokes_and_parts_and_moves_with_anything_else(tmp_path: Path) -> None:
    shutil.copytree(DEMO / "photos", tmp_path / "photos")
    traced = board()
    hand = side_in_hand(traced, "back", [FRONT, BACK])
    assert (BACK,) == hand.photos
    assert () == hand.side.copper
    stroke = Stroke(says="laminate", points=((1.0, 1.0),))
    sides = tuple(replace(one, strokes=(*one.strokes, stroke)) for one in traced.sides)
    painted = side_in_hand(replace(traced, sides=sides, parts=traced.parts[1:]), "back", [BACK])
    assert hand.mark(tmp_path) == painted.mark(tmp_path)
    cut = replace(traced, cutouts=(((1.0, 1.0), (2.0, 1.0), (2.0, 2.0)),))
    assert side_in_hand(cut, "back", [BACK]).mark(tmp_path) != hand.mark(tmp_path)
    before = hand.mark(tmp_path)
    shutil.copy(tmp_path / "photos" / "main-front.jpg", tmp_path / "photos" / "main-back.jpg")
    assert before != hand.mark(tmp_path)


def test_another_photo_than_that_of_the_board_is_refused(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    shutil.copy(DEMO / "photos" / "main-front.jpg", tmp_path / "photos" / "main-back.jpg")
    hand = side_in_hand(board(), "back", [BACK])
    with pytest.raises(ImpossibleValue, match="another one than that which was laid on main") as refused:
        ready_side(hand, tmp_path)
    assert "found again" in refused.value.remedy


def test_a_side_without_a_photo_is_refused() -> None:
    with pytest.raises(DossierError, match="no photo shows the back of the board 'main'"):
        ready_side(side_in_hand(board(), "back", [FRONT]), DEMO)
    close = replace(BACK, shows="close-up")
    with pytest.raises(DossierError, match="is a close-up, and no photo shows the whole side"):
        ready_side(side_in_hand(board(), "back", [close]), DEMO)


def test_a_side_that_is_not_laid_on_the_board_or_blank_is_refused() -> None:
    traced = board()
    unlaid = tuple(replace(one, registration=None) for one in traced.sides)
    with pytest.raises(ImpossibleValue, match="the back of main was not laid on the board yet"):
        side_in_hand(replace(traced, sides=unlaid), "back", [BACK])
    with pytest.raises(ImpossibleValue, match="the back of main was not laid on the board yet"):
        side_in_hand(replace(traced, sides=()), "back", [BACK])
    blank = tuple(replace(one, blank=True) for one in traced.sides)
    with pytest.raises(ImpossibleValue, match="is said to carry no copper"):
        side_in_hand(replace(traced, sides=blank), "back", [BACK])
