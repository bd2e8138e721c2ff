"""Strokes obeyed at once: copper cut and joined where they lie, nets following, undone byte by byte."""

import pytest
from shapely.geometry import Point

from lidoff.board import Board, Island, Join, PlacedPart, Stroke, TracedSide, board_nets, place_part
from lidoff.dossier.stroke_effect import obeyed


def island(number: int, left: float, right: float, top: float = 4.0, bottom: float = 5.0) -> Island:
    """Rectangle of copper."""
    shell = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Island(side="front", number=number, shell=shell, openings=(), area=(right - left) * (bottom - top))


def side(*islands: Island, joins: tuple[Join, ...] = ()) -> TracedSide:
    """Front with some copper."""
    return TracedSide(side="front", copper=islands, joins=joins)


def resistor(reference: str, x: float) -> PlacedPart:
    """Small part whose two lands lie 1.9 mm apart, upright on the copper at x."""
    return place_part("0805", reference=reference, side="front", first=(x, 4.5), second=(x, 6.4))


def nets(traced: TracedSide, *parts: PlacedPart) -> list[tuple[str, ...]]:
    """Pins that hang together."""
    outline = ((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0))
    board = Board(name="main", outline=outline, sides=(traced,), parts=parts)
    return sorted(net.pins for net in board_nets(board).nets if net.pins)


def stroke(says: str, *points: tuple[float, float], width: float = 0.3) -> Stroke:
    """One stroke."""
    return Stroke(says=says, points=points, width=width)


R1, R2 = resistor("R1", 2.0), resistor("R2", 12.0)
LONG = side(island(1, 1.0, 13.0))
APART = side(island(1, 1.0, 6.0), island(2, 8.0, 13.0))


def test_a_cut_across_a_track_parts_its_net() -> None:
    assert ("R1.1", "R2.1") in nets(LONG, R1, R2)
    cut = obeyed(LONG, stroke("cut", (7.0, 3.0), (7.0, 6.0)))
    assert {("R1.1",), ("R2.1",)} <= set(nets(cut, R1, R2))
    assert 2 == len(cut.copper)


def test_a_cut_that_does_not_go_through_leaves_the_net_whole() -> None:
    nicked = obeyed(LONG, stroke("cut", (7.0, 3.0), (7.0, 4.6)))
    assert ("R1.1", "R2.1") in nets(nicked, R1, R2)
    assert nicked.copper[0].area < LONG.copper[0].area
    assert not nicked.copper[0].polygon().contains(Point(7.0, 4.3))


def test_a_bridge_over_a_gap_makes_one_net() -> None:
    assert {("R1.1",), ("R2.1",)} <= set(nets(APART, R1, R2))
    bridged = obeyed(APART, stroke("bridge", (5.5, 4.5), (8.5, 4.5)))
    assert ("R1.1", "R2.1") in nets(bridged, R1, R2)
    assert all(join.stated for join in bridged.joins)


def test_a_cut_wins_over_an_earlier_bridge_and_the_other_way_round() -> None:
    there = obeyed(APART, stroke("bridge", (5.5, 4.5), (8.5, 4.5)))
    back = obeyed(there, stroke("cut", (7.0, 3.0), (7.0, 6.0)))
    assert {("R1.1",), ("R2.1",)} <= set(nets(back, R1, R2))
    again = obeyed(back, stroke("bridge", (6.5, 4.5), (7.5, 4.5)))
    assert ("R1.1", "R2.1") in nets(again, R1, R2)


def test_a_doubtful_neck_is_settled_by_a_stroke_over_it() -> None:
    neck = Join(side="front", first=1, second=2, probability=0.55, at=(7.0, 4.5))
    doubtful = side(island(1, 1.0, 7.0), island(2, 7.0, 13.0), joins=(neck,))
    cut = obeyed(doubtful, stroke("cut", (7.0, 3.5), (7.0, 5.5), width=0.1))
    assert [(0.0, True)] == [(join.probability, join.stated) for join in cut.joins]
    joined = obeyed(doubtful, stroke("bridge", (6.5, 4.5), (7.5, 4.5), width=0.1))
    assert [(1.0, True)] == [(join.probability, join.stated) for join in joined.joins]


@pytest.mark.parametrize("says", ["covered copper", "bare copper"])
def test_painted_copper_joins_and_painted_laminate_parts(says: str) -> None:
    assert ("R1.1", "R2.1") in nets(obeyed(APART, stroke(says, (5.5, 4.5), (8.5, 4.5))), R1, R2)
    parted = obeyed(LONG, stroke("laminate", (7.0, 3.0), (7.0, 6.0)))
    assert {("R1.1",), ("R2.1",)} <= set(nets(parted, R1, R2))


@pytest.mark.parametrize("says", ["legend", "body"])
def test_what_lies_over_copper_changes_none(says: str) -> None:
    assert LONG is obeyed(LONG, stroke(says, (7.0, 3.0), (7.0, 6.0)))


def test_a_side_of_which_nothing_was_traced_stays_so() -> None:
    bare = TracedSide(side="front")
    assert bare is obeyed(bare, stroke("bridge", (1.0, 1.0), (2.0, 2.0)))


def test_a_stroke_far_from_copper_adds_a_piece_of_its_own() -> None:
    added = obeyed(LONG, stroke("covered copper", (20.0, 10.0), (24.0, 10.0)))
    assert [1, 2] == [one.number for one in added.copper]
    assert () == added.joins


def test_an_opening_keeps_both_ways_round_it() -> None:
    ring = Island(
        side="front",
        number=1,
        shell=((1.0, 4.0), (13.0, 4.0), (13.0, 8.0), (1.0, 8.0)),
        openings=(((4.0, 5.0), (10.0, 5.0), (10.0, 7.0), (4.0, 7.0)),),
        area=36.0,
    )
    cut = obeyed(side(ring), stroke("cut", (7.0, 3.0), (7.0, 6.0)))
    assert {1} == {one.number for one in cut.copper}
    through = obeyed(cut, stroke("cut", (7.0, 6.0), (7.0, 9.0)))
    assert {1, 2} == {one.number for one in through.copper}
