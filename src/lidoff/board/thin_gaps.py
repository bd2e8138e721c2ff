"""Gaps in copper that are too thin for the photo: dips between two conductors that never reach the laminate's level."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["thin_gaps"]

_DIP, _DEEP = (
    0.15,
    0.3,
)  # depth of a dip, and of its deepest place at least [shares of the step from laminate to copper]
_BRIGHTEST = 1.15  # metal counts no more than copper beneath the mask, beside which a dip is held
_WIDEST = 1.2  # half the width of a dip that may pass for a gap [pixels of the photo]


def thin_gaps(share: NDArray[np.float32], *, detail: float = 1.0) -> NDArray[np.bool_]:
    """Where a narrow dip parts copper.

    Parameters
    ----------
    share : ndarray of shape (H, W)
        Place of each pixel's colour between laminate (0) and copper (1); metal lies beyond.
    detail : float
        Size of the photo's own pixels in pixels of this raster; one or more.

    Returns
    -------
    ndarray of bool, shape (H, W)
        True in dips, whatever copper is beside them.

    Notes
    -----
    A gap of two pixels of the photo between a bright land and a pour is lighter than half the step all over, and would pass for
    copper. What tells it is that it is darker than both of its sides: the closing of the picture less the picture. Shallow
    ends of a dip belong to it, as in a threshold with hysteresis.

    References
    ----------
    .. [1] J. Serra, *Image Analysis and Mathematical Morphology*, Academic Press, 1982, the closing's residue.
    """
    import cv2

    level = cv2.GaussianBlur(np.clip(share, 0.0, _BRIGHTEST).astype(np.float32), (0, 0), 0.6)
    width = 2 * max(1, round(_WIDEST * detail)) + 1
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (width, width))
    depth = cv2.morphologyEx(level, cv2.MORPH_CLOSE, disc) - level
    dips = depth > _DIP
    count, labels = cv2.connectedComponents(dips.astype(np.uint8), connectivity=8)
    deep = np.zeros(count, bool)
    deep[np.unique(labels[depth > _DEEP])] = True
    deep[0] = False
    return np.asarray(deep[labels])
