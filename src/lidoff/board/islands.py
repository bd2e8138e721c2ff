"""Copper as pieces that surely hang together, the doubtful joins between them, and islands as polygons.

A piece is copper that stays whole when only the sure pixels count. Where two pieces touch through pixels that are less
sure, there is a join with a probability: above one half it is taken for made, below for open, and near one half it is a
doubtful neck that the analyst is asked to check.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lidoff.board.copper import Copper
from lidoff.board.layout import Place

if TYPE_CHECKING:
    from shapely.geometry import Polygon

__all__ = [
    "Island",
    "Join",
    "Pieces",
    "doubtful_necks",
    "island_polygons",
    "piece_polygons",
    "pieces_from_polygons",
    "pieces_of",
]

SURE = 0.8
"""Probability from which a pixel counts as sure copper, and below one minus which as surely none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Join:
    """Two pieces of one side that touch or nearly so.

    Parameters
    ----------
    side : str
        "front" or "back".
    first, second : int
        Numbers of the pieces.
    probability : float
        That they are joined: the best way's weakest pixel.
    at : place
        Where that pixel is [mm].
    stated : bool
        Whether a stroke of the analyst decides it.
    """

    side: str
    first: int
    second: int
    probability: float
    at: Place
    stated: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """Pieces of one side: `labels` (H, W) holds their numbers from 1 and 0 for no copper; `joins` what lies between."""

    side: str
    px_per_mm: float
    labels: NDArray[np.int32]
    count: int
    joins: tuple[Join, ...]
    areas: tuple[float, ...]
    places: tuple[Place, ...]

    def at(self, place: Place) -> int:
        """Number of the piece at a place, 0 for none."""
        row, column = int(place[1] * self.px_per_mm), int(place[0] * self.px_per_mm)
        if 0 <= row < self.labels.shape[0] and 0 <= column < self.labels.shape[1]:
            return int(self.labels[row, column])
        return 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Island:
    """Connected copper of one side as a polygon in [mm]: the shell, and the openings in it."""

    side: str
    number: int
    shell: tuple[Place, ...]
    openings: tuple[tuple[Place, ...], ...]
    area: float
    pieces: tuple[int, ...] = ()

    def polygon(self) -> Polygon:
        """The island as a shapely polygon."""
        from shapely.geometry import Polygon

        return Polygon(self.shell, self.openings)


def pieces_of(copper: Copper, *, smallest: float = 0.03) -> Pieces:
    """Cut copper into sure pieces and the joins between them.

    Parameters
    ----------
    copper : Copper
        Probability and mask of a side.
    smallest : float
        Pieces of less area are dropped where nothing joins them [mm²].

    Returns
    -------
    Pieces
        Every pixel of the mask belongs to a piece, but for specks.
    """
    from scipy import ndimage
    from skimage.segmentation import watershed

    scale = copper.px_per_mm
    probability = np.where(copper.fixed, np.where(copper.mask, 1.0, 0.0), copper.probability).astype(
        np.float32
    )
    # A mask that strokes changed rules over the probability on either side of one half.
    probability = np.where(copper.mask, np.maximum(probability, 0.501), np.minimum(probability, 0.499))
    eight = np.ones((3, 3), bool)
    sure, count = ndimage.label(probability > SURE, structure=eight)
    area = np.bincount(sure.ravel(), minlength=count + 1)
    keep = area >= max(smallest * scale**2, 3)
    keep[0] = False
    renumber = np.cumsum(keep) * keep
    seeds = renumber[sure].astype(np.int32)
    # Islands without one sure pixel are pieces as well, only doubtful ones.
    islands, island_count = ndimage.label(copper.mask, structure=eight)
    has_seed = np.zeros(island_count + 1, bool)
    has_seed[np.unique(islands[seeds > 0])] = True
    island_area = np.bincount(islands.ravel(), minlength=island_count + 1)
    lonely = ~has_seed & (island_area >= max(smallest * scale**2, 4))
    lonely[0] = False
    extra = np.cumsum(lonely) * lonely
    number = int(renumber.max(initial=0))
    seeds = np.where((seeds == 0) & lonely[islands], number + extra[islands], seeds).astype(np.int32)
    possible = probability > 1.0 - SURE
    flooded = watershed(1.0 - probability, seeds, mask=possible | (seeds > 0), connectivity=2)
    joins = _joins(copper, flooded, probability)
    labels = np.where(copper.mask, flooded, 0).astype(np.int32)
    total = int(seeds.max(initial=0))
    areas = np.bincount(labels.ravel(), minlength=total + 1)[1:] / scale**2
    places = _inner_places(labels, total, scale)
    return Pieces(
        side=copper.side,
        px_per_mm=scale,
        labels=labels,
        count=total,
        joins=joins,
        areas=tuple(float(value) for value in areas),
        places=places,
    )


def _joins(copper: Copper, flooded: NDArray[np.int32], probability: NDArray[np.float32]) -> tuple[Join, ...]:
    """Best way over each border of two pieces."""
    height, width = flooded.shape
    best: dict[tuple[int, int], tuple[float, int, int]] = {}
    for dy, dx in ((0, 1), (1, 0), (1, 1), (1, -1)):
        rows = slice(0, height - dy)
        below = slice(dy, height)
        left = slice(max(-dx, 0), width - max(dx, 0))
        right = slice(max(dx, 0), width - max(-dx, 0))
        one, other = flooded[rows, left], flooded[below, right]
        y, x = np.nonzero((one != other) & (one > 0) & (other > 0))
        if len(y) == 0:
            continue
        a, b = one[y, x], other[y, x]
        weakest = np.minimum(probability[rows, left][y, x], probability[below, right][y, x])
        low, high = np.minimum(a, b), np.maximum(a, b)
        key = low.astype(np.int64) * (int(flooded.max()) + 1) + high
        order = np.lexsort((-weakest, key))
        first = np.concatenate([[True], np.diff(key[order]) > 0])
        for index in order[first]:
            pair = (int(low[index]), int(high[index]))
            value = (float(weakest[index]), int(y[index]) + rows.start, int(x[index]) + left.start)
            if pair not in best or value[0] > best[pair][0]:
                best[pair] = value
    scale = copper.px_per_mm
    return tuple(
        Join(
            side=copper.side,
            first=pair[0],
            second=pair[1],
            probability=value,
            at=((column + 0.5) / scale, (row + 0.5) / scale),
            stated=bool(copper.fixed[row, column]),
        )
        for pair, (value, row, column) in sorted(best.items())
    )


def _inner_places(labels: NDArray[np.int32], count: int, scale: float) -> tuple[Place, ...]:
    """A place well inside each piece, for a label or a probe."""
    import cv2
    from scipy import ndimage

    if count == 0:
        return ()
    inner = cv2.distanceTransform((labels > 0).astype(np.uint8), cv2.DIST_L2, 3)
    found = ndimage.maximum_position(inner, labels, np.arange(1, count + 1))
    return tuple(((float(column) + 0.5) / scale, (float(row) + 0.5) / scale) for row, column in found)


def doubtful_necks(pieces: Pieces, *, margin: float = 0.25) -> tuple[Join, ...]:
    """Joins near one half, most doubtful first: the places marked "check here".

    Parameters
    ----------
    pieces : Pieces
        Pieces of copper with the joins between them.
    margin : float
        How far from one half a probability still counts as doubtful.

    Returns
    -------
    tuple of Join
        Those that the analyst has not stated.
    """
    doubtful = [join for join in pieces.joins if abs(join.probability - 0.5) < margin and not join.stated]
    return tuple(sorted(doubtful, key=lambda join: (abs(join.probability - 0.5), join.first, join.second)))


def island_polygons(pieces: Pieces, *, smallest: float = 0.03) -> tuple[Island, ...]:
    """Islands of a side as polygons, simplified within half a pixel.

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
    found = [
        item
        for item in _traced(pieces.labels > 0, pieces.labels, pieces.px_per_mm)
        if item[0].area >= smallest
    ]
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

    found = []
    for number, window in enumerate(ndimage.find_objects(pieces.labels), start=1):
        if window is None:
            continue
        own = pieces.labels[window] == number
        offset = (window[1].start / pieces.px_per_mm, window[0].start / pieces.px_per_mm)
        for polygon, _ in _traced(own, own.astype(np.int32), pieces.px_per_mm, offset):
            found.append(_island(pieces.side, number, polygon, (number,)))
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
        # Openings are drawn as such, so that a piece within another's opening is not painted over.
        low = np.floor(np.min(item.shell, axis=0) * px_per_mm).astype(int) - 1
        high = np.ceil(np.max(item.shell, axis=0) * px_per_mm).astype(int) + 2
        # The polygon filler takes in every pixel that the rim touches: drawn finer and averaged, that hardly matters.
        fine = 4 if int(np.prod(high - low)) < 4_000_000 else 2
        canvas = np.zeros(((high[1] - low[1]) * fine, (high[0] - low[0]) * fine), np.uint8)
        rings = [
            np.round(((np.array(ring) * px_per_mm - low) * fine - 0.5) * 16).astype(np.int32)
            for ring in (item.shell, *item.openings)
        ]
        cv2.fillPoly(canvas, rings, [1], cv2.LINE_8, 4)
        blocks = canvas.reshape(high[1] - low[1], fine, high[0] - low[0], fine)
        inside = blocks.mean(axis=(1, 3), dtype=np.float32) > 0.5
        top, left = max(low[1], 0), max(low[0], 0)
        part = inside[top - low[1] : shape[0] - low[1], left - low[0] : shape[1] - low[0]]
        view = labels[top : top + part.shape[0], left : left + part.shape[1]]
        view[part] = item.number
    count = max((item.number for item in polygons), default=0)
    areas = np.bincount(labels.ravel(), minlength=count + 1)[1:] / px_per_mm**2
    return Pieces(
        side=side,
        px_per_mm=px_per_mm,
        labels=labels,
        count=count,
        joins=tuple(joins),
        areas=tuple(float(value) for value in areas),
        places=_inner_places(labels, count, px_per_mm),
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


def _traced(
    mask: NDArray[np.bool_], labels: NDArray[np.int32], scale: float, offset: tuple[float, float] = (0.0, 0.0)
) -> list[tuple[Polygon, tuple[int, ...]]]:
    """Polygons of a mask, simplified within half a pixel, with the labels along their rim."""
    import cv2
    from shapely.affinity import translate
    from shapely.geometry import Polygon

    # On a doubled raster the traced pixel centres lie a quarter pixel inside the copper's edge; half of the tolerance is left.
    doubled = np.repeat(np.repeat(mask.astype(np.uint8), 2, axis=0), 2, axis=1)
    contours, tree = cv2.findContours(np.pad(doubled, 2), cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    found: list[tuple[Polygon, tuple[int, ...]]] = []
    for index, contour in enumerate(contours):
        if tree[0][index][3] >= 0 or len(contour) < 4:
            continue
        openings = []
        child = int(tree[0][index][2])
        while child >= 0:
            if len(contours[child]) >= 4:
                openings.append(_millimetres(contours[child], scale))
            child = int(tree[0][child][0])
        polygon = Polygon(_millimetres(contour, scale), openings)
        polygon = polygon.buffer(0.25 / scale, join_style="mitre").simplify(0.25 / scale)
        if not polygon.is_valid:
            polygon = polygon.buffer(0)
        inside = contour[:, 0, :] // 2 - 1
        touched = np.unique(
            labels[
                np.clip(inside[:, 1], 0, labels.shape[0] - 1), np.clip(inside[:, 0], 0, labels.shape[1] - 1)
            ]
        )
        numbers = tuple(int(value) for value in touched if value > 0)
        parts = getattr(polygon, "geoms", (polygon,))
        found.extend((translate(part, *offset), numbers) for part in parts if not part.is_empty)
    return found


def _millimetres(contour: NDArray[np.int32], scale: float) -> NDArray[np.float64]:
    return (contour[:, 0, :].astype(float) - 2 + 0.5) / (2 * scale)


def _places(coordinates: object) -> tuple[Place, ...]:
    points = np.asarray(coordinates, dtype=float)[:-1]
    return tuple((float(x), float(y)) for x, y in points)
