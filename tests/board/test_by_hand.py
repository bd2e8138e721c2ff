"""What a hand decides about a board: read from plain data, laid over a tracing, and winning there."""

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.board import (
    BACK,
    BARE,
    BODY,
    BRIDGE,
    CLASSES,
    FRONT,
    Beep,
    Board,
    Hole,
    board_from_layout,
    by_hand_from_dict,
    place_part,
    with_hand,
)
from lidoff.board.placed import BESIDE_LAND, NOT_PLACED, placed_classes
from lidoff.errors import DossierError
from tests.board.build import night_lamp_layout

DECIDED = {
    "front": {"blank": True, "turn": 1},
    "strokes": [{"side": "back", "says": "bridge", "points_mm": [[1, 1], [2, 2]], "width_mm": 0.4}],
    "parts": [
        {"reference": "R9", "package": "0805", "side": "back", "first_mm": [5, 5], "second_mm": [7, 5]}
    ],
    "holes": [{"at_mm": [3, 3], "diameter_mm": 0.4}],
    "wires": [{"first": "R9.1", "second": "R1.1"}],
    "beeps": [{"first": "R9.1", "second": "R9.2", "joined": False}],
    "names": {"R9.1": "vcc"},
}


def test_each_decision_is_laid_over_the_board() -> None:
    board = with_hand(Board(name="main", outline=()), by_hand_from_dict(DECIDED))
    assert [BRIDGE] == [stroke.says for side in board.sides for stroke in side.strokes]
    assert [FRONT] == [side.side for side in board.sides if side.blank]
    assert ["R9"] == [part.reference for part in board.parts]
    assert [1.0] == [hole.sure for hole in board.holes]
    assert {"R9.1": "vcc"} == dict(board.net_names)
    assert not board.beeps[0].joined


def test_decisions_laid_over_a_board_twice_change_nothing() -> None:
    hand = by_hand_from_dict(DECIDED)
    once = with_hand(board_from_layout(night_lamp_layout(), "lamp"), hand)
    assert once == with_hand(once, hand)


def test_a_stated_hole_takes_the_place_of_a_found_one_near_it() -> None:
    found = Board(name="main", outline=(), holes=(Hole(at=(3.1, 3.0), diameter=0.5, plated=False, sure=0.7),))
    holes = with_hand(found, by_hand_from_dict(DECIDED)).holes
    assert [(True, 1.0)] == [(hole.plated, hole.sure) for hole in holes]


def test_a_beep_between_the_same_ends_replaces_the_older_one() -> None:
    older = Board(name="main", outline=(), beeps=(Beep(first="R9.2", second="R9.1", joined=True),))
    assert [False] == [beep.joined for beep in with_hand(older, by_hand_from_dict(DECIDED)).beeps]


def clicked(first: float, second: float) -> dict[str, object]:
    """A small resistor on the back, by where along the board its pads were clicked [mm]."""
    return {
        "reference": "R1", "package": "0603", "side": "back", "first_mm": [first, 1], "second_mm": [second, 1],
    }  # fmt: skip


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"strokes": [{"side": "top", "says": "cut", "points_mm": [[1, 1]]}]}, "strokes, 1"),
        ({"strokes": [{"side": "back", "says": "paint", "points_mm": [[1, 1]]}]}, "strokes, 1"),
        ({"front": {"turn": 5}}, "quarter turns"),
        ({"front": {"points": [{"photo_px": [1, 1], "board_mm": [0, 0]}]}}, "four or more"),
        ({"front": {"ruler": {"points_px": [[1, 1]], "step_mm": 10}}}, "two or more"),
        ({"holes": [{"at_mm": [1, 1], "diameter_mm": -1}]}, "diameter"),
        ({"parts": [{"reference": "R1", "package": "0806", "side": "back", "first_mm": [1, 1], "second_mm": [2, 1]}]}, "0806"),
        ({"parts": [clicked(1, 31)]}, "R1: the clicks lie 30.00 mm apart, and pads 1 and 2 of 0603 lie 1.60 mm apart"),
        ({"parts": [clicked(1, 2.6), clicked(9, 10.6)]}, "R1 is placed 2 times"),
        ({"wires": [{"first": "R1.1", "second": "R1.1"}]}, "both ends"),
        ({"outline_mm": [[0, 0], [1, 0]]}, "corners"),
        ({"colour": "green"}, "colour"),
        ({"names": ["vcc"]}, "names"),
    ],
)  # fmt: skip
def test_a_decision_that_cannot_be_read_is_told_with_its_place(wrong: object, says: str) -> None:
    with pytest.raises(DossierError) as caught:
        by_hand_from_dict(wrong)
    assert says in str(caught.value)


def test_every_fault_is_told_at_once() -> None:
    with pytest.raises(DossierError) as caught:
        by_hand_from_dict({"colour": "green", "holes": [{"at_mm": [1, 1], "diameter_mm": 0}]})
    assert 2 == len(caught.value.faults)


def test_a_placed_part_tells_its_lands_and_its_body_on_its_own_side_only() -> None:
    part = place_part("1206", reference="R1", side=FRONT, first=(3.5, 5.0), second=(6.5, 5.0))
    own = placed_classes([part], FRONT, (200, 200), 20.0)
    assert CLASSES.index(BARE) == own[100, 70]
    assert CLASSES.index(BODY) == own[100, 100]
    assert NOT_PLACED == own[20, 20]
    assert BESIDE_LAND in own
    assert (placed_classes([part], BACK, (200, 200), 20.0) == NOT_PLACED).all()


def test_a_part_that_hangs_over_the_edge_of_the_picture_does_no_harm() -> None:
    part = place_part("1206", reference="R1", side=FRONT, first=(-1.5, 0.0), second=(1.5, 0.0))
    assert (placed_classes([replace(part, at=(0.0, 0.0))], FRONT, (40, 40), 20.0) != NOT_PLACED).any()


def test_the_example_in_the_documentation_can_be_read() -> None:
    page = (Path(__file__).parents[2] / "docs" / "boards.md").read_text(encoding="utf-8")
    example = page.partition("```toml\n")[2].partition("```")[0]
    hand = by_hand_from_dict(tomllib.loads(example))
    assert ["R1", "J9"] == [part.reference for part in hand.parts]
    assert 4 == len(hand.marks[FRONT].points)
