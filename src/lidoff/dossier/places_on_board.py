"""Places that an edit of a board names, held against the board's size: what lies far beside it is no place on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from lidoff.dossier.edits import Beep, Edit, Place, Stroke, Wire
from lidoff.errors import ImpossibleValue

if TYPE_CHECKING:
    from lidoff.board import Board

__all__ = ["check_places", "named_spot"]

BESIDE = 5.0
"""How far beside the board a place may lie [mm]: strokes run over its edge, and pads of plugs stand out. Own choice."""


def check_places(board: Board, edit: Edit) -> None:
    """Refuse an edit that names a place far beside the board, such as a photo's pixels taken for millimetres.

    Copper out there would take as much memory as a board that reaches so far.

    Parameters
    ----------
    board : Board
        Before the edit; one whose size is not known yet refuses nothing.
    edit : Edit
        Of that board.

    Raises
    ------
    ImpossibleValue
        Names the first such place.
    """
    if not board.outline:
        return
    lows, highs = ([end(p[axis] for p in board.outline) for axis in (0, 1)] for end in (min, max))
    for spot in _spots(edit):
        inside = (
            low - BESIDE <= at <= high + BESIDE for low, at, high in zip(lows, spot, highs, strict=True)
        )
        if not all(inside):
            width, height = board.size
            raise ImpossibleValue(
                f"a place at {spot[0]:.1f} mm, {spot[1]:.1f} mm lies beside the board of {width:.1f} mm × {height:.1f} mm",
                remedy="lay the photo on the board first, then click or draw within the outline",
            )


def _spots(edit: Edit) -> Iterator[tuple[float, float]]:
    match edit:
        case Stroke(points_mm=points):
            yield from points
        case Place(first_mm=first, second_mm=second):
            yield from (first, second)
        case Beep(first=first, second=second) | Wire(first=first, second=second):
            yield from (told[1] for name in (first, second) if (told := named_spot(name)) is not None)


def named_spot(name: str) -> tuple[str, tuple[float, float]] | None:
    """Side and place of a probe or a wire's end that is written as ``side:x,y``; None for a pin."""
    side, colon, place = name.partition(":")
    try:
        x, y = (float(text) for text in place.split(","))
    except ValueError:
        return None
    return (side, (x, y)) if colon else None
