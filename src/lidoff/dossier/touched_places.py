"""Places that an edit touches: edits of different places do not get into each other's way."""

from __future__ import annotations

from lidoff.dossier.board_edits import OfBoard
from lidoff.dossier.edits import (
    Beep,
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
from lidoff.dossier.loading import FILE_NAME
from lidoff.dossier.plain_edits import MoveAt, Operation, Path, SetAt

__all__ = ["changed_place", "place_on_board"]


def place_on_board(edit: OfBoard) -> Path:
    """Place in a board's file that an edit touches; things added at different spots touch different places."""
    match edit:
        case ShowSide(side=side) | Register(side=side):
            return ("sides", side, "photo")
        case OutlineBoard():
            return ("outline",)
        case Traced():
            return ()
        case Stroke(side=side):
            return ("sides", side)  # a stroke may change any copper of its side
        case Unstroke(side=side):
            return ("sides", side, "strokes")
        case Place(reference=reference) | Unplace(reference=reference):
            return ("parts", reference)
        case PutHole(at_mm=spot):
            return ("holes", _spot_text(spot))
        case DropHole():
            return ("holes",)
        case Beep(first=first, second=second):
            return ("beeps", *sorted((first, second)))
        case Unbeep():
            return ("beeps",)
        case Wire(first=first, second=second):
            return ("wires", *sorted((first, second)))
        case Unwire():
            return ("wires",)


def _spot_text(spot: tuple[float, float]) -> str:
    return f"{spot[0]:g} {spot[1]:g}"


def changed_place(file: str, operation: Operation) -> Path:
    """Place that an edit of plain data touches.

    What shifts the positions in a list touches the list, and so all in it; what only says something of an entry touches just
    that, so that two fields of one entry can be filled at once. In a board's file other edits shift positions as well, so that
    a list is touched as a whole.
    """
    path = operation.path
    if file != FILE_NAME:
        return path[: next((n for n, key in enumerate(path) if isinstance(key, int)), len(path))]
    shifts = not isinstance(operation, SetAt) and isinstance(path[-1], int)
    return path[:-1] if shifts or isinstance(operation, MoveAt) else path
