"""What a pixel of a board may be, and the strokes by which an analyst says so."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.layout import Place
from lidoff.errors import ImpossibleValue, UnknownName

__all__ = [
    "BACKGROUND",
    "BARE",
    "BODY",
    "BRIDGE",
    "CLASSES",
    "COPPER",
    "COVERED",
    "CUT",
    "HOLE",
    "LAMINATE",
    "LEGEND",
    "Stroke",
    "painted",
]

COVERED = "covered copper"
BARE = "bare copper"
LAMINATE = "laminate"
LEGEND = "legend"
BODY = "body"
HOLE = "hole"
BACKGROUND = "background"

CLASSES = (COVERED, BARE, LAMINATE, LEGEND, BODY, HOLE, BACKGROUND)

COPPER = frozenset((COVERED, BARE))
"""Classes that conduct."""

CUT = "cut"
BRIDGE = "bridge"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """One stroke of the analyst on a side.

    Parameters
    ----------
    says : str
        A class of `CLASSES`, from which the classifier learns, or "cut" or "bridge", which only change the copper there.
    points : tuple of places
        The line that was drawn [mm, board frame]; one point is a dot.
    width : float
        Width of the brush [mm].
    """

    says: str
    points: tuple[Place, ...]
    width: float = 0.3

    def __post_init__(self) -> None:
        """Refuse what could not be drawn."""
        known = (*CLASSES, CUT, BRIDGE)
        if self.says not in known:
            raise UnknownName(f"a stroke of {self.says!r}", name=self.says, known=known)
        if not self.points or self.width <= 0.0:
            raise ImpossibleValue(
                f"a stroke of {len(self.points)} points and width {self.width} mm",
                remedy="one point or more, width above zero",
            )


def painted(stroke: Stroke, shape: tuple[int, int], px_per_mm: float) -> NDArray[np.bool_]:
    """Pixels that a stroke covers; at least one pixel wide everywhere.

    Parameters
    ----------
    stroke : Stroke
        Points and width in millimetres.
    shape : (int, int)
        Rows and columns of the picture.
    px_per_mm : float
        Its resolution.

    Returns
    -------
    ndarray of bool, shape (H, W)
        True where the stroke lies.
    """
    import cv2

    canvas = np.zeros(shape, np.uint8)
    fraction = 4
    points = np.round((np.array(stroke.points) * px_per_mm - 0.5) * (1 << fraction)).astype(np.int32)
    thickness = max(1, round(stroke.width * px_per_mm))
    if len(points) == 1:
        centre = (int(points[0, 0]), int(points[0, 1]))
        cv2.circle(canvas, centre, (thickness << fraction) // 2, [1], -1, cv2.LINE_8, fraction)
        column, row = (round(v / (1 << fraction)) for v in points[0])
        if 0 <= row < shape[0] and 0 <= column < shape[1]:
            canvas[row, column] = 1
    else:
        cv2.polylines(canvas, [points], False, [1], thickness, cv2.LINE_8, fraction)
    return canvas > 0
