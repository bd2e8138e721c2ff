"""Holes that a hand sets: one at each place, within the board, and a found one gives way."""

import pytest

from lidoff.board import Board, Hole, with_hole
from lidoff.errors import ImpossibleValue

BOARD = Board(name="main", outline=((0, 0), (28, 0), (28, 20), (0, 20)))


def hole(x: float, y: float, diameter: float = 0.8, *, plated: bool = True, sure: float = 1.0) -> Hole:
    return Hole(at=(x, y), diameter=diameter, plated=plated, sure=sure)


def test_a_hole_is_added_where_there_is_none() -> None:
    assert (hole(3, 3), hole(9, 3)) == with_hole(with_hole(BOARD, hole(3, 3)), hole(9, 3)).holes


def test_a_hole_set_on_a_known_one_takes_its_place() -> None:
    found = with_hole(with_hole(BOARD, hole(3, 3, sure=0.8)), hole(9, 3))
    stated = hole(3.1, 3, 1.0, plated=False)
    assert (stated, hole(9, 3)) == with_hole(found, stated).holes


def test_all_that_lie_on_one_spot_become_the_one_that_is_set() -> None:
    piled = Board(
        name="main", outline=BOARD.outline, holes=(hole(3, 3), hole(9, 3), hole(3, 3), hole(3.1, 3))
    )
    assert (hole(3, 3, 1.2), hole(9, 3)) == with_hole(piled, hole(3, 3, 1.2)).holes


def test_a_hole_that_merely_overlaps_another_is_another() -> None:
    assert 2 == len(with_hole(with_hole(BOARD, hole(3, 3)), hole(3.6, 3)).holes)


def test_a_large_hole_does_not_swallow_those_beneath_it() -> None:
    assert 2 == len(with_hole(with_hole(BOARD, hole(10, 10)), hole(13, 10, 15)).holes)


def test_half_a_hole_in_the_edge_is_one() -> None:
    assert 1 == len(with_hole(BOARD, hole(-0.1, 10)).holes)


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (hole(3, 3), r"there is a hole of 0\.8 mm at 3\.0 mm, 3\.0 mm already; give another diameter"),
        (hole(14, 10, 60), r"a hole of 60 mm in a board of 28\.0 mm × 20\.0 mm; give the diameter"),
        (hole(9, 9, 0), r"a hole of 0 mm; give its diameter in millimetres, 0\.05 to 100"),
        (hole(9, 9, float("nan")), "a hole of nan mm"),
        (hole(40, 10), "beside the board; click within the outline"),
        (hole(float("nan"), 10), "beside the board"),
    ],
)
def test_what_cannot_be_drilled_is_refused(wrong: Hole, says: str) -> None:
    with pytest.raises(ImpossibleValue, match=says):
        with_hole(with_hole(BOARD, hole(3, 3)), wrong)
