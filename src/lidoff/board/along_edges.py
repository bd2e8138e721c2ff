"""Directions of edges in a picture of shares, values taken across them, and means along them where they run straight."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lidoff.board.rims import across, slopes

__all__ = ["along_edges", "outwards", "taken"]

_ALONG, _ALONG_STEPS = 3.0, 8  # standard deviation and reach of the mean along an edge [pixels]
_BENT, _STRAIGHT = (
    0.97,
    0.995,
)  # cosine of the turn beyond which an edge goes on no more, and up to which it runs straight
_AT_ONCE = 100_000  # places averaged at once, so that memory stays bounded

Plane = NDArray[np.float32]


def outwards(share: Plane) -> tuple[Plane, Plane]:
    """Direction in which a share falls.

    Parameters
    ----------
    share : ndarray of shape (H, W)
        One inside, zero outside.

    Returns
    -------
    x, y : ndarray of shape (H, W)
        Of length one near edges.
    """
    y, x = (-one for one in slopes(np.clip(share, 0.0, 1.0)))
    length = np.maximum(np.hypot(x, y), 1e-6)
    return np.asarray(x / length, np.float32), np.asarray(y / length, np.float32)


def taken(picture: Plane, by_x: Plane, by_y: Plane) -> Plane:
    """A picture's values from places that far off.

    Parameters
    ----------
    picture : ndarray of shape (H, W)
        What is looked at.
    by_x, by_y : ndarray of shape (H, W)
        How far [pixels].

    Returns
    -------
    ndarray of shape (H, W)
        Interpolated; beyond the border the border's own.
    """
    import cv2

    rows, columns = np.indices(picture.shape, dtype=np.float32)
    return np.asarray(
        cv2.remap(picture, columns + by_x, rows + by_y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE),
        np.float32,
    )


def along_edges(share: Plane, seen: Plane, near: NDArray[np.bool_]) -> Plane:
    """The share averaged along edges, not across: noise wavers along an edge that was etched straight.

    Parameters
    ----------
    share : ndarray of shape (H, W)
        What is averaged.
    seen : ndarray of shape (H, W)
        Share whose edges are followed.
    near : ndarray of shape (H, W)
        True where it is averaged: not beside print, metal and bodies, where what is left of their light looks like edges.

    Returns
    -------
    ndarray of shape (H, W)
        The same elsewhere. To either side the mean ends where the edge turns away, so that corners stay sharp.
    """
    x, y = outwards(seen)
    stack = np.stack([share, x, y], axis=2)
    steps = np.arange(-_ALONG_STEPS, _ALONG_STEPS + 1, dtype=np.float64)
    bell = np.exp(-((steps / _ALONG) ** 2) / 2)
    averaged = share.copy()
    places = np.argwhere(near)
    for start in range(0, len(places), _AT_ONCE):
        rows, columns = here = tuple(places[start : start + _AT_ONCE].T)
        facing = np.stack([x[here], y[here]], axis=1).astype(np.float64)
        tangent = np.stack([facing[:, 0], -facing[:, 1]], axis=1)
        values = across(stack, np.stack([rows, columns], axis=1).astype(np.float64), tangent, steps)
        straight = np.einsum("nsc,nc->ns", values[..., 1:], facing)
        kept = np.clip((straight - _BENT) / (_STRAIGHT - _BENT), 0.0, 1.0)
        kept[:, _ALONG_STEPS] = 1.0
        for side in (kept[:, _ALONG_STEPS::-1], kept[:, _ALONG_STEPS:]):
            np.minimum.accumulate(side, axis=1, out=side)
        weight = kept * bell
        averaged[here] = (values[..., 0] * weight).sum(axis=1) / weight.sum(axis=1)
    return averaged
