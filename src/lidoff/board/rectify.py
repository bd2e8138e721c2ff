"""From a photo to the board frame: registration by outline, points or known lengths, and the flat picture in millimetres."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import (
    Registration,
)
from lidoff.board.register import check_side

__all__ = ["COARSE", "Rectified", "rectify"]

COARSE = 1.5
"""Pixels of the raster to one of the photo, from which on gaps, thin tracks and print may be blurred away."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rectified:
    """One side as a flat picture in the board frame.

    Parameters
    ----------
    side : str
        "front" or "back"; the back is shown as seen through the board.
    picture : ndarray of shape (H, W, 3)
        sRGB; pixel (row, column) has its centre at ((column + 0.5) / px_per_mm, (row + 0.5) / px_per_mm) mm.
    px_per_mm : float
        Raster.
    registration : Registration
        How the photo shows the board.
    seen : ndarray of shape (H, W)
        True where the photo shows the place.
    """

    side: str
    picture: NDArray[np.uint8]
    px_per_mm: float
    registration: Registration
    seen: NDArray[np.bool_]

    def __post_init__(self) -> None:
        """Keep the arrays from changing."""
        self.picture.setflags(write=False)
        self.seen.setflags(write=False)


def rectify(
    photo: NDArray[np.uint8],
    registration: Registration,
    *,
    side: str,
    size: tuple[float, float],
    px_per_mm: float | None = None,
    longest_px: int = 6000,
    crisp: bool = False,
) -> Rectified:
    """Flat picture of a side in the board frame.

    Parameters
    ----------
    photo : ndarray of shape (H, W, 3)
        Upright photo.
    registration : Registration
        How it shows the board.
    side : str
        "front" or "back".
    size : tuple of float
        Width and height of the board frame to show [mm].
    px_per_mm : float, optional
        Raster; None takes the photo's own, so that no detail is lost.
    longest_px : int
        Upper limit of either edge of the picture.
    crisp : bool
        Whether a photo much coarser than the raster keeps the contrast of its thinnest tracks (Lanczos [1]_), where straight
        lines between its pixels blunt them, more or less as they lie. It rings beside what is bright or dark, which passes for
        small round spots.

    Returns
    -------
    Rectified
        Sampled in strips, so that memory stays bounded.

    References
    ----------
    .. [1] C. E. Duchon, *Lanczos filtering in one and two dimensions*, Journal of Applied Meteorology 18 (1979) 1016–1022
       (from memory).
    """
    import cv2

    check_side(side)
    width, height = size
    own = registration.pixels_per_mm((width / 2, height / 2))
    scale = min(px_per_mm or own, longest_px / max(width, height))
    rows, columns = max(round(height * scale), 1), max(round(width * scale), 1)
    source, shrink = photo, 1
    if own >= 2.0 * scale:
        # Averaging whole blocks keeps out what the raster cannot show, at a fraction of a blur's cost.
        shrink = int(own / scale)
        high, wide = (photo.shape[0] // shrink * shrink, photo.shape[1] // shrink * shrink)
        small = (wide // shrink, high // shrink)
        source = cv2.resize(photo[:high, :wide], small, interpolation=cv2.INTER_AREA)
    elif own > 1.4 * scale:
        source = cv2.GaussianBlur(photo, (0, 0), 0.42 * own / scale)
    sampler = cv2.INTER_LANCZOS4 if crisp and scale >= COARSE * own else cv2.INTER_LINEAR
    picture = np.empty((rows, columns, 3), np.uint8)
    seen = np.empty((rows, columns), bool)
    x = (np.arange(columns) + 0.5) / scale
    for top in range(0, rows, 256):
        strip = np.arange(top, min(top + 256, rows))
        grid = np.stack(np.meshgrid(x, (strip + 0.5) / scale), axis=-1).reshape(-1, 2)
        places = registration.to_photo(grid).astype(np.float32).reshape(len(strip), columns, 2)
        on_source = (
            places if shrink == 1 else (places + np.float32(0.5)) / np.float32(shrink) - np.float32(0.5)
        )
        cv2.remap(
            source,
            on_source[..., 0],
            on_source[..., 1],
            sampler,
            dst=picture[strip[0] : strip[-1] + 1],
            borderMode=cv2.BORDER_REPLICATE,
        )
        seen[strip] = (
            (places[..., 0] >= 0)
            & (places[..., 0] <= photo.shape[1] - 1)
            & (places[..., 1] >= 0)
            & (places[..., 1] <= photo.shape[0] - 1)
        )
    return Rectified(side=side, picture=picture, px_per_mm=scale, registration=registration, seen=seen)
