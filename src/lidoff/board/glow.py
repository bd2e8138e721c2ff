"""The blurred light of lands and print over mask beside them, told apart from copper beneath the mask and taken away.

Blur carries a bright land's or a printed line's light some pixels over its rim, where it makes laminate look like copper. But
it carries their hue as well: a pixel there is laminate, plus a share of the step to copper, plus a share of the step to what
is bright, and two steps of different hue can be told apart.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["HUE", "Glow", "glow_of", "light_of"]

HUE = 0.25  # least sine of the angle between the two steps of colour from which on they are told apart
_MOST = 0.9  # share of light from beside beyond which nothing of the pixel's own is left

Plane = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Glow:
    """What one kind of bright things adds to the pixels beside it.

    Parameters
    ----------
    share : ndarray of shape (H, W)
        Share of its light in each pixel, 0…1; zero where it is not told apart.
    without : ndarray of shape (H, W, 3)
        Picture without that light, sRGB 0…255.
    told : ndarray of shape (H, W)
        True where the hues differ enough.
    """

    share: Plane
    without: Plane
    told: NDArray[np.bool_]


def glow_of(even: Plane, high: Plane, low: Plane, bright: Plane, near: NDArray[np.bool_]) -> Glow:
    """Light of bright things beside pixels of mask.

    Parameters
    ----------
    even : ndarray of shape (H, W, 3)
        Picture in even light, sRGB 0…255.
    high, low, bright : ndarray of shape (H, W, 3)
        Levels of copper and of laminate beneath the mask, and of what is bright.
    near : ndarray of shape (H, W)
        True where the light is to be taken away.

    Returns
    -------
    Glow
        By least squares over the three channels, in light and not in sRGB values: light is what blur adds up.
    """
    share = np.zeros(near.shape, np.float32)
    told = np.zeros(near.shape, bool)
    without = even.copy()
    ground = light_of(low[near])
    copper, other, seen = (light_of(part[near]) - ground for part in (high, bright, even))
    a, b, c = (np.sum(one * two, axis=1) for one, two in ((copper, copper), (copper, other), (other, other)))
    along_copper, along_other = np.sum(seen * copper, axis=1), np.sum(seen * other, axis=1)
    rest = a * c - b * b
    apart = rest > HUE**2 * np.maximum(a * c, 1e-12)
    found = np.where(apart, (a * along_other - b * along_copper) / np.where(apart, rest, 1.0), 0.0)
    found = np.clip(found, 0.0, 1.0)
    share[near], told[near] = found, apart
    kept = np.clip(found, 0.0, _MOST)[:, None]
    # Of what is left, the pixel's own colour fills the rest of the pixel.
    own = (seen - kept * other) / (1.0 - kept) + ground
    without[near] = np.where(apart[:, None], _values(own), even[near])
    return Glow(share=share, without=without, told=told)


def light_of(values: Plane) -> NDArray[np.float64]:
    """Light 0…1 of sRGB values 0…255, after IEC 61966-2-1."""
    unit = np.clip(values.astype(np.float64), 0.0, None) / 255.0
    return np.where(unit <= 0.04045, unit / 12.92, ((unit + 0.055) / 1.055) ** 2.4)


def _values(light: NDArray[np.float64]) -> Plane:
    """Undo `_light`."""
    held = np.clip(light, 0.0, 1.0)
    unit = np.where(held <= 0.0031308, held * 12.92, 1.055 * held ** (1 / 2.4) - 0.055)
    return np.asarray(255.0 * unit, np.float32)
