"""What placed parts tell of a side before any stroke: metal on their lands, and no metal seen between them.

A part that was placed by two clicks says more than its pins: its lands are bare metal, and what shines between them is its
body or its print, never copper that joins them.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lidoff.board.classes import BARE, BODY, CLASSES, HOLE, LAMINATE, LEGEND
from lidoff.board.layout import Pad
from lidoff.board.package import PlacedPart, all_packages
from lidoff.board.rasters import pad_corners

__all__ = ["BESIDE_LAND", "NOT_PLACED", "placed_classes", "print_beside_lands", "with_placed"]

NOT_PLACED, BESIDE_LAND = -1, -2
SHRUNK_MM = 0.12
"""By how much a land is taken smaller than its pattern, since clicks and patterns are off by about that [mm]."""


def placed_classes(
    parts: Sequence[PlacedPart], side: str, shape: tuple[int, int], px_per_mm: float
) -> NDArray[np.int8]:
    """Class of every pixel that placed parts tell.

    Parameters
    ----------
    parts : sequence of PlacedPart
        Of the board; bodies count on the side that their part stands on, lands where they are.
    side : str
        Side to tell of.
    shape : (int, int)
        Rows and columns.
    px_per_mm : float
        Raster.

    Returns
    -------
    ndarray of int8, shape (H, W)
        Index into `CLASSES` of bare copper on lands and of body between them; `BESIDE_LAND` along a land's edge, where its own
        rim may show but no print (common practice, no source); `NOT_PLACED` elsewhere.
    """
    found = np.full(shape, NOT_PLACED, np.int8)
    patterns = all_packages()
    for part in parts:
        pattern = patterns.get(part.package)
        if part.side == side and pattern is not None:
            body = Pad(
                side=side, net="", at=part.at, size=pattern.body, turn=part.turn, round=pattern.body_round
            )
            _fill(found, body, 0.0, px_per_mm, CLASSES.index(BODY))
    lands = [pad for part in parts for pad in part.pads if pad.side == side]
    for grow, value in ((SHRUNK_MM, BESIDE_LAND), (-SHRUNK_MM, CLASSES.index(BARE))):
        for pad in lands:
            if min(pad.size) + 2.0 * grow > 0.0:
                _fill(found, pad, grow, px_per_mm, value)
    return found


_AS_BRIGHT = 0.97
"""Brightness of metal outside placed lands, as share of theirs above laminate, below which it is print."""


def print_beside_lands(
    labels: NDArray[np.int8], even: NDArray[np.float32], placed: NDArray[np.int8]
) -> NDArray[np.bool_]:
    """Seeds of bare copper that are print: outside placed lands, and nowhere as bright as those.

    A coarse photo blurs a letter into a spot like a small land, but mask shows through its gaps and pales it.

    Parameters
    ----------
    labels : ndarray of int8, shape (H, W)
        Seeds by index into `CLASSES`.
    even : ndarray of shape (H, W, 3)
        Picture in even light.
    placed : ndarray of int8, shape (H, W)
        From `placed_classes`.

    Returns
    -------
    ndarray of bool, shape (H, W)
        Nowhere true where no land was placed.
    """
    import cv2

    bare = CLASSES.index(BARE)
    lands, laminate = placed == bare, labels == CLASSES.index(LAMINATE)
    near = cv2.dilate(np.isin(placed, (bare, BESIDE_LAND)).astype(np.uint8), np.ones((7, 7), np.uint8)) > 0
    loose = (labels == bare) & ~near
    if not (lands.any() and laminate.any() and loose.any()):
        return np.zeros(labels.shape, bool)
    low = np.median(even[laminate], axis=0)
    step = np.median(even[lands], axis=0) - low
    share = (even - low) @ step / max(float(step @ step), 1e-6)
    _, spots = cv2.connectedComponents(loose.astype(np.uint8), connectivity=8)
    found = np.zeros(labels.shape, bool)
    order = np.argsort(spots[loose], kind="stable")
    numbers, starts = np.unique(spots[loose][order], return_index=True)
    parts = np.split(share[loose][order], starts[1:])
    pale = [
        number for number, part in zip(numbers, parts, strict=True) if np.percentile(part, 75) < _AS_BRIGHT
    ]
    found[loose] = np.isin(spots[loose], pale)
    return found


def _fill(canvas: NDArray[np.int8], pad: Pad, grow: float, px_per_mm: float, value: int) -> None:
    import cv2

    corners = np.round((np.array(pad_corners(pad, grow)) * px_per_mm - 0.5) * 16).astype(np.int32)
    low, high = corners.min(axis=0) // 16 - 1, corners.max(axis=0) // 16 + 2
    left, top = max(int(low[0]), 0), max(int(low[1]), 0)
    window = canvas[top : max(int(high[1]), 0), left : max(int(high[0]), 0)]
    if window.size == 0:
        return
    inside = np.zeros(window.shape, np.uint8)
    cv2.fillPoly(inside, [corners - np.array([left, top]) * 16], [1], cv2.LINE_8, 4)
    window[inside > 0] = value


def with_placed(
    probability: NDArray[np.float32], placed: NDArray[np.int8]
) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """Class probabilities under what placed parts tell, and where no copper may be carried on beneath a body.

    Parameters
    ----------
    probability : ndarray of shape (H, W, 7)
        In the order of `CLASSES`.
    placed : ndarray of int8, shape (H, W)
        From `placed_classes`.

    Returns
    -------
    probability : ndarray of shape (H, W, 7)
        Lands are bare copper but for their holes; metal and print between lands are body; what looks like print along a land
        is its rim.
    closed : ndarray of bool, shape (H, W)
        Body of a placed part that is seen as such.
    """
    settled = probability.copy()
    bare, body, legend = CLASSES.index(BARE), CLASSES.index(BODY), CLASSES.index(LEGEND)
    # A drilled land keeps its hole, whose dark would pass for the metal's colour.
    lands = (placed == bare) & (probability[..., CLASSES.index(HOLE)] <= 0.5)
    settled[lands] = 0.0
    settled[lands, bare] = 1.0
    rims = placed == BESIDE_LAND
    settled[rims, bare] += settled[rims, legend]
    settled[rims, legend] = 0.0
    between = placed == body
    for label in (bare, legend):
        settled[between, body] += settled[between, label]
        settled[between, label] = 0.0
    return settled, between & (settled[..., body] > 0.5)
