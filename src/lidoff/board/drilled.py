"""Holes that a hand sets: what can be one, where it can lie, and which known hole it takes the place of."""

from __future__ import annotations

import math
from dataclasses import replace

from lidoff.board.layout import Hole, Place
from lidoff.board.traced import Board
from lidoff.errors import ImpossibleValue

__all__ = ["LARGEST_HOLE", "SMALLEST_HOLE", "check_diameter", "is_same_hole", "with_hole"]

SMALLEST_HOLE, LARGEST_HOLE = 0.05, 100.0
"""Diameters outside of which a unit was mistaken [mm]."""
_NEAR = 0.3  # a hole set by hand is a found one whose middle lies this near, however small both are [mm]


def check_diameter(diameter: float) -> None:
    """Refuse what cannot be the diameter of a hole.

    Parameters
    ----------
    diameter : float
        [mm]

    Raises
    ------
    ImpossibleValue
        It is none, or so small or large that a unit was mistaken.
    """
    if not SMALLEST_HOLE <= diameter <= LARGEST_HOLE:
        raise ImpossibleValue(
            f"a hole of {diameter:g} mm",
            remedy=f"give its diameter in millimetres, {SMALLEST_HOLE:g} to {LARGEST_HOLE:g}",
        )


def is_same_hole(one: Hole, other: Hole) -> bool:
    """Whether two holes are one, told twice: the middle of each lies within the other.

    Parameters
    ----------
    one, other : Hole
        Places and diameters count, plating does not.

    Returns
    -------
    bool
        Holes that merely overlap are two: a slot may be drilled so.
    """
    return math.dist(one.at, other.at) <= max(_NEAR, min(one.diameter, other.diameter) / 2)


def with_hole(board: Board, hole: Hole) -> Board:
    """Board with a hole that a hand has set.

    Parameters
    ----------
    board : Board
        Before.
    hole : Hole
        As stated.

    Returns
    -------
    Board
        A hole that was known at this place is now as stated.

    Raises
    ------
    ImpossibleValue
        It is no hole, does not fit into the board, lies beside it, or is known just so already.
    """
    check_diameter(hole.diameter)
    if board.outline:
        _check_place(board, hole)
    same = [number for number, known in enumerate(board.holes) if is_same_hole(known, hole)]
    if len(same) == 1 and _stated_alike(board.holes[same[0]], hole):
        raise ImpossibleValue(
            f"there is a hole of {hole.diameter:g} mm at {_words(board.holes[same[0]].at)} already",
            remedy="give another diameter or plating to change it, or click where another hole is",
        )
    if not same:
        return replace(board, holes=(*board.holes, hole))
    holes = [
        hole if number == same[0] else known
        for number, known in enumerate(board.holes)
        if number not in same[1:]
    ]
    return replace(board, holes=tuple(holes))


def _check_place(board: Board, hole: Hole) -> None:
    from shapely.geometry import Point, Polygon

    width, height = board.size
    if hole.diameter >= min(width, height):
        raise ImpossibleValue(
            f"a hole of {hole.diameter:g} mm in a board of {width:.1f} mm × {height:.1f} mm",
            remedy="give the diameter of the hole itself, in millimetres",
        )
    # A hole in the edge has its middle on it, or a little outside.
    if not Polygon(board.outline).distance(Point(hole.at)) < hole.diameter / 2:
        raise ImpossibleValue(
            f"a hole at {_words(hole.at)}, beside the board",
            remedy="click within the outline, or draw the outline first",
        )


def _stated_alike(known: Hole, hole: Hole) -> bool:
    alike = (known.plated, known.filled) == (hole.plated, hole.filled)
    return known.sure >= 1.0 and alike and math.isclose(known.diameter, hole.diameter, abs_tol=5e-4)


def _words(at: Place) -> str:
    return f"{at[0]:.1f} mm, {at[1]:.1f} mm"
