"""Copper as pieces that surely hang together, and the doubtful joins between them; `polygons` tells their shapes.

A piece is copper that stays whole when only the sure pixels count. Where two pieces touch through pixels that are less
sure, there is a join with a probability: above one half it is taken for made, below for open, and near one half it is a
doubtful neck that the analyst is asked to check.
"""

from __future__ import annotations

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
    "inner_places",
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
    """Pieces of one side.

    Parameters
    ----------
    side : str
        "front" or "back".
    px_per_mm : float
        Raster.
    labels : ndarray of shape (H, W)
        Numbers of the pieces from 1, and 0 for no copper.
    count : int
        Of pieces.
    joins : tuple of Join
        What lies between them.
    areas : tuple of float
        By number [mm²].
    places : tuple of place
        One well inside each [mm].
    level : ndarray of shape (H, W), optional
        Probability of copper, above one half where there is a piece: it tells edges to a fraction of a pixel.
    edge_uncertainty : float, optional
        Standard uncertainty of an edge's place [mm].
    """

    side: str
    px_per_mm: float
    labels: NDArray[np.int32]
    count: int
    joins: tuple[Join, ...]
    areas: tuple[float, ...]
    places: tuple[Place, ...]
    level: NDArray[np.float32] | None = None
    edge_uncertainty: float | None = None

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
    places = inner_places(labels, total, scale)
    return Pieces(
        side=copper.side,
        px_per_mm=scale,
        labels=labels,
        count=total,
        joins=joins,
        areas=tuple(float(value) for value in areas),
        places=places,
        level=probability,
        edge_uncertainty=copper.edge_uncertainty,
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


def inner_places(labels: NDArray[np.int32], count: int, scale: float) -> tuple[Place, ...]:
    """Tell a place well inside each piece, for a label or a probe.

    Parameters
    ----------
    labels : ndarray of shape (H, W)
        Numbers of the pieces.
    count : int
        Of pieces.
    scale : float
        Raster [pixels/mm].

    Returns
    -------
    tuple of place
        By number [mm].
    """
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
