"""Follow-copper: from one click, everything that the copper under it reaches, and the way from one place to another."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.copper import Copper
from lidoff.board.layout import Place
from lidoff.errors import ImpossibleValue

__all__ = ["Followed", "follow_copper", "way_along"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Followed:
    """What one click reached: pixels (H, W), area [mm²], and the lowest confidence passed on the way to each pixel."""

    reached: NDArray[np.bool_]
    area: float
    weakest: NDArray[np.float32]


def follow_copper(copper: Copper, click: Place, *, reach: float = 0.3) -> Followed:
    """Copper joined to a click.

    Parameters
    ----------
    copper : Copper
        Of the side.
    click : place
        Where the analyst clicked [mm].
    reach : float
        How far beside the copper the click may fall [mm].

    Returns
    -------
    Followed
        `weakest` is the best chain's weakest pixel from the click to each reached pixel (a widest path).

    Raises
    ------
    ImpossibleValue
        No copper lies within reach of the click.
    """
    from scipy import ndimage

    scale = copper.px_per_mm
    start = _nearest(copper.mask, click, scale, reach)
    labels, _ = ndimage.label(copper.mask, structure=np.ones((3, 3), bool))
    reached = labels == labels[start]
    probability = np.where(copper.fixed & copper.mask, np.float32(1.0), copper.probability)
    weakest = np.zeros(copper.mask.shape, np.float32)
    # Widest paths by falling thresholds: a pixel belongs to the highest threshold at which it still hangs on the click.
    for threshold in np.linspace(0.5, 1.0, 26):
        high, _ = ndimage.label(reached & (probability >= threshold), structure=np.ones((3, 3), bool))
        if high[start] == 0:
            break
        weakest[high == high[start]] = threshold
    weakest[reached & (weakest == 0)] = 0.5
    return Followed(reached=reached, area=float(reached.sum()) / scale**2, weakest=weakest)


def _nearest(mask: NDArray[np.bool_], place: Place, scale: float, reach: float) -> tuple[int, int]:
    row, column = int(place[1] * scale), int(place[0] * scale)
    radius = int(np.ceil(reach * scale))
    top, left = max(row - radius, 0), max(column - radius, 0)
    rows, columns = np.nonzero(mask[top : max(row + radius + 1, 0), left : max(column + radius + 1, 0)])
    if len(rows):
        distance = np.hypot(rows + top - row, columns + left - column)
        best = int(np.argmin(distance))
        if distance[best] <= radius:
            return int(rows[best] + top), int(columns[best] + left)
    raise ImpossibleValue(
        f"no copper within {reach} mm of ({place[0]:.2f}, {place[1]:.2f}) mm",
        remedy="click on copper, or paint it first",
    )


def way_along(copper: Copper, first: Place, second: Place) -> tuple[tuple[Place, ...], tuple[float, ...]]:
    """Middle line along copper from one place to another, and the copper's width at each of its places.

    Parameters
    ----------
    copper : Copper
        Of the side.
    first, second : place
        Both ends [mm].

    Returns
    -------
    tuple of places, tuple of float
        Places a pixel or so apart, and widths, all in [mm].

    Raises
    ------
    ImpossibleValue
        No copper at one of the ends, or none that joins them.
    """
    import cv2
    from skimage.graph import route_through_array

    scale = copper.px_per_mm
    a, b = _nearest(copper.mask, first, scale, 0.4), _nearest(copper.mask, second, scale, 0.4)
    inner = cv2.distanceTransform(np.pad(copper.mask.astype(np.uint8), 1), cv2.DIST_L2, 5)[1:-1, 1:-1]
    # Staying in the middle must be worth a small detour, and leaving the copper must never be.
    cost = np.where(copper.mask, 1.0 + 4.0 / np.maximum(inner, 0.5) ** 2, 1e6)
    path, total = route_through_array(cost, a, b, fully_connected=True, geometric=True)
    if total >= 1e6:
        raise ImpossibleValue(
            f"no copper joins ({first[0]:.2f}, {first[1]:.2f}) and ({second[0]:.2f}, {second[1]:.2f}) mm",
            remedy="bridge the gap by a stroke if there is copper",
        )
    array = np.array(path)
    # The distance of a pixel's centre to the nearest pixel outside counts half a pixel too much.
    widths = 2.0 * (inner[array[:, 0], array[:, 1]] - 0.5) / scale
    places = tuple(((float(c) + 0.5) / scale, (float(r) + 0.5) / scale) for r, c in array)
    return places, tuple(float(max(w, 0.5 / scale)) for w in widths)
