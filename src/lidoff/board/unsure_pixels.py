"""Pixels of which the classifier is unsure, settled by what sure pixels of their colour near by are."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lidoff.board.classes import CLASSES, COVERED, LAMINATE

__all__ = ["settled_by_colour"]

_NEAR = 0.6  # standard deviation of the surroundings in which colours are compared [mm]
_PLAIN = 0.005  # difference of colour that says nothing [steps from laminate to copper]
_SURE = (
    0.8  # share of copper from which on, and one less it up to which, a pixel tells how large that step is
)
_FINE = 3.0  # pixels of the smaller copy to one standard deviation
_LEAST = 1e-3

Plane = NDArray[np.float32]


def settled_by_colour(probability: Plane, even: Plane, px_per_mm: float) -> Plane:
    """Class probabilities in which covered copper and laminate go with colour where the classifier is unsure.

    Parameters
    ----------
    probability : ndarray of shape (H, W, 7)
        In the order of `CLASSES`.
    even : ndarray of shape (H, W, 3)
        Picture in even light, sRGB 0…255.
    px_per_mm : float
        Raster.

    Returns
    -------
    ndarray of shape (H, W, 7)
        A new array; what covered copper and laminate have together stays the same in every pixel.

    Notes
    -----
    The classifier compares a pixel with examples from the whole side; stains, tarnish and glow make it waver in spots that the
    eye sees no edge round. So about every place the share of copper is fitted by a linear function of colour, by least squares
    in which sure pixels count for more [1]_, on a smaller copy [2]_. A pixel takes that function's value as far as it is itself
    unsure: wholly at one half, not at all at zero or one.

    References
    ----------
    .. [1] K. He, J. Sun, X. Tang, *Guided image filtering*, IEEE Transactions on Pattern Analysis and Machine Intelligence 35
       (2013).
    .. [2] K. He and J. Sun, *Fast guided filter*, arXiv:1505.00996 (2015).
    """
    import cv2

    covered, laminate = CLASSES.index(COVERED), CLASSES.index(LAMINATE)
    both = probability[..., covered] + probability[..., laminate]
    share = probability[..., covered] / np.maximum(both, _LEAST)
    sure = np.abs(2.0 * share - 1.0)
    weight = both * sure
    step = _step(even, both, share)
    if step == 0.0:
        return probability.copy()
    sigma = _NEAR * px_per_mm
    shrink = max(1, int(sigma / _FINE))
    size = (even.shape[1], even.shape[0])
    small = (max(size[0] // shrink, 1), max(size[1] // shrink, 1))

    def spread(picture: Plane) -> Plane:
        return np.asarray(cv2.GaussianBlur(picture, (0, 0), sigma / shrink), np.float32)

    def summed(picture: Plane) -> Plane:
        return spread(
            np.asarray(cv2.resize(picture * weight, small, interpolation=cv2.INTER_AREA), np.float32)
        )

    count = np.maximum(spread(cv2.resize(weight, small, interpolation=cv2.INTER_AREA)), _LEAST)
    colours = [summed(even[..., one]) / count for one in range(3)]
    copper = summed(share) / count
    spans = np.empty((*count.shape, 3, 3), np.float32)
    goes_with = np.empty((*count.shape, 3), np.float32)
    for one in range(3):
        goes_with[..., one] = summed(even[..., one] * share) / count - colours[one] * copper
        for other in range(one, 3):
            product = summed(even[..., one] * even[..., other]) / count - colours[one] * colours[other]
            spans[..., one, other] = spans[..., other, one] = product
    spans += np.eye(3, dtype=np.float32) * (_PLAIN * step) ** 2
    slopes = np.linalg.solve(spans, goes_with[..., None])[..., 0]
    level = copper - sum(slopes[..., one] * colours[one] for one in range(3))

    def everywhere(picture: Plane) -> Plane:
        return np.asarray(cv2.resize(spread(picture), size, interpolation=cv2.INTER_LINEAR), np.float32)

    fitted = everywhere(np.asarray(level, np.float32))
    for one in range(3):
        fitted += everywhere(np.ascontiguousarray(slopes[..., one])) * even[..., one]
    np.clip(fitted, 0.0, 1.0, out=fitted)
    fitted += (share - fitted) * sure**2
    settled = probability.copy()
    settled[..., covered] = both * fitted
    settled[..., laminate] = both * (1.0 - fitted)
    return settled


def _step(even: Plane, both: Plane, share: Plane) -> float:
    """How far apart the colours of sure copper and of sure laminate lie; zero where there is none of one."""
    means: list[NDArray[np.float64]] = []
    for kind in (share > _SURE, share < 1.0 - _SURE):
        weight = np.where(kind, both, 0.0)
        total = float(weight.sum())
        if total < 1.0:
            return 0.0
        means.append(np.array([float((even[..., one] * weight).sum()) / total for one in range(3)]))
    return float(np.linalg.norm(means[0] - means[1]))
