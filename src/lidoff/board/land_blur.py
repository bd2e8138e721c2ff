"""Rings round placed lands that pass for copper beneath the mask, where only the blur between metal and mask looks like it.

Beneath a white mask copper is a little darker than laminate, and bare metal darker still, of the same hue: so the blur of
every land's rim runs through copper's own look, and the open laminate in the mask's opening has about that look as well. What
tells them apart is shape. A ring ends a few tenths of a millimetre off its land; a track that comes up to it goes on.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lidoff.board.classes import BARE, CLASSES, COVERED, LAMINATE
from lidoff.board.glow import HUE, light_of
from lidoff.board.land_shapes import depth_in_lands, goes_on, land_as_placed
from lidoff.board.package import PlacedPart

__all__ = ["without_land_blur"]

_OPENING_MM = 0.1  # how far the mask keeps off a land at most [mm]; common practice, no source
_BLUR = 3.0  # how far blur carries a land's light [details]
_INSIDE = 2.0  # how far inside its pattern a land's rim may lie [pixels]
_SURE = 0.9  # probability from which on a pixel tells its class's colour
_LEAST, _ENOUGH = 30, 1_000_000  # pixels that tell a colour, and of a side at most
_BETWEEN = (0.2, 0.8)  # where on the way from laminate to metal copper's look is one of blur

Plane = NDArray[np.float32]


def without_land_blur(
    probability: Plane,
    even: Plane,
    parts: Sequence[PlacedPart],
    side: str,
    px_per_mm: float,
    *,
    detail: float = 1.0,
) -> Plane:
    """Class probabilities without copper round placed lands that ends where the land's blur does.

    Parameters
    ----------
    probability : ndarray of shape (H, W, 7)
        In the order of `CLASSES`.
    even : ndarray of shape (H, W, 3)
        Picture in even light, sRGB 0…255.
    parts : sequence of PlacedPart
        Parts placed so far.
    side : str
        "front" or "back".
    px_per_mm : float
        Raster.
    detail : float
        Size of the photo's own pixels in pixels of this raster; one or more.

    Returns
    -------
    ndarray of shape (H, W, 7)
        The array given where copper's look is not one of the blur between metal and laminate, or no land is placed.
    """
    lands = [land_as_placed(pad, px_per_mm) for part in parts for pad in part.pads if pad.side == side]
    if not lands or not _looks_blurred(probability, even):
        return probability
    reach = _OPENING_MM * px_per_mm + _BLUR * detail
    covered, laminate = CLASSES.index(COVERED), CLASSES.index(LAMINATE)
    depth = depth_in_lands(lands, probability.shape[:2], reach + 1.0)
    own = probability[..., covered]
    ring = (depth <= _INSIDE) & (depth > -reach)
    ends = np.where(ring, own - goes_on(own, depth, reach), np.float32(0.0))
    settled = probability.copy()
    settled[..., covered] -= ends
    settled[..., laminate] += ends
    return settled


def _looks_blurred(probability: Plane, even: Plane) -> bool:
    """Whether copper beneath the mask has a colour on the way from laminate to bare metal: of their hue, and between them."""
    # A large side tells its colours by some of its pixels.
    step = max(1, round((probability.shape[0] * probability.shape[1] / _ENOUGH) ** 0.5))
    classed, seen = probability[::step, ::step], even[::step, ::step]
    levels = []
    for name in (COVERED, BARE, LAMINATE):
        sure = classed[..., CLASSES.index(name)] > _SURE
        if np.count_nonzero(sure) < _LEAST:
            return False
        levels.append(light_of(np.median(seen[sure], axis=0)))
    copper, metal = levels[0] - levels[2], levels[1] - levels[2]
    lengths = float(np.linalg.norm(copper)), float(np.linalg.norm(metal))
    if min(lengths) < 1e-6:
        return False
    cosine = float(copper @ metal) / (lengths[0] * lengths[1])
    return cosine > np.sqrt(1.0 - HUE**2) and _BETWEEN[0] < lengths[0] / lengths[1] < _BETWEEN[1]
