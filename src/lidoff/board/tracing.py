"""A board from its photos to nets in one call: what the command line and the workbench both steer.

What the analyst has decided before (strokes, parts, holes, wires, beeps, names) is taken over; copper, pieces and joins are
worked out anew.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.board.align import Alignment
from lidoff.board.by_hand import ByHand, with_hand
from lidoff.board.coarse_photos import coarse_photos
from lidoff.board.copper import Copper, without_copper
from lidoff.board.copper_found import copper_found
from lidoff.board.frame import BACK, FRONT, SIDES, Registration
from lidoff.board.holes import RoundSpot, find_round_spots
from lidoff.board.islands import Pieces, pieces_of
from lidoff.board.layout import Hole, Place, rectangle
from lidoff.board.nets import Nets
from lidoff.board.outline import Outline
from lidoff.board.package import PlacedPart
from lidoff.board.plating import holes_of_spots
from lidoff.board.prepared_side import PreparedSide, copper_of_prepared, prepare_side
from lidoff.board.rectify import Rectified, rectify
from lidoff.board.registering import register_sides
from lidoff.board.shape import shape_on_photo
from lidoff.board.traced import Board, TracedSide, board_nets, traced_side
from lidoff.errors import ImpossibleValue

__all__ = ["SidePhoto", "SideSteps", "Tracing", "outline_raster", "trace_board"]

FINEST, COARSEST = 24.0, 20.0
"""Rasters between which copper is traced [pixels/mm]: finer shows no more copper, and on coarser ones thin tracks drown."""

Told = Callable[[str, float], None]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SidePhoto:
    """Photo of one side: the picture (H, W, 3), its path in the dossier, and the hash of the file."""

    picture: NDArray[np.uint8]
    file: str = ""
    sha256: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SideSteps:
    """What every step gave for one side, to be looked at and to go on from.

    Attributes
    ----------
    outline : Outline or None
        As found; None where the registration was given.
    registration : Registration
        How the photo shows the board.
    flat : Rectified
        The side as a flat picture.
    spots : tuple of RoundSpot
        Round things on it.
    prepared : PreparedSide
        From which further strokes go on.
    copper : Copper
        Found copper.
    pieces : Pieces
        Its pieces with the joins between them.
    """

    outline: Outline | None
    registration: Registration
    flat: Rectified
    spots: tuple[RoundSpot, ...]
    prepared: PreparedSide
    copper: Copper
    pieces: Pieces


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tracing:
    """A board traced from its photos.

    Attributes
    ----------
    board : Board
        What is kept in the dossier.
    steps : mapping of str to SideSteps
        By side.
    alignment : Alignment or None
        Of the back onto the front.
    nets : Nets
        Of the board.
    doubts : tuple of str
        What only a hand can settle, in words.
    """

    board: Board
    steps: Mapping[str, SideSteps]
    alignment: Alignment | None
    nets: Nets
    doubts: tuple[str, ...] = field(default=())


def trace_board(
    photos: Mapping[str, SidePhoto],
    *,
    name: str,
    width: float | None = None,
    height: float | None = None,
    thickness: float | None = None,
    known: Board | None = None,
    by_hand: ByHand | None = None,
    find_holes: bool = True,
    progress: Told | None = None,
) -> Tracing:
    """Trace one board from the photos of one or both sides.

    Parameters
    ----------
    photos : mapping of str to SidePhoto
        By side.
    name : str
        Of the board in its dossier.
    width, height : float, optional
        Edge lengths [mm]; without them those of the known board.
    thickness : float, optional
        Of the laminate [mm]; without it that of the known board, or 1.6.
    known : Board, optional
        What was traced and decided before. A side whose photo is still the same keeps its registration.
    by_hand : ByHand, optional
        Decided by hand since; it wins over what is known and over what is found.
    find_holes : bool
        Whether holes are looked for beside those known.
    progress : callable (text, share), optional
        Told of each step before it starts.

    Returns
    -------
    Tracing
        The board, and every step for pictures.

    Raises
    ------
    ImpossibleValue
        No photo, a side that is none, no outline, or no length to scale by.
    """
    unknown = [side for side in photos if side not in SIDES]
    if not photos or unknown:
        raise ImpossibleValue(
            f"photos of {', '.join(unknown) or 'no side'}", remedy=f"give a photo of {' or '.join(SIDES)}"
        )

    def tell(text: str, share: float) -> None:
        if progress is not None:
            progress(text, share)

    tell(f"{name}: finding outline and holes", 0.0)
    by_hand = by_hand or ByHand()
    known = with_hand(known or Board(name=name, outline=()), by_hand)
    sides = {side.side: side for side in known.sides}
    if width is None and height is None and known.outline:
        width, height = known.size
    given = {
        side: old.registration
        for side, old in sides.items()
        if side in photos and old.registration is not None and old.sha256 == photos[side].sha256
    }
    registered = register_sides(
        {side: photo.picture for side, photo in photos.items()},
        width=width,
        height=height,
        given=given,
        marks=by_hand.marks,
        manual=by_hand.pairs,
    )
    outline = known.outline or _shape(registered.size, registered.outlines, registered.registrations, photos)
    steps: dict[str, SideSteps] = {}
    for number, side in enumerate(side for side in SIDES if side in photos):
        tell(f"{name}: telling copper from laminate, {side}", 0.3 + 0.3 * number)
        steps[side] = _traced(
            photos[side].picture,
            side,
            registered.registrations[side],
            registered.outlines.get(side),
            registered.size,
            outline,
            known.cutouts,
            sides.get(side, TracedSide(side=side)),
            known.parts,
            _stated_holes(known),
        )
    tell(f"{name}: joining nets", 0.9)
    board = replace(
        known,
        outline=outline,
        thickness=thickness if thickness is not None else known.thickness,
        sides=tuple(
            traced_side(
                steps[side].pieces,
                photo=photos[side].file,
                sha256=photos[side].sha256,
                registration=steps[side].registration,
                strokes=sides[side].strokes if side in sides else (),
                blank=side in sides and sides[side].blank,
            )
            if side in steps
            else sides[side]
            for side in SIDES
            if side in steps or side in sides
        ),
    )
    if find_holes:
        board = replace(board, holes=_holes(board, steps))
    found = copper_found(board, doubts=registered.doubts, coarse=coarse_photos(board))
    board = replace(board, copper_found=found)
    return Tracing(
        board=board,
        steps=steps,
        alignment=registered.alignment,
        nets=board_nets(board),
        doubts=registered.doubts,
    )


def _stated_holes(board: Board) -> tuple[Hole, ...]:
    return tuple(hole for hole in board.holes if hole.sure >= 1.0)


def _holes(board: Board, steps: Mapping[str, SideSteps]) -> tuple[Hole, ...]:
    """Stated holes and those found afresh; a side without copper tells nothing of plating."""
    blank = [side.side for side in board.sides if side.blank]
    return holes_of_spots(
        {side: one.spots for side, one in steps.items()},
        {side: one.copper for side, one in steps.items() if side not in blank},
        known=_stated_holes(board),
        one_sided=bool(blank),
    )


def _shape(
    size: tuple[float, float],
    outlines: Mapping[str, Outline],
    registrations: Mapping[str, Registration],
    photos: Mapping[str, SidePhoto],
) -> tuple[Place, ...]:
    """The board's corners: a plain rectangle where that fits, else the contour on the photo."""
    side = FRONT if FRONT in registrations else BACK
    found = outlines.get(side)
    if found is not None and abs(found.filled - 1.0) < 0.015:
        return rectangle(*size)
    corners = found.corners if found is not None else None
    contour = np.array(shape_on_photo(photos[side].picture, registrations[side], corners=corners))
    held = np.clip(contour, 0.0, np.array(size))
    return tuple((round(float(x), 3), round(float(y), 3)) for x, y in held)


def outline_raster(
    outline: tuple[Place, ...],
    cutouts: tuple[tuple[Place, ...], ...],
    shape: tuple[int, int],
    px_per_mm: float,
) -> NDArray[np.bool_]:
    """Pixels that lie on the board.

    Parameters
    ----------
    outline, cutouts : tuple of places
        Corners of the board and of its openings [mm].
    shape : (int, int)
        Rows and columns.
    px_per_mm : float
        Raster.

    Returns
    -------
    ndarray of bool, shape (H, W)
        True on the board.
    """
    import cv2

    canvas = np.zeros(shape, np.uint8)
    for ring, value in ((outline, 1), *((cutout, 0) for cutout in cutouts)):
        points = np.round((np.array(ring) * px_per_mm - 0.5) * 16).astype(np.int32)
        cv2.fillPoly(canvas, [points], [value], cv2.LINE_8, 4)
    return canvas > 0


def _traced(
    picture: NDArray[np.uint8],
    side: str,
    registration: Registration,
    found: Outline | None,
    size: tuple[float, float],
    outline: tuple[Place, ...],
    cutouts: tuple[tuple[Place, ...], ...],
    before: TracedSide,
    parts: tuple[PlacedPart, ...],
    holes: tuple[Hole, ...],
) -> SideSteps:
    own = registration.pixels_per_mm((size[0] / 2, size[1] / 2))
    scale = float(np.clip(own, COARSEST, FINEST))
    flat = rectify(picture, registration, side=side, size=size, px_per_mm=scale, crisp=True)
    spots = find_round_spots(flat)
    on_board = outline_raster(outline, cutouts, flat.seen.shape, flat.px_per_mm) & flat.seen
    prepared = prepare_side(flat, board=on_board, spots=spots, parts=parts, holes=holes)
    copper = copper_of_prepared(prepared, before.strokes)
    if before.blank:
        copper = without_copper(copper)
    return SideSteps(
        outline=found,
        registration=registration,
        flat=flat,
        spots=spots,
        prepared=prepared,
        copper=copper,
        pieces=pieces_of(copper),
    )
