"""What copper was found with, so that a later placing or stroke shows that it has to be found again."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lidoff.board.classes import BRIDGE, CUT

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lidoff.board.package import PlacedPart
    from lidoff.board.traced import Board

__all__ = ["SORTS", "CopperFound", "changed_since_found", "copper_found", "with_found"]

SORTS = ("photos", "parts", "strokes")
"""What copper is found with, in the order in which changes are told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CopperFound:
    """Marks of what copper was found with, and what only a hand can settle of it.

    Attributes
    ----------
    photos, parts, strokes : str
        Marks of the photos as they lie on the board with its outline, of the placed lands and bodies, and of the strokes that
        teach.
    doubts : tuple of str
        About how the photos lie on the board, in words.
    coarse : tuple of str
        About photos that show tracks too small, in words.
    """

    photos: str
    parts: str
    strokes: str
    doubts: tuple[str, ...] = ()
    coarse: tuple[str, ...] = ()


def copper_found(board: Board, *, doubts: tuple[str, ...] = (), coarse: tuple[str, ...] = ()) -> CopperFound:
    """Marks of a board on which copper was found just now.

    Parameters
    ----------
    board : Board
        As traced.
    doubts, coarse : tuple of str, optional
        What this tracing could not settle.

    Returns
    -------
    CopperFound
        A tracing that left the photos where they lay tells of no doubts about that: then those of the one before stay.
    """
    before, photos = board.copper_found, _mark(_photos(board))
    if before is not None and before.photos == photos:
        doubts = tuple(dict.fromkeys((*doubts, *before.doubts)))
    return CopperFound(
        photos=photos,
        parts=_mark(_parts(board.parts)),
        strokes=_mark(_strokes(board)),
        doubts=doubts,
        coarse=coarse,
    )


def changed_since_found(board: Board) -> tuple[str, ...]:
    """Sorts of things that are not as they were when the board's copper was found.

    Parameters
    ----------
    board : Board
        As it is now.

    Returns
    -------
    tuple of str
        Of `SORTS`; none where no copper was found yet, or by a tracing that did not keep what it was found with. Cuts and
        bridges are obeyed at once and teach nothing, and neither does what a part is called.
    """
    found = board.copper_found
    if found is None or not any(side.copper for side in board.sides):
        return ()
    now = copper_found(board)
    return tuple(sort for sort in SORTS if getattr(now, sort) != getattr(found, sort))


def with_found(after: Board, before: Board) -> Board:
    """Board after something was said of it, with what its copper was found with.

    Parameters
    ----------
    after, before : Board
        With that and without.

    Returns
    -------
    Board
        Where the tracing kept no marks, the copper is taken to have been found with all that was there before.
    """
    if before.copper_found is not None or not any(side.copper for side in before.sides):
        return after
    marked = replace(after, copper_found=copper_found(before))
    return marked if changed_since_found(marked) else after


def _mark(said: object) -> str:
    """Short mark of plain data; lengths in it are rounded as the board's file rounds them."""
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()[:16]


def _ring(places: Iterable[tuple[float, float]]) -> list[list[float]]:
    return [[round(float(x), 3), round(float(y), 3)] for x, y in places]


def _photos(board: Board) -> object:
    laid = [
        (
            side.side,
            side.sha256,
            side.blank,
            [[float(value) for value in row] for row in registration.homography],
        )
        for side in board.sides
        if (registration := side.registration) is not None
    ]
    return [laid, _ring(board.outline), [_ring(cutout) for cutout in board.cutouts]]


def _parts(parts: Iterable[PlacedPart]) -> object:
    return sorted(
        (part.package, part.side, _ring([part.at]), round(part.turn, 3), round(part.stretch, 5))
        for part in parts
    )


def _strokes(board: Board) -> object:
    return [
        (side.side, stroke.says, _ring(stroke.points), stroke.width)
        for side in board.sides
        for stroke in side.strokes
        if stroke.says not in (CUT, BRIDGE)
    ]
