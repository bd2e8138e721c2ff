"""Copper beneath print and bodies: assumed only where it is seen on both sides, straight across what hides it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["seen_through", "without_slits"]

LONGEST_MM = 0.7
"""Longest way beneath something opaque over which copper is carried on [mm]: print is narrower, bodies are wider."""

_AXES = ((1, 0), (0, 1), (1, 1), (1, -1))
_PERPENDICULAR = np.array([1, 0, 3, 2])  # number of the axis at a right angle to each
_NARROW, _SLANTED = (
    1.3,
    1.5,
)  # longest way against the shortest, and beneath printed lines, which tracks cross at a slant too
_LOOKED_AT = 3  # visible pixels beyond the hidden ones whose copper is averaged
_ONWARD_MM = 0.7  # how far copper is followed beyond print, to tell which way its track goes [mm]
_LENGTHWISE = 0.6  # least run of copper along a slant against its run at a right angle to it


def seen_through(
    copper: NDArray[np.float32],
    hidden: NDArray[np.float32],
    px_per_mm: float,
    *,
    ink: NDArray[np.float32] | None = None,
) -> NDArray[np.float32]:
    """Copper with what is hidden carried on from both sides.

    Copper on one side alone proves nothing: a printed line beside a row of lands would join them all. Nor does copper above
    and below on a printed line: only the axis on which the print is narrowest leads across it.

    Parameters
    ----------
    copper : ndarray of shape (H, W)
        Probability of copper as seen.
    hidden : ndarray of shape (H, W)
        Probability that print or a body hides the pixel.
    px_per_mm : float
        Raster.
    ink : ndarray of shape (H, W), optional
        Probability of print; beneath its lines tracks go on at a slant as well. None for none.

    Returns
    -------
    ndarray of shape (H, W)
        The same where nothing hides it.
    """
    import cv2

    # Pixels half covered by print are no clearer than the print itself.
    spread = cv2.dilate(hidden, np.ones((3, 3), np.uint8))
    opaque = spread > 0.3
    rows, columns = np.nonzero(opaque)
    if rows.size == 0:
        return copper
    longest = max(3, round(LONGEST_MM * px_per_mm))
    runs = np.full((len(_AXES), rows.size), np.inf, np.float32)
    shares = np.zeros((len(_AXES), rows.size), np.float32)
    slants = np.ones((len(_AXES), rows.size), bool)
    for number, (dx, dy) in enumerate(_AXES):
        length = np.hypot(dx, dy)
        there, ahead = _first_seen(copper, opaque, rows, columns, dx, dy, longest)
        back, behind = _first_seen(copper, opaque, rows, columns, -dx, -dy, longest)
        run = (there + back) * length
        runs[number] = np.where(run <= longest, run, np.inf)
        shares[number] = np.minimum(ahead, behind)
        if number > 1:
            lengthwise = _lengthwise(copper, opaque, (rows, columns), (dx, dy), (there, back), px_per_mm)
            slants[number] = lengthwise
    narrowest = runs.min(axis=0)
    # At a slant two tracks that lie on either side of a printed line would be joined across their own width.
    runs = np.where(slants | (runs <= _NARROW * narrowest), runs, np.inf)
    if ink is None:
        slanted = np.zeros(rows.size, bool)
    else:
        # A printed line hides more along itself than anyone looks through; a letter does not.
        along = runs[_PERPENDICULAR[np.argmin(runs, axis=0)], np.arange(rows.size)]
        slanted = ~np.isfinite(along) & (cv2.dilate(ink, np.ones((3, 3), np.uint8))[rows, columns] > 0.3)
    across = runs <= np.where(slanted, _SLANTED, _NARROW) * narrowest
    across &= np.isfinite(runs)
    best = np.where(across, shares, 0.0).max(axis=0)
    share = np.clip(1.5 * spread[rows, columns], 0.0, 1.0)
    carried = copper.copy()
    carried[rows, columns] = copper[rows, columns] * (1.0 - share) + 0.9 * best * share
    # Beside print, copper that goes on in the open needs no witness beyond the print.
    rim = opaque & (hidden <= 0.3)
    beside = cv2.dilate(np.where(opaque, np.float32(0.0), copper), np.ones((3, 3), np.uint8))
    return np.where(rim, np.maximum(carried, np.minimum(copper, beside)), carried)


NARROWEST_GAP_MM = 0.1
"""Narrowest gap that board houses etch [mm]; common practice, no source."""

_CLOSED = 0.6  # probability given to a slit


def without_slits(
    copper: NDArray[np.float32], beside: NDArray[np.float32], px_per_mm: float
) -> NDArray[np.float32]:
    """Copper with slits of one pixel closed along print, bodies and lands, whose blur looks like a seam of laminate.

    Parameters
    ----------
    copper : ndarray of shape (H, W)
        Probability of copper.
    beside : ndarray of shape (H, W)
        Probability of print, a body or bare copper.
    px_per_mm : float
        Raster; on a coarse one a pixel is as wide as a true gap, and nothing is closed.

    Returns
    -------
    ndarray of shape (H, W)
        The same but for slits.
    """
    import cv2

    if 1.5 / px_per_mm > NARROWEST_GAP_MM:
        return copper
    made = np.pad(copper > 0.5, 1)
    across = (made[1:-1, :-2] & made[1:-1, 2:]) | (made[:-2, 1:-1] & made[2:, 1:-1])
    near = cv2.dilate((beside > 0.3).astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    return np.where(across & near, np.maximum(copper, np.float32(_CLOSED)), copper)


def _lengthwise(
    copper: NDArray[np.float32],
    opaque: NDArray[np.bool_],
    places: tuple[NDArray[np.int64], NDArray[np.int64]],
    axis: tuple[int, int],
    seen_after: tuple[NDArray[np.float32], NDArray[np.float32]],
    px_per_mm: float,
) -> NDArray[np.bool_]:
    """Whether copper goes on along an axis beyond both ends of what hides it, and is not crossed by it."""
    (rows, columns), (dx, dy) = places, axis
    clear = (copper > 0.5) & ~opaque
    most = round(_ONWARD_MM * px_per_mm / np.hypot(dx, dy))
    found = np.ones(rows.size, bool)
    for way, after in ((1, seen_after[0]), (-1, seen_after[1])):
        start = np.where(np.isfinite(after), after, 0).astype(int)
        y, x = rows + way * start * dy, columns + way * start * dx
        along = _run(clear, y, x, way * dy, way * dx, most)
        y, x = y + way * (_LOOKED_AT - 1) * dy, x + way * (_LOOKED_AT - 1) * dx
        across = _run(clear, y, x, dx, -dy, most) + _run(clear, y, x, -dx, dy, most)
        found &= along >= _LENGTHWISE * across
    return found


def _run(
    clear: NDArray[np.bool_], y: NDArray[np.int64], x: NDArray[np.int64], dy: int, dx: int, most: int
) -> NDArray[np.int64]:
    """Steps for which a place goes on in clear copper."""
    steps = np.zeros(y.size, np.int64)
    going = np.arange(y.size)
    for step in range(most):
        there, here = y[going] + step * dy, x[going] + step * dx
        on = (there >= 0) & (there < clear.shape[0]) & (here >= 0) & (here < clear.shape[1])
        going, there, here = going[on], there[on], here[on]
        going = going[clear[there, here]]
        steps[going] = step + 1
    return steps


def _first_seen(
    copper: NDArray[np.float32],
    opaque: NDArray[np.bool_],
    rows: NDArray[np.int64],
    columns: NDArray[np.int64],
    dx: int,
    dy: int,
    longest: int,
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Steps to the first visible pixel in a direction, and the copper of the pixels that begin there."""
    height, width = opaque.shape
    steps = np.full(rows.size, np.inf, np.float32)
    waiting = np.arange(rows.size)
    for step in range(1, longest + 1):
        y, x = rows[waiting] + step * dy, columns[waiting] + step * dx
        on = (y >= 0) & (y < height) & (x >= 0) & (x < width)
        waiting, y, x = waiting[on], y[on], x[on]
        clear = ~opaque[y, x]
        steps[waiting[clear]] = step
        waiting = waiting[~clear]
        if waiting.size == 0:
            break
    found = np.flatnonzero(np.isfinite(steps))
    share = np.zeros(rows.size, np.float32)
    total = np.zeros(found.size, np.float32)
    first = steps[found].astype(int)
    for extra in range(_LOOKED_AT):
        y = np.clip(rows[found] + (first + extra) * dy, 0, height - 1)
        x = np.clip(columns[found] + (first + extra) * dx, 0, width - 1)
        total += copper[y, x]
    share[found] = total / _LOOKED_AT
    return steps, share
