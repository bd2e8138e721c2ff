"""Edits of a traced board, each from one board to the next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from lidoff.dossier.edits import (
    Beep,
    BeginBoard,
    DropHole,
    OutlineBoard,
    Place,
    PutHole,
    Register,
    ShowSide,
    Stroke,
    Traced,
    Unbeep,
    Unplace,
    Unstroke,
    Unwire,
    Wire,
)
from lidoff.dossier.places_on_board import check_places
from lidoff.dossier.stroke_effect import obeyed
from lidoff.errors import ImpossibleValue, UnknownName

if TYPE_CHECKING:
    from lidoff.board import Board, TracedSide

__all__ = ["OfBoard", "check_outline", "edited_board", "new_board"]

SaidOfBoard = (
    ShowSide
    | Register
    | OutlineBoard
    | Stroke
    | Unstroke
    | Place
    | Unplace
    | PutHole
    | DropHole
    | Beep
    | Unbeep
    | Wire
    | Unwire
)
OfBoard = SaidOfBoard | Traced
T = TypeVar("T")
LARGEST = 2000.0
"""Longest edge of a board [mm]: above it a unit was mistaken."""


def new_board(edit: BeginBoard) -> Board:
    """Board without anything on it.

    Parameters
    ----------
    edit : BeginBoard
        Name, and size or outline.

    Returns
    -------
    Board
        Its outline alone.

    Raises
    ------
    ImpossibleValue
        The outline is no polygon, or of an impossible size.
    """
    from lidoff.board import Board

    outline = edit.outline_mm
    if edit.size_mm is not None:
        width, height = edit.size_mm
        outline = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    check_outline(outline)
    return Board(name=edit.board, outline=tuple(outline))


def check_outline(outline: Sequence[tuple[float, float]]) -> None:
    """Refuse what cannot be the outline of a board.

    Parameters
    ----------
    outline : sequence of tuple of float
        Corners [mm].

    Raises
    ------
    ImpossibleValue
        Too few corners, or a size that no board has.
    """
    if len(outline) < 3:
        raise ImpossibleValue(
            f"an outline of {len(outline)} corners",
            remedy="give the board's width and height, or three corners",
        )
    width, height = (max(p[axis] for p in outline) for axis in (0, 1))
    if not (0.5 <= width <= LARGEST and 0.5 <= height <= LARGEST):
        raise ImpossibleValue(
            f"a board of {width:g} mm × {height:g} mm",
            remedy=f"give lengths in millimetres, 0.5 to {LARGEST:g}, measured from the upper left corner",
        )


def edited_board(board: Board, edit: OfBoard) -> Board:
    """Board after one edit.

    Parameters
    ----------
    board : Board
        Before.
    edit : edit of a board
        What to do.

    Returns
    -------
    Board
        After; what the edit does not name is as it was.

    Raises
    ------
    ImpossibleValue, UnknownName
        The edit names what is not there or cannot be.
    """
    from lidoff.board import with_found

    if isinstance(edit, Traced):
        return _traced(board, edit)
    check_places(board, edit)
    return with_found(_edited(board, edit), board)


def _edited(board: Board, edit: SaidOfBoard) -> Board:
    if isinstance(edit, (ShowSide, Register, Stroke, Unstroke)):
        return _with_side(board, edit)
    if isinstance(edit, OutlineBoard):
        check_outline(edit.outline_mm)
        return replace(board, outline=tuple(edit.outline_mm))
    if isinstance(edit, (Wire, Unwire)):
        return _with_wires(board, edit)
    if isinstance(edit, Place):
        from lidoff.board import place_part
        from lidoff.circuit import check_reference

        others = [part for part in board.parts if part.reference != edit.reference]
        if len(others) == len(board.parts):  # one that lies here already can be moved, whatever it is called
            check_reference(edit.reference)
        placed = place_part(
            edit.package, reference=edit.reference, side=edit.side, first=edit.first_mm, second=edit.second_mm
        )
        return replace(board, parts=(*others, placed))
    if isinstance(edit, Unplace):
        if edit.reference not in {part.reference for part in board.parts}:
            raise UnknownName(
                f"{edit.reference} has no place on {board.name}",
                name=edit.reference,
                known=[part.reference for part in board.parts],
            )
        return replace(board, parts=tuple(part for part in board.parts if part.reference != edit.reference))
    if isinstance(edit, PutHole):
        from lidoff.board import Hole, with_hole

        hole = Hole(
            at=edit.at_mm, diameter=edit.diameter_mm, plated=edit.plated, filled=edit.filled, sure=1.0
        )
        return with_hole(board, hole)
    if isinstance(edit, DropHole):
        return replace(board, holes=_without(board.holes, edit.number, "hole"))
    if isinstance(edit, Beep):
        from lidoff.board import Beep as Beeped

        if edit.first == edit.second:
            raise ImpossibleValue(
                f"both probes stood on {edit.first}", remedy="name two pins or places that differ"
            )
        beep = Beeped(
            first=edit.first, second=edit.second, joined=edit.joined, source=edit.source or "continuity beep"
        )
        return replace(board, beeps=(*board.beeps, beep))
    return replace(board, beeps=_without(board.beeps, edit.number, "beep"))


def _without(items: tuple[T, ...], number: int, what: str) -> tuple[T, ...]:
    if not 0 <= number < len(items):
        raise ImpossibleValue(f"there is no {what} {number}", remedy=f"there are {len(items)}, from 0")
    return (*items[:number], *items[number + 1 :])


def _traced(board: Board, edit: Traced) -> Board:
    from lidoff.board import board_from_dict

    found = board_from_dict(edit.value)
    if found.name != board.name:
        raise ImpossibleValue(
            f"what was traced is the board {found.name!r}, not {board.name!r}", remedy="trace this board"
        )
    return found


def _with_wires(board: Board, edit: Wire | Unwire) -> Board:
    from lidoff.board import Wire as Joined

    if isinstance(edit, Unwire):
        return replace(board, wires=_without(board.wires, edit.number, "wire"))
    if not edit.first or not edit.second or edit.first == edit.second:
        raise ImpossibleValue(
            f"a wire from {edit.first!r} to {edit.second!r}", remedy="name two pins or places that differ"
        )
    wire = Joined(first=edit.first, second=edit.second, kind=edit.why or "wire")
    if wire in board.wires:
        raise ImpossibleValue(f"there is a wire from {edit.first} to {edit.second} already")
    return replace(board, wires=(*board.wires, wire))


def _with_side(board: Board, edit: ShowSide | Register | Stroke | Unstroke) -> Board:
    from lidoff.board import Stroke as Painted
    from lidoff.board import TracedSide

    sides = {side.side: side for side in board.sides}
    side = sides.get(edit.side, TracedSide(side=edit.side))
    if isinstance(edit, ShowSide):
        changed = replace(side, photo=edit.photo, sha256="", registration=None)
    elif isinstance(edit, Register):
        changed = _registered(side, edit)
    elif isinstance(edit, Stroke):
        stroke = Painted(says=edit.says, points=tuple(edit.points_mm), width=edit.width_mm)
        changed = obeyed(replace(side, strokes=(*side.strokes, stroke)), stroke)
    else:
        changed = replace(side, strokes=_without(side.strokes, edit.number, f"stroke on the {edit.side}"))
    sides[edit.side] = changed
    return replace(board, sides=_in_order(sides))


def _registered(side: TracedSide, edit: Register) -> TracedSide:
    import numpy as np

    from lidoff.board import register_by_points

    photo = edit.photo or side.photo
    if not photo or edit.photo_shape is None or min(edit.photo_shape) < 1:
        raise ImpossibleValue(
            f"the {edit.side} has no photo that could be laid on the board",
            remedy="show a photo of this side first",
        )
    before = side.registration
    same = before is not None and photo == side.photo and before.photo_shape == edit.photo_shape
    registration = register_by_points(
        np.array([one.photo_px for one in edit.points], dtype=float).reshape(-1, 2),
        np.array([one.board_mm for one in edit.points], dtype=float).reshape(-1, 2),
        photo_shape=edit.photo_shape,
        # Clicks tell nothing of the lens, which the outline on the same photo may have told before.
        lens=before.lens if same and before is not None else None,
    )
    return replace(side, photo=photo, sha256=edit.sha256, registration=registration)


def _in_order(sides: dict[str, TracedSide]) -> tuple[TracedSide, ...]:
    return tuple(sides[name] for name in ("front", "back") if name in sides)
