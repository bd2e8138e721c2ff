"""Photos in which the thinnest tracks are only a few pixels wide: told, since no stroke makes up for them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidoff.board.traced import Board, TracedSide

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

__all__ = ["coarse_photos", "thin_share"]

_ENOUGH = (
    4.0  # pixels of the photo across a track from which on copper comes out well; see docs/accuracy-board.md
)
_WELL = 8  # and best [pixels]
_WIDEST = 1.2  # what is wider is no track [mm]
_PART = 0.35  # share of the area of tracks that makes up thin ones
_STRETCH = 1.0  # shortest stretch of a track; what is shorter is a corner or a neck [mm]
_SIMPLER = 0.02  # by how much outlines are simplified first [mm]


def thin_share(side: TracedSide, width: float) -> float:
    """How much of the tracks of one side is narrower than some width.

    Parameters
    ----------
    side : TracedSide
        With its copper as polygons.
    width : float
        [mm]

    Returns
    -------
    float
        By area, zero to one; zero where there are no tracks.

    Notes
    -----
    Copper opened by a disc lacks what is narrower than the disc [1]_. Tracks are what is narrower than 1.2 mm, in stretches of
    1 mm and more.

    References
    ----------
    .. [1] J. Serra, *Image Analysis and Mathematical Morphology*, Academic Press (1982).
    """
    every = [island.polygon().buffer(0).simplify(_SIMPLER) for island in side.copper]
    tracks = sum(_narrower(polygon, _WIDEST) for polygon in every)
    return sum(_narrower(polygon, width) for polygon in every) / tracks if tracks > 0.0 else 0.0


def _narrower(polygon: BaseGeometry, width: float) -> float:
    """Area of what is narrower than a width, and longer than a stretch [mm²]."""
    from shapely import get_parts

    broad = polygon.buffer(-width / 2).buffer(width / 2 + 1e-3)
    areas = [float(part.area) for part in get_parts(polygon.difference(broad))]
    return sum(area for area in areas if area > _STRETCH * width / 2)


def coarse_photos(board: Board) -> tuple[str, ...]:
    """Lines on photos that show the thinnest tracks too small.

    Parameters
    ----------
    board : Board
        Traced board.

    Returns
    -------
    tuple of str
        One for each such side.
    """
    lines = []
    middle = (board.size[0] / 2, board.size[1] / 2)
    for side in board.sides:
        if side.registration is None or not side.copper:
            continue
        own = side.registration.pixels_per_mm(middle)
        if thin_share(side, _ENOUGH / own) >= _PART:
            lines.append(
                f"tracks on the {side.side} are less than {_ENOUGH:.0f} pixels wide in its photo: "
                f"take it from closer, or as close-ups, so that they are {_WELL} and more"
            )
    return tuple(lines)
