"""Pieces of copper as polygons, with edges to a fraction of a pixel, and pieces drawn from stored polygons."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lidoff.board.islands import Island, Join, Pieces, inner_places
from lidoff.board.layout import Place

if TYPE_CHECKING:
    from shapely.geometry import Polygon

__all__ = ["island_polygons", "piece_polygons", "pieces_from_polygons"]

_TOLERANCE = 0.1  # how far a simplified edge may lie from the one found [pixels]
_THIN = 0.75  # probability given to lines of one pixel, so that they keep the width of one
_SPECK = 0.3  # least area of a polygon [pixels]


def island_polygons(pieces: Pieces, *, smallest: float = 0.03) -> tuple[Island, ...]:
    """Islands of a side as polygons.

    Parameters
    ----------
    pieces : Pieces
        Of the side.
    smallest : float
        Islands of less area are specks and left out [mm²].

    Returns
    -------
    tuple of Island
        Numbered from 1 by falling area.
    """
    scale = pieces.px_per_mm
    found = []
    for polygon in _outlined(pieces.labels > 0, np.zeros_like(pieces.labels, bool), pieces.level, scale):
        if polygon.area >= smallest:
            rim = np.array(polygon.exterior.coords) * scale - 0.5
            near = [
                tuple(
                    np.clip(way(rim[:, axis]).astype(int), 0, pieces.labels.shape[1 - axis] - 1)
                    for axis in (1, 0)
                )
                for way in (np.floor, np.ceil)
            ]
            touched = np.unique([pieces.labels[place] for place in near])
            found.append((polygon, tuple(int(value) for value in touched if value > 0)))
    found.sort(key=lambda item: (-item[0].area, item[0].bounds))
    return tuple(
        _island(pieces.side, number + 1, polygon, touched) for number, (polygon, touched) in enumerate(found)
    )


def piece_polygons(pieces: Pieces) -> tuple[Island, ...]:
    """Every piece as polygons, under its own number; a piece in several parts appears once for each.

    Parameters
    ----------
    pieces : Pieces
        Of the side.

    Returns
    -------
    tuple of Island
        By number. `pieces_from_polygons` makes pieces of them again.
    """
    from scipy import ndimage

    found: list[Island] = []
    for number, window in enumerate(ndimage.find_objects(pieces.labels), start=1):
        if window is None:
            continue
        # The pixels round a piece tell where between them and it the edge runs.
        rows, columns = (slice(max(part.start - 1, 0), part.stop + 1) for part in window)
        labels = pieces.labels[rows, columns]
        level = None if pieces.level is None else pieces.level[rows, columns]
        own = labels == number
        offset = (columns.start / pieces.px_per_mm, rows.start / pieces.px_per_mm)
        shapes = _outlined(own, (labels > 0) & ~own, level, pieces.px_per_mm, offset)
        found.extend(_island(pieces.side, number, polygon, (number,)) for polygon in shapes)
    return tuple(found)


def pieces_from_polygons(
    side: str,
    polygons: Sequence[Island],
    joins: Sequence[Join],
    *,
    px_per_mm: float,
    size: tuple[float, float],
) -> Pieces:
    """Pieces as drawn from stored polygons.

    Parameters
    ----------
    side : str
        "front" or "back".
    polygons : sequence of Island
        Each under the number of its piece.
    joins : sequence of Join
        Between the pieces.
    px_per_mm : float
        Raster.
    size : tuple of float
        Width and height of the board frame [mm].

    Returns
    -------
    Pieces
        Of the same numbers.
    """
    import cv2

    shape = (max(round(size[1] * px_per_mm), 1), max(round(size[0] * px_per_mm), 1))
    labels = np.zeros(shape, np.int32)
    for item in sorted(polygons, key=lambda island: -island.area):
        # Copper beside the board is no part of the raster, however far out it lies.
        low = np.maximum(np.floor(np.min(item.shell, axis=0) * px_per_mm).astype(int) - 1, 0)
        high = np.minimum(np.ceil(np.max(item.shell, axis=0) * px_per_mm).astype(int) + 2, shape[::-1])
        if np.any(high <= low):
            continue
        # The polygon filler takes in every pixel that the rim touches: drawn finer and averaged, that hardly matters.
        fine = 4 if int(np.prod(high - low)) < 4_000_000 else 2
        canvas = np.zeros(((high[1] - low[1]) * fine, (high[0] - low[0]) * fine), np.uint8)
        # Openings are drawn as such, so that a piece within another's opening is not painted over.
        rings = [
            np.round(((np.array(ring) * px_per_mm - low) * fine - 0.5) * 16).astype(np.int32)
            for ring in (item.shell, *item.openings)
        ]
        cv2.fillPoly(canvas, rings, [1], cv2.LINE_8, 4)
        blocks = canvas.reshape(high[1] - low[1], fine, high[0] - low[0], fine)
        inside = blocks.mean(axis=(1, 3), dtype=np.float32) > 0.5
        labels[low[1] : high[1], low[0] : high[0]][inside] = item.number
    count = max((item.number for item in polygons), default=0)
    areas = np.bincount(labels.ravel(), minlength=count + 1)[1:] / px_per_mm**2
    return Pieces(
        side=side,
        px_per_mm=px_per_mm,
        labels=labels,
        count=count,
        joins=tuple(joins),
        areas=tuple(float(value) for value in areas),
        places=inner_places(labels, count, px_per_mm),
    )


def _island(side: str, number: int, polygon: Polygon, touched: tuple[int, ...]) -> Island:
    return Island(
        side=side,
        number=number,
        shell=_places(polygon.exterior.coords),
        openings=tuple(_places(ring.coords) for ring in polygon.interiors),
        area=float(polygon.area),
        pieces=touched,
    )


def _outlined(
    own: NDArray[np.bool_],
    others: NDArray[np.bool_],
    level: NDArray[np.float32] | None,
    scale: float,
    offset: tuple[float, float] = (0.0, 0.0),
) -> list[Polygon]:
    """Polygons where the level of one's own pixels falls to one half.

    On the raster itself the shortest way across a gap would run from one step of a slanted edge to another, and be told too
    short by up to a pixel.
    """
    from shapely.geometry import Polygon
    from skimage.measure import find_contours

    field = _own_level(own, others, level)
    rings = [line for line in find_contours(np.pad(field, 1), 0.5, fully_connected="high") if len(line) > 3]
    # Rows and columns of the padded raster; a pixel's centre lies half a pixel in.
    rings = [(line[:, ::-1] - 0.5) / scale + offset for line in rings]
    shells = [(Polygon(ring), ring) for ring in rings if _turn(ring) > 0.0]
    openings = [ring for ring in rings if _turn(ring) < 0.0]
    inside: list[list[NDArray[np.float64]]] = [[] for _ in shells]
    for ring in openings:
        around = [n for n, (shell, _) in enumerate(shells) if _holds(shell, ring)]
        if around:
            inside[min(around, key=lambda n: shells[n][0].area)].append(ring)
    found: list[Polygon] = []
    for (_, shell), holes in zip(shells, inside, strict=True):
        polygon = Polygon(shell, holes).simplify(_TOLERANCE / scale)
        if not polygon.is_valid:
            polygon = polygon.buffer(0)
        parts = getattr(polygon, "geoms", (polygon,))
        found.extend(part for part in parts if part.area >= _SPECK / scale**2)
    return found


def _own_level(
    own: NDArray[np.bool_], others: NDArray[np.bool_], level: NDArray[np.float32] | None
) -> NDArray[np.float64]:
    """Above one half on one's own pixels alone; towards another piece the edge lies between the two."""
    import cv2

    if level is None:
        return own.astype(np.float64)
    square = np.ones((2, 2), np.uint8)
    # An even window has no middle: what erodes to its lower right corner must grow from its upper left one.
    broad = cv2.erode(own.astype(np.uint8), square, anchor=(0, 0), borderValue=0)
    thin = own & (cv2.dilate(broad, square, anchor=(1, 1)) == 0)
    inner = np.maximum(level, np.where(thin, _THIN, 0.501))
    outer = np.where(others, 1.0 - np.maximum(level, 0.501), np.minimum(level, 0.499))
    return np.asarray(np.where(own, inner, outer), np.float64)


def _turn(ring: NDArray[np.float64]) -> float:
    """Twice the area of a closed ring, positive round what is above one half, as contours are found."""
    x, y = ring[:, 0], ring[:, 1]
    return float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))


def _holds(shell: Polygon, ring: NDArray[np.float64]) -> bool:
    from shapely.geometry import Point

    left, top, right, bottom = shell.bounds
    x, y = ring[0]
    return bool(left <= x <= right and top <= y <= bottom and shell.contains(Point(x, y)))


def _places(coordinates: object) -> tuple[Place, ...]:
    points = np.asarray(coordinates, dtype=float)[:-1]
    return tuple((float(x), float(y)) for x, y in points)
