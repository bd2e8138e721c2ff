"""Bands along the edges of copper on one side, and the pixels well inside a class that tell its colour."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.classes import BARE, BODY, CLASSES, COVERED, LAMINATE, LEGEND
from lidoff.board.scatter import scatter_of

__all__ = ["EdgeBands", "edge_bands", "grown_band"]

_BAND = 3.0  # how far from its edge as classed the true one is looked for [details]
_GLOWS = 4.0  # how far blur carries the light of lands and print [pixels]
_CLEAR = 3.0  # pixels from metal, print and bodies from which on an edge counts as free
_PLAINLY, _SCATTERS = (
    0.25,
    3.0,
)  # most share that is plainly the other level's, and scatters from midway that it takes

Plane = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EdgeBands:
    """Bands along edges, and weights of the pixels well inside a class; all of shape (H, W).

    Parameters
    ----------
    mask_band : ndarray of bool
        Along edges of covered copper, clear of metal, print and bodies.
    mask_free : ndarray of bool
        Those twice as clear of them, from which profiles are read.
    settling : ndarray of bool
        Covered copper and laminate that are as clear as `mask_band`, near an edge or not.
    land_band : ndarray of bool
        Along rims of lands.
    near_land, near_print, near_body : ndarray of bool
        Where blur carries the light of lands, print and bodies; no pixel is in two.
    lit_band : ndarray of bool
        Along edges of covered copper, up to a pixel from any of these.
    narrow : ndarray of bool
        Between a land and covered copper close by.
    spoiling : ndarray of bool
        Covered copper, print, bodies and holes, beside which a land's rim is not its own.
    masked : ndarray of bool
        All covered copper and laminate.
    covered_core, laminate_core, bare_core, legend_core, body_core : ndarray of float32
        Weight with which a pixel tells its class's colour, 0…1.
    bare_rim : ndarray of bool
        Metal a little inside the rims of lands.
    bare, covered : ndarray of float32
        One in pixels of bare, and of covered copper.
    """

    mask_band: NDArray[np.bool_]
    mask_free: NDArray[np.bool_]
    settling: NDArray[np.bool_]
    land_band: NDArray[np.bool_]
    near_land: NDArray[np.bool_]
    near_print: NDArray[np.bool_]
    near_body: NDArray[np.bool_]
    lit_band: NDArray[np.bool_]
    narrow: NDArray[np.bool_]
    spoiling: NDArray[np.bool_]
    masked: NDArray[np.bool_]
    covered_core: Plane
    laminate_core: Plane
    bare_core: Plane
    bare_rim: NDArray[np.bool_]
    legend_core: Plane
    body_core: Plane
    bare: Plane
    covered: Plane


def edge_bands(probability: Plane, detail: float) -> EdgeBands:
    """Sort pixels into what tells colours and what is to be settled.

    Parameters
    ----------
    probability : ndarray of shape (H, W, 7)
        In the order of `CLASSES`.
    detail : float
        Size of the photo's own pixels in pixels of this raster; one or more.

    Returns
    -------
    EdgeBands
        Of the most probable classes.
    """
    import cv2

    top = np.argmax(probability, axis=2)
    small = np.ones((2 * max(1, round(0.6 * detail)) + 1,) * 2, np.uint8)
    covered, bare, laminate = (top == CLASSES.index(name) for name in (COVERED, BARE, LAMINATE))
    # The blur of a bright rim passes for thin print.
    other = cv2.morphologyEx((~(covered | bare | laminate)).astype(np.uint8), cv2.MORPH_OPEN, small) > 0
    sliver = ~(covered | bare | laminate | other)

    def depth(area: NDArray[np.bool_]) -> Plane:
        return np.asarray(cv2.distanceTransform(area.astype(np.uint8), cv2.DIST_L2, 3), np.float32)

    def core(inside: Plane, free: Plane | float) -> Plane:
        return np.asarray(np.clip((inside - 0.5) / (1.0 + 1.2 * detail), 0.0, 1.0) ** 2 * free, np.float32)

    band = _BAND * detail
    in_covered, in_bare, in_laminate = depth(covered), depth(bare), depth(laminate)
    to_covered, to_bare, to_laminate = depth(~covered), depth(~bare), depth(~laminate)
    to_other = depth(~other)
    clear = np.minimum(to_other, to_bare)
    free = np.clip((clear - 2.0) / 2.0, 0.0, 1.0).astype(np.float32)
    mask_band = (laminate & (to_covered <= band)) | (covered & (to_laminate <= band))
    legend, body = (other & (top == CLASSES.index(name)) for name in (LEGEND, BODY))
    to_legend, to_body, to_opaque = depth(~legend), depth(~body), depth(~(other & ~legend & ~body))
    lit_band = mask_band & (np.minimum(np.minimum(to_bare, to_legend), to_body) > 1.0) & (to_opaque > _CLEAR)
    mask_band &= clear > _CLEAR
    near_land = (to_bare <= _GLOWS) & (in_bare <= _GLOWS / 2) & ~other & (to_bare <= to_legend)
    near_print = (to_legend <= _GLOWS) & ~other & ~bare & ~near_land
    near_body = (to_body <= _GLOWS) & ~other & ~bare & ~near_land & ~near_print
    # The blur between a land and laminate passes for thin copper beneath the mask: only broad copper stands for itself.
    broad = cv2.morphologyEx(covered.astype(np.uint8), cv2.MORPH_OPEN, small) > 0
    land_band = (bare & (depth(~(laminate | sliver | legend | (covered & ~broad))) <= band)) | (
        ~bare & ~other & (to_bare <= band)
    )
    land_band &= to_other > 1.5
    narrow = land_band & (depth(~broad) <= band) & near_land
    land_band &= depth(~broad) > band
    return EdgeBands(
        mask_band=mask_band,
        settling=(covered | laminate) & (clear > _CLEAR),
        mask_free=mask_band & (clear > 2.0 * _CLEAR),
        land_band=land_band,
        near_land=near_land,
        near_print=near_print,
        near_body=near_body,
        lit_band=lit_band,
        narrow=narrow,
        spoiling=broad | other,
        masked=covered | laminate,
        covered_core=core(in_covered, free),
        laminate_core=core(in_laminate, free),
        bare_core=core(in_bare, 1.0),
        bare_rim=(in_bare > 1.5 * detail) & (in_bare < 1.5 * detail + 2.0),
        body_core=core(depth(body), 1.0),
        legend_core=legend * np.asarray(probability[..., CLASSES.index(LEGEND)], np.float32) ** 2,
        bare=bare.astype(np.float32),
        covered=covered.astype(np.float32),
    )


def grown_band(bands: EdgeBands, share: Plane, detail: float) -> NDArray[np.bool_]:
    """The band along edges of covered copper, and what hangs on it, passes for copper and is plainly of laminate's colour.

    Parameters
    ----------
    bands : EdgeBands
        Of the classes.
    share : ndarray of shape (H, W)
        Place of each pixel's colour between laminate (0) and covered copper (1).
    detail : float
        Size of the photo's own pixels in pixels of this raster; one or more.

    Returns
    -------
    ndarray of bool, shape (H, W)
        The band itself where either colour scatters so much that nothing is plain.
    """
    import cv2

    laminate, copper = (share[core > 0.9] for core in (bands.laminate_core, bands.covered_core))
    if len(laminate) == 0 or len(copper) == 0:
        return bands.mask_band
    scatters = [scatter_of(one - np.median(one)) for one in (laminate, copper)]
    plain = min(_PLAINLY, 0.5 - _SCATTERS * scatters[0], 1.0 - _SCATTERS * scatters[1])
    wrong = (bands.covered > 0.5) & bands.settling & (np.abs(share) < plain)
    around = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * round(_BAND * detail) + 1,) * 2)
    found = np.zeros(wrong.shape, bool)
    for _ in range(round(_BAND * detail)):
        near = cv2.dilate((bands.mask_band | found).astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
        found |= wrong & near & ~bands.mask_band
    reached = cv2.dilate(found.astype(np.uint8), around) > 0
    return np.asarray(bands.mask_band | (bands.settling & reached))
