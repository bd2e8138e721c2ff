"""Pictures of every step of a tracing, in the order of the work."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import BACK, FRONT, SIDES
from lidoff.board.islands import doubtful_necks
from lidoff.board.layout import Place
from lidoff.board.pictures import (
    AMBER,
    BRICK,
    SLATE,
    TEAL,
    picture_of_alignment,
    picture_of_classes,
    picture_of_copper,
    picture_of_nets,
)
from lidoff.board.traced import Board
from lidoff.board.tracing import SideSteps, Tracing

__all__ = ["picture_of_parts", "pictures_of_tracing"]

_LONGEST = 2400  # longest edge of a picture to look at [pixels]


def pictures_of_tracing(tracing: Tracing) -> Mapping[str, NDArray[np.uint8]]:
    """Picture of each step by its name, such as ``front-3-copper``.

    Parameters
    ----------
    tracing : Tracing
        From `trace_board`.

    Returns
    -------
    mapping of str to ndarray of shape (H, W, 3)
        Flat side, classes, copper with doubtful necks, nets, and parts with holes, by side; then the alignment.
    """
    found: dict[str, NDArray[np.uint8]] = {}
    for side in SIDES:
        if side not in tracing.steps:
            continue
        step = tracing.steps[side]
        found |= _of_side(tracing, side, step)
    if tracing.alignment is not None:
        front, back = tracing.steps[FRONT], tracing.steps[BACK]
        found["alignment"] = _small(
            picture_of_alignment(front.flat, back.flat, tracing.alignment, front.spots[:200])
        )
    return found


def _of_side(tracing: Tracing, side: str, step: SideSteps) -> dict[str, NDArray[np.uint8]]:
    necks = doubtful_necks(step.pieces)
    return {
        f"{side}-1-flat": _small(step.flat.picture),
        f"{side}-2-classes": _small(picture_of_classes(step.copper)),
        f"{side}-3-copper": _small(picture_of_copper(step.flat, step.copper, necks)),
        f"{side}-4-nets": _small(picture_of_nets(step.flat, step.pieces, tracing.nets)),
        f"{side}-5-parts": _small(
            picture_of_parts(step.flat.picture, step.flat.px_per_mm, tracing.board, side)
        ),
    }


def picture_of_parts(
    picture: NDArray[np.uint8], px_per_mm: float, board: Board, side: str
) -> NDArray[np.uint8]:
    """Flat photo with the lands of placed parts (amber), plated holes (teal), unplated ones (slate) and doubtful ones (brick).

    Parameters
    ----------
    picture : ndarray of shape (H, W, 3)
        The flat side.
    px_per_mm : float
        Its raster.
    board : Board
        With parts and holes.
    side : str
        "front" or "back".

    Returns
    -------
    ndarray of shape (H, W, 3)
        A new picture.
    """
    import cv2

    from lidoff.board.rasters import pad_corners

    canvas = np.ascontiguousarray(picture.copy())
    thick = max(1, round(max(canvas.shape[:2]) / 700))

    def pixel(place: Place) -> tuple[int, int]:
        return round(place[0] * px_per_mm), round(place[1] * px_per_mm)

    for part in board.parts:
        lands = [pad for pad in part.pads if pad.side == side]
        for pad in lands:
            corners = np.array([pixel(corner) for corner in pad_corners(pad)], np.int32)
            cv2.polylines(canvas, [corners], True, AMBER, thick)
        if lands and part.side == side:
            at = pixel(part.at)
            size = max(0.4, 0.05 * px_per_mm * 0.6)
            cv2.putText(
                canvas, part.reference, at, cv2.FONT_HERSHEY_SIMPLEX, size, (255, 255, 255), 3 * thick
            )
            cv2.putText(canvas, part.reference, at, cv2.FONT_HERSHEY_SIMPLEX, size, (0, 0, 0), thick)
    for hole in board.holes:
        colour = BRICK if hole.sure < 0.85 else TEAL if hole.plated else SLATE
        cv2.circle(canvas, pixel(hole.at), max(2, round(hole.diameter / 2 * px_per_mm)), colour, thick)
    return canvas


def _small(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    import cv2

    longest = max(picture.shape[:2])
    if longest <= _LONGEST:
        return picture
    share = _LONGEST / longest
    return np.asarray(cv2.resize(picture, None, fx=share, fy=share, interpolation=cv2.INTER_AREA), np.uint8)
