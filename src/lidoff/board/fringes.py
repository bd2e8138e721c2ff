"""The blurred fringe of lands and print: lighter than laminate by the blur alone, and so easily taken for copper.

Beside something bright the darkest pixel of a small neighbourhood tells what lies beneath the blur; on masks where copper is
the darker level, beside something dark the lightest one does.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lidoff.board.classes import BARE, BODY, CLASSES, COVERED, LAMINATE, LEGEND

__all__ = ["settled_fringes"]

FRINGE_MM = 0.17
"""How far from a land or a printed line its blur reaches [mm]."""

FRINGE_DETAILS = 1.8
"""The same in the photo's own pixels, at least."""

_FEW = 50  # seeds of a class below which its level is not known


def settled_fringes(
    probability: NDArray[np.float32],
    even_lightness: NDArray[np.float32],
    seeds: NDArray[np.int8],
    px_per_mm: float,
    *,
    detail: float = 1.0,
) -> NDArray[np.float32]:
    """Class probabilities with the fringes of lands and print given back to laminate where that is what they cover.

    Parameters
    ----------
    probability : ndarray of shape (H, W, 7)
        In the order of `CLASSES`.
    even_lightness : ndarray of shape (H, W)
        Lightness in even light, any scale.
    seeds : ndarray of shape (H, W)
        Index into `CLASSES` where a pixel is surely known, −1 elsewhere.
    px_per_mm : float
        Raster.
    detail : float
        Size of the photo's own pixels in pixels of this raster; a coarse photo blurs farther.

    Returns
    -------
    ndarray of shape (H, W, 7)
        A new array where something changed.
    """
    import cv2

    covered, laminate = CLASSES.index(COVERED), CLASSES.index(LAMINATE)
    levels = []
    for label in (covered, laminate):
        values = even_lightness[seeds == label]
        if values.size < _FEW:
            return probability
        levels.append(float(np.median(values)))
    sign = 1.0 if levels[0] > levels[1] else -1.0
    strong = np.zeros(seeds.shape, np.uint8)
    for name in (BARE, LEGEND, BODY):
        index = CLASSES.index(name)
        values = even_lightness[seeds == index]
        # Only what lies beyond copper's own level blurs laminate towards it.
        if values.size and sign * (float(np.median(values)) - levels[0]) > 0.0:
            strong |= (probability[..., index] > 0.4).astype(np.uint8)
    if not np.any(strong):
        return probability
    reach = 2 * max(1, round(max(FRINGE_MM * px_per_mm, FRINGE_DETAILS * detail))) + 1
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach))
    fringe = (cv2.dilate(strong, disc) > 0) & (strong == 0)
    small = np.ones((3, 3), np.uint8)
    deepest = cv2.erode(even_lightness, small) if sign > 0 else cv2.dilate(even_lightness, small)
    # From one at laminate's level to none at copper's.
    share = np.clip((levels[0] - deepest) / (levels[0] - levels[1]), 0.0, 1.0)
    move = np.where(fringe, np.clip(2.0 * (share - 0.35), 0.0, 1.0), 0.0).astype(np.float32)
    settled = probability.copy()
    settled[..., laminate] += move * probability[..., covered]
    settled[..., covered] *= 1.0 - move
    return settled
