"""Places along the rims of an area to a fraction of a pixel, and pictures looked at across them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["across", "by_direction", "even_lines", "falling", "half_places", "rims", "slopes"]

_MOST = 4000  # places along rims that are looked at
_SHORT = 15  # rims of fewer places are specks
_FACING = 1.5  # blur from which the direction of an edge is read [pixels]
_LEAST = 40  # places of one direction that make a profile

Places = NDArray[np.float64]


def rims(share: NDArray[np.float32], band: NDArray[np.bool_]) -> tuple[Places, Places]:
    """Places where a share is one half, and the directions in which it falls there.

    Parameters
    ----------
    share : ndarray of shape (H, W)
        One inside, zero outside.
    band : ndarray of shape (H, W)
        True where rims count.

    Returns
    -------
    places, directions : ndarray of shape (N, 2)
        Row and column; directions have length one.
    """
    from skimage.measure import find_contours

    lines = [line for line in find_contours(share, 0.5, mask=_wider(band)) if len(line) > _SHORT]
    places = np.concatenate([np.empty((0, 2)), *lines])
    rows, columns = np.round(places).astype(int).T
    places = places[band[rows, columns]]
    if len(places) == 0:
        return places, places
    places = places[:: max(1, len(places) // _MOST)]
    return places, falling(share, places)


def falling(share: NDArray[np.float32], places: Places) -> Places:
    """Directions in which a share falls.

    Parameters
    ----------
    share : ndarray of shape (H, W)
        One inside, zero outside.
    places : ndarray of shape (N, 2)
        Row and column.

    Returns
    -------
    ndarray of shape (N, 2)
        Of length one near edges.
    """
    directions = -across(np.stack(slopes(share), axis=2), places, np.zeros_like(places), np.zeros(1))[:, 0]
    return np.asarray(directions / np.maximum(np.linalg.norm(directions, axis=1, keepdims=True), 1e-9))


def slopes(share: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """By how much a share rises, downwards and to the right, in a picture blurred enough to tell directions.

    Parameters
    ----------
    share : ndarray of shape (H, W)
        One inside, zero outside.

    Returns
    -------
    down, right : ndarray of shape (H, W)
        In one unit.
    """
    import cv2

    smooth = cv2.GaussianBlur(share, (0, 0), _FACING)
    down, right = (cv2.Sobel(smooth, cv2.CV_32F, *order) for order in ((0, 1), (1, 0)))
    return np.asarray(down, np.float32), np.asarray(right, np.float32)


def by_direction(
    facing: Places, directions: int, where: NDArray[np.bool_]
) -> tuple[NDArray[np.float64], list[NDArray[np.bool_]]]:
    """Places sorted by which of some even directions they face.

    Parameters
    ----------
    facing : ndarray of shape (N, 2)
        Row and column.
    directions : int
        How many, the first one to the right.
    where : ndarray of shape (N,)
        True for places that count.

    Returns
    -------
    angles : ndarray of shape (D,)
        Those with places enough to make a profile, from x towards y [radians].
    own : list of ndarray of shape (N,)
        True for the places of each.
    """
    step = 2 * np.pi / directions
    sector = np.round(np.arctan2(facing[:, 0], facing[:, 1]) / step).astype(int) % directions
    every = [(sector == number) & where for number in range(directions)]
    kept = [number for number, one in enumerate(every) if int(one.sum()) >= _LEAST]
    return np.array(kept) * step, [every[number] for number in kept]


def even_lines(share: NDArray[np.float32]) -> list[Places]:
    """Lines along which a share is one half, with places a pixel apart.

    Parameters
    ----------
    share : ndarray of shape (H, W)
        One inside, zero outside.

    Returns
    -------
    list of ndarray of shape (N, 2)
        Row and column; without specks.
    """
    from skimage.measure import find_contours

    return [_evenly(line) for line in find_contours(share, 0.5) if len(line) > _SHORT]


def _evenly(line: Places) -> Places:
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    at = np.arange(0.0, run[-1], 1.0)
    return np.stack([np.interp(at, run, line[:, axis]) for axis in (0, 1)], axis=1)


def half_places(shares: Places, steps: Places) -> Places:
    """Where profiles fall through one half, nearest to step zero.

    Parameters
    ----------
    shares : ndarray of shape (N, S)
        Profiles.
    steps : ndarray of shape (S,)
        Evenly spaced places along them.

    Returns
    -------
    ndarray of shape (N,)
        In the unit of the steps; infinite where a profile does not fall through one half.
    """
    above = shares >= 0.5
    falls = above[:, :-1] & ~above[:, 1:]
    slope = np.where(falls, shares[:, :-1] - shares[:, 1:], 1.0)
    places = np.where(falls, steps[:-1] + (shares[:, :-1] - 0.5) / slope * (steps[1] - steps[0]), np.inf)
    return np.asarray(places[np.arange(len(places)), np.argmin(np.abs(places), axis=1)])


def _wider(band: NDArray[np.bool_]) -> NDArray[np.bool_]:
    import cv2

    return np.asarray(cv2.dilate(band.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0)


def across(picture: NDArray[np.float32], places: Places, directions: Places, steps: Places) -> Places:
    """Values of a picture along directions.

    Parameters
    ----------
    picture : ndarray of shape (H, W, C)
        What is looked at.
    places, directions : ndarray of shape (N, 2)
        Row and column.
    steps : ndarray of shape (S,)
        Distances [pixels].

    Returns
    -------
    ndarray of shape (N, S, C)
        Interpolated; beyond the border the border's own.
    """
    import cv2

    at = (places[:, None, :] + directions[:, None, :] * steps[None, :, None]).astype(np.float32)
    # The sampler takes no picture of more than 32767 rows: places are folded.
    flat = at.reshape(-1, 2)
    fold = (-len(flat)) % 4096
    padded = np.pad(flat, ((0, fold), (0, 0))).reshape(-1, 4096, 2)
    taken = cv2.remap(
        picture, padded[..., 1], padded[..., 0], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    channels = picture.shape[2]
    values = taken.reshape(-1, channels)[: len(flat)].reshape(*at.shape[:2], channels)
    return np.asarray(values, np.float64)
