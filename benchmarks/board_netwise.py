"""The simulated analyst's second way of working: one stroke for each wrong join or break, so that nets come right.

It compares pieces of found copper with islands of true copper: a piece that joins islands of two nets is cut between them, an
island that lies in several pieces is bridged along the shortest way inside it. Such strokes teach the classifier nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from benchmarks.board_analyst import places_of, stroke_over
from lidoff.board import BRIDGE, CUT, Copper, Layout, Stroke, painted

EIGHT = np.ones((3, 3), bool)
BRIDGE_MM = 0.2
BESIDE_MM = 0.4
"""How far from a land's middle copper counts as its own, where none lies in the middle."""

RING_MM = 0.15
"""How wide the ring round a hole is in which `lidoff.board.board_links` looks for copper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchor:
    """A place that must hang together with others of its net: a land, or a plated hole."""

    at: tuple[float, float]
    net: str
    drill: float = 0.0
    """Diameter of its hole; zero for a land [mm]."""


def anchors_of(layout: Layout, side: str) -> list[Anchor]:
    """Lands with pins and plated holes of one side of an invented board."""
    found = [
        Anchor(at=pad.at, net=pad.net) for pad in layout.pads if pad.side == side and pad.pin and pad.net
    ]
    return found + [
        Anchor(at=hole.at, net=hole.net, drill=hole.diameter)
        for hole in layout.holes
        if hole.plated and hole.net
    ]


def net_strokes(
    copper: Copper, true: NDArray[np.bool_], anchors: Sequence[Anchor], *, limit: int
) -> tuple[list[Stroke], NDArray[np.bool_]]:
    """Strokes that part what is wrongly joined and join what is wrongly parted, and the copper under them.

    Parameters
    ----------
    copper : Copper
        As found.
    true : ndarray of shape (H, W)
        True copper at its raster.
    anchors : sequence of Anchor
        Lands and plated holes of this side.
    limit : int
        Most strokes.

    Returns
    -------
    strokes : list of Stroke
        Cuts first.
    mask : ndarray of shape (H, W)
        Copper with the strokes obeyed.
    """
    from scipy import ndimage

    shape = (min(copper.mask.shape[0], true.shape[0]), min(copper.mask.shape[1], true.shape[1]))
    mask, truth = copper.mask[: shape[0], : shape[1]].copy(), true[: shape[0], : shape[1]]
    islands, _ = ndimage.label(truth, structure=EIGHT)
    places = [(_pixel(anchor, copper.px_per_mm, islands), anchor.net) for anchor in anchors]
    nets = {int(islands[place]): net for place, net in places if islands[place] > 0}
    strokes: list[Stroke] = []
    for _ in range(3):  # a cut may leave a thread beside it
        for stroke in _cuts(mask, truth, islands, nets, copper.px_per_mm):
            if len(strokes) < limit:
                strokes.append(stroke)
                mask &= ~painted(stroke, shape, copper.px_per_mm)
    marked = {place: anchor for (place, _), anchor in zip(places, anchors, strict=True)}
    if len(strokes) < limit:
        for stroke in _bridges(mask, truth, islands, marked, copper.px_per_mm):
            strokes.append(stroke)
            mask |= painted(stroke, shape, copper.px_per_mm)
            if len(strokes) == limit:
                break
    return strokes, mask


def _pixel(anchor: Anchor, scale: float, islands: NDArray[np.integer]) -> tuple[int, int]:
    """Pixel of an anchor, moved onto the nearest copper within a hole's radius."""
    row = min(max(int(anchor.at[1] * scale), 0), islands.shape[0] - 1)
    column = min(max(int(anchor.at[0] * scale), 0), islands.shape[1] - 1)
    if islands[row, column] > 0:
        return row, column
    reach = int(0.8 * scale) + 1
    top, left = max(row - reach, 0), max(column - reach, 0)
    near = np.argwhere(islands[top : row + reach + 1, left : column + reach + 1] > 0)
    if len(near) == 0:
        return row, column
    best = near[int(np.argmin(np.hypot(near[:, 0] + top - row, near[:, 1] + left - column)))]
    return int(best[0]) + top, int(best[1]) + left


def _on_found(
    place: tuple[int, int],
    anchor: Anchor,
    number: int,
    islands: NDArray[np.integer],
    found: NDArray[np.integer],
    scale: float,
) -> tuple[int, int]:
    """The place, or the nearest of the found copper that stands for it.

    For a hole that is what holds most of its ring, as in tracing; for a land the largest of its island beside it.
    """
    if found[place] > 0 and not anchor.drill:
        return place
    reach = anchor.drill / 2.0 + RING_MM if anchor.drill else BESIDE_MM
    row, column = (anchor.at[1] * scale - 0.5, anchor.at[0] * scale - 0.5) if anchor.drill else place
    top, left = (max(int(middle - reach * scale) - 1, 0) for middle in (row, column))
    window = (slice(top, int(row + reach * scale) + 2), slice(left, int(column + reach * scale) + 2))
    own = np.where(islands[window] == number, found[window], 0)
    if anchor.drill:
        rows, columns = np.indices(own.shape)
        away = np.hypot(rows + top - row, columns + left - column)
        own = np.where((away >= 0.5 * anchor.drill * scale) & (away <= reach * scale), own, 0)
    if not np.any(own):
        return place
    near = np.argwhere(own == np.argmax(np.bincount(own[own > 0])))
    best = near[int(np.argmin(np.hypot(near[:, 0] + top - place[0], near[:, 1] + left - place[1])))]
    return int(best[0]) + top, int(best[1]) + left


def _cuts(
    mask: NDArray[np.bool_],
    truth: NDArray[np.bool_],
    islands: NDArray[np.integer],
    nets: dict[int, str],
    scale: float,
) -> Iterator[Stroke]:
    """One stroke over each false piece of copper that touches islands of different nets."""
    from scipy import ndimage

    wrong, count = ndimage.label(mask & ~truth, structure=EIGHT)
    if count == 0:
        return
    seen = np.where(mask, islands, 0)
    for number, window in enumerate(ndimage.find_objects(wrong), start=1):
        rows = slice(max(window[0].start - 2, 0), window[0].stop + 2)
        columns = slice(max(window[1].start - 2, 0), window[1].stop + 2)
        own = wrong[rows, columns] == number
        touched = np.unique(seen[rows, columns][ndimage.binary_dilation(own, structure=EIGHT)])
        joined = {nets[int(one)] for one in touched if int(one) in nets}
        if len(joined) < 2:
            continue
        # Only the part between the islands matters: what lies near two of them.
        near = _between(own, seen[rows, columns], nets)
        yield stroke_over(near, rows, columns, scale, CUT)


def _between(own: NDArray[np.bool_], seen: NDArray[np.integer], nets: dict[int, str]) -> NDArray[np.bool_]:
    """Part of a false piece that lies about midway between its two nearest nets."""
    from scipy import ndimage

    numbers = [int(one) for one in np.unique(seen) if int(one) in nets]
    distance = {
        net: ndimage.distance_transform_edt(~np.isin(seen, [n for n in numbers if nets[n] == net]))
        for net in {nets[n] for n in numbers}
    }
    ranked = np.sort(np.stack(list(distance.values())), axis=0)
    middle = own & (ranked[1] <= ranked[0] + 2.5)
    return middle if middle.any() else own


def _bridges(
    mask: NDArray[np.bool_],
    truth: NDArray[np.bool_],
    islands: NDArray[np.integer],
    marked: Mapping[tuple[int, int], Anchor],
    scale: float,
) -> Iterator[Stroke]:
    """One stroke for each two anchors of one island that found copper leaves apart."""
    import cv2
    from scipy import ndimage
    from skimage.graph import route_through_array

    found, _ = ndimage.label(mask & truth, structure=EIGHT)
    windows = ndimage.find_objects(islands)
    by_island: dict[int, list[tuple[int, int]]] = {}
    for place in marked:
        if islands[place] > 0:
            by_island.setdefault(int(islands[place]), []).append(place)
    for number, own in by_island.items():
        window = windows[number - 1]
        corner = np.array([window[0].start, window[1].start])
        inside = islands[window] == number
        # Along the middle of the island: a bridge along its edge would reach over to its neighbour.
        middle = ndimage.distance_transform_edt(np.pad(inside, 1))[1:-1, 1:-1]
        cost = np.where(
            inside, np.where(mask[window], 0.02, 1.0) * (1.0 + 4.0 / np.maximum(middle, 1.0)), 1e4
        )
        own = [_on_found(place, marked[place], number, islands, found, scale) for place in own]
        joined = {int(found[own[0]])}
        for place in own[1:]:
            if int(found[place]) in joined and found[place] > 0:
                continue
            start, end = np.array(own[0]) - corner, np.array(place) - corner
            path, _ = route_through_array(cost, tuple(start), tuple(end), fully_connected=True)
            line = np.array(path)
            gaps = ~mask[window][line[:, 0], line[:, 1]]
            joined |= {int(found[window][row, column]) for row, column in path} | {int(found[place])}
            if gaps.any():
                # One stroke along the way, from before its first gap to behind its last.
                first, last = np.flatnonzero(gaps)[[0, -1]]
                part = line[max(first - 3, 0) : last + 4] + corner
                # A person clicks where the way bends.
                bends = cv2.approxPolyDP(part.astype(np.int32)[:, None], 1.0, False)[:, 0]
                yield Stroke(says=BRIDGE, points=places_of(bends, scale), width=BRIDGE_MM)
                cost[part[:, 0] - corner[0], part[:, 1] - corner[1]] = 0.02
