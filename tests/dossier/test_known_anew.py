"""A board's outline found anew: what a hand said stays where the photo shows it."""

import math

import pytest

from lidoff.board import Beep, Board, Hole, Stroke, TracedSide, Wire, place_part
from lidoff.dossier.entries import Board as BoardEntry
from lidoff.dossier.known_anew import is_stated_otherwise, known_anew

CORNERS = ((0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0))
PART = place_part("0805", reference="R1", side="front", first=(20.0, 14.0), second=(22.0, 14.0))
KNOWN = Board(
    name="main",
    outline=CORNERS,
    sides=(
        TracedSide(
            side="front", sha256="abc", strokes=(Stroke(says="bridge", points=((4.0, 7.0),), width=0.3),)
        ),
    ),
    holes=(
        Hole(at=(8.0, 7.0), diameter=0.8, plated=True, sure=1.0),
        Hole(at=(9.0, 7.0), diameter=0.8, plated=True, sure=0.7),
    ),
    parts=(PART,),
    wires=(Wire(first="R1.1", second="front:10,14", kind="wire"),),
    beeps=(Beep(first="R1.2", second="back:20,7", joined=True, source="beep"),),
)


def test_what_a_hand_said_moves_with_the_size_that_is_stated_now() -> None:
    told = known_anew(KNOWN, 20.0, 28.0)
    assert () == told.outline
    assert "" == told.sides[0].sha256
    assert ((2.0, 7.0),) == told.sides[0].strokes[0].points
    assert [(4.0, 7.0)] == [hole.at for hole in told.holes]
    assert ("R1.1", "front:5.000,14.000") == (told.wires[0].first, told.wires[0].second)
    assert ("R1.2", "back:10.000,7.000") == (told.beeps[0].first, told.beeps[0].second)
    (part,) = told.parts
    assert pytest.approx((10.5, 14.0)) == part.at
    first, second = (pad.at for pad in part.pads)
    assert math.isclose(math.dist(first, second), math.dist(*(pad.at for pad in PART.pads)))


@pytest.mark.parametrize(("width", "height"), [(None, None), (40.0, 28.0), (40.0, None)])
def test_what_a_hand_said_stays_where_the_size_does(width: float | None, height: float | None) -> None:
    told = known_anew(KNOWN, width, height)
    assert KNOWN.parts == told.parts
    assert KNOWN.holes[:1] == told.holes


def test_one_edge_that_is_stated_keeps_the_proportions() -> None:
    assert ((5.0, 8.75),) == known_anew(KNOWN, 50.0, None).sides[0].strokes[0].points


@pytest.mark.parametrize(
    ("width", "height", "otherwise"),
    [("", "", False), ("40 mm", "2.8 cm", False), ("4.2 cm", "28 mm", True), ("", "27 mm", True)],
)
def test_a_size_that_is_stated_otherwise_is_told(width: str, height: str, *, otherwise: bool) -> None:
    assert otherwise == is_stated_otherwise(KNOWN, BoardEntry(name="main", width=width, height=height))
