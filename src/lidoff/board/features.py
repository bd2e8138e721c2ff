"""What the classifier sees of each pixel: colour at several scales, against its surroundings, edges and ridges."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["COLOUR_FEATURES", "FEATURE_COUNT", "FEATURE_REACH_MM", "even_light", "pixel_features"]

FEATURE_REACH_MM = 2.4
"""How far round a pixel its features look [mm]: tiles overlap by this."""

FEATURE_COUNT = 27
"""Features of each pixel."""

COLOUR_FEATURES = slice(3, 9)
"""Those that are a pixel's own colour, blurred by the two finer scales."""

_SCALES = (0.07, 0.16, 0.4)  # standard deviations of the blurs [mm]
_AROUND = (0.8,)  # surroundings against which colour is held [mm]


def even_light(picture: NDArray[np.uint8], light: NDArray[np.float32] | None) -> NDArray[np.float32]:
    """Picture of shape (H, W, 3) in sRGB 0…255 divided by a field of light of shape (H, W, 3); None leaves it as it is."""
    plain = picture.astype(np.float32)
    if light is None:
        return plain
    return np.asarray(np.clip(plain / light, 0.0, 255.0), np.float32)


def pixel_features(even: NDArray[np.float32], px_per_mm: float) -> NDArray[np.float32]:
    """Features of every pixel.

    Parameters
    ----------
    even : ndarray of shape (H, W, 3)
        Picture in even light, sRGB 0…255.
    px_per_mm : float
        Raster; all scales are in millimetres, so that a classifier keeps its meaning when the raster changes.

    Returns
    -------
    ndarray of shape (H, W, F)
        float32.
    """
    import cv2

    lab = cv2.cvtColor(np.ascontiguousarray(even / 255.0, np.float32), cv2.COLOR_RGB2LAB)
    planes: list[NDArray[np.float32]] = []
    blurred = [_wide_blur(lab, scale * px_per_mm) for scale in _SCALES]
    around = [_wide_blur(lab, scale * px_per_mm) for scale in _AROUND]
    planes += [picture[..., channel] for picture in (lab, *blurred) for channel in range(3)]
    planes += [blurred[0][..., channel] - wide[..., channel] for wide in around for channel in range(3)]
    planes += [blurred[0][..., channel] - blurred[2][..., channel] for channel in range(3)]
    for index in (0, 1):
        lightness = blurred[index][..., 0]
        planes.append(np.hypot(*(cv2.Sobel(lightness, cv2.CV_32F, *order) for order in ((1, 0), (0, 1)))) / 8)
    for index in (0, 1, 2):
        planes += _ridges(blurred[index][..., 0], _SCALES[index] * px_per_mm)
    square = _wide_blur(lab[..., 0] ** 2, _SCALES[2] * px_per_mm)
    planes.append(np.sqrt(np.maximum(square - blurred[2][..., 0] ** 2, 0.0)))
    return np.stack(planes, axis=-1).astype(np.float32)


def _blur(picture: NDArray[np.float32], sigma: float) -> NDArray[np.float32]:
    import cv2

    return np.asarray(cv2.GaussianBlur(picture, (0, 0), max(sigma, 0.35)), np.float32)


def _wide_blur(picture: NDArray[np.float32], sigma: float) -> NDArray[np.float32]:
    """Gaussian blur on a smaller copy, whose loss of detail the blur hides."""
    import cv2

    step = max(1, int(sigma / 3.0))
    if step == 1:
        return _blur(picture, sigma)
    small = cv2.resize(picture, None, fx=1.0 / step, fy=1.0 / step, interpolation=cv2.INTER_AREA)
    return np.asarray(
        cv2.resize(
            cv2.GaussianBlur(small, (0, 0), sigma / step),
            (picture.shape[1], picture.shape[0]),
            interpolation=cv2.INTER_LINEAR,
        ),
        np.float32,
    )


def _ridges(lightness: NDArray[np.float32], sigma: float) -> list[NDArray[np.float32]]:
    """Both eigenvalues of the scale-normalised Hessian: a line is large in one, a spot in both."""
    import cv2

    factor = np.float32(max(sigma, 0.35) ** 2 / 4)
    xx = cv2.Sobel(lightness, cv2.CV_32F, 2, 0) * factor
    yy = cv2.Sobel(lightness, cv2.CV_32F, 0, 2) * factor
    xy = cv2.Sobel(lightness, cv2.CV_32F, 1, 1) * factor
    middle, half = (xx + yy) / 2, np.sqrt(((xx - yy) / 2) ** 2 + xy**2)
    return [middle + half, middle - half]
