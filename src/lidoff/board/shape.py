"""The shape of a board on its photo: contour to a fraction of a pixel, and openings, for boards of any form."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import Points, Registration
from lidoff.board.layout import Place
from lidoff.board.outline import board_mask, refined_contour

__all__ = ["shape_on_photo"]

TOLERANCE = 0.06
"""Largest deviation of the simplified contour [mm]."""


def shape_on_photo(
    photo: NDArray[np.uint8], registration: Registration, *, corners: Points | None = None
) -> tuple[Place, ...]:
    """Outline of a board of any form, in the board frame.

    Parameters
    ----------
    photo : ndarray of shape (H, W, 3)
        Upright photo.
    registration : Registration
        How it shows the board.
    corners : ndarray of shape (4, 2), optional
        Four corners that enclose the board [pixels]; without them the middle of the photo is taken for board.

    Returns
    -------
    tuple of place
        Corners [mm], simplified within `TOLERANCE`.

    Raises
    ------
    ImpossibleValue
        No board stands out from the table.
    """
    import cv2
    from shapely.geometry import Polygon

    mask = board_mask(photo, corners).astype(np.uint8)
    contours, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    contour = max(contours, key=cv2.contourArea)[:, 0, :].astype(np.float64)
    scale = photo.shape[1] / mask.shape[1]
    fine = refined_contour(photo, (contour + 0.5) * scale - 0.5, reach=3.0 * scale)
    polygon = Polygon(registration.to_board(fine)).buffer(0).simplify(TOLERANCE)
    if polygon.geom_type != "Polygon":
        polygon = max(polygon.geoms, key=lambda part: part.area)
    return tuple((float(x), float(y)) for x, y in polygon.exterior.coords[:-1])
