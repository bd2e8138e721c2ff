"""Where the edges of copper truly lie, to a fraction of a pixel.

A classifier says on which side of an edge a pixel lies, but not where the edge runs: mixed pixels look like copper beneath
the mask, and examples of thin copper are mostly edge. So an edge is placed where the colour is midway between the levels of
its own two bands, read off a little away from it.

Two things move that place. Mask that climbs over copper's edge is lighter where it faces the lamp and darker behind, which
shifts all edges of covered copper one way; `relief` reads that off the mean profiles of all edges of a side. And the solder
mask's opening leaves a ring of laminate round a land, which widens it for the eye; `land_rims` tells the ring from the land.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.board.along_edges import along_edges, outwards, taken
from lidoff.board.classes import BARE, CLASSES, COVERED, LAMINATE, LEGEND
from lidoff.board.edge_bands import EdgeBands, edge_bands, grown_band
from lidoff.board.edge_wander import edge_wander
from lidoff.board.frame import FRONT
from lidoff.board.glow import Glow, glow_of
from lidoff.board.land_rims import LEAST_PLACES, land_level
from lidoff.board.land_shapes import depth_in_lands, free_rims, laid_lands, with_laid_lands
from lidoff.board.layout import Hole
from lidoff.board.lit_rims import rims_aside
from lidoff.board.package import PlacedPart
from lidoff.board.rectify import COARSE
from lidoff.board.relief import edge_profiles, relief_shift
from lidoff.board.rims import even_lines, rims
from lidoff.board.ruled_edges import ruled
from lidoff.board.thin_gaps import thin_gaps
from lidoff.board.via_rings import RoundCopper, round_copper

__all__ = ["SettledEdges", "settled_edges"]

_NEAR = 0.5  # standard deviation of the surroundings that tell a level [mm]
_LAND_NEAR = 0.3  # the same for metal, which shines differently from land to land [mm]
_WIDE = 3.0  # the same where nothing is near [mm]
_PHOTO_BLUR = (
    0.75  # blur of a sharp photo: two thirds of a pixel from the lens, the rest from its own pixels [details]
)
_ROUNDS = 4  # edges and levels in turn; each halves what is left
_FAR = 0.02  # weight of what is far against what is near
_SAME_METAL, _OTHER_METAL = (
    0.3,
    0.45,
)  # off the usual metal by so much of its step from laminate: metal, no metal
_OPENED = (1.0, 2.0, 3.0)  # how far the opening and its blur reach [pixels]

_FRINGE = 1.6  # how far a coarse photo blurs a land's light [details]
_OUTERMOST = 1.54  # mean of the largest of ten independent normal values [standard deviations]
_ACROSS_PRINT = 1.5  # blur that carries what is seen a little beneath print [pixels]
_TOLD = 0.1  # how finely an edge between two pixels is told [pixels]

Plane = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SettledEdges:
    """Class probabilities with every edge of copper in its place.

    Parameters
    ----------
    probability : ndarray of shape (H, W, 7)
        In the order of `CLASSES`.
    uncertainty : float or None
        Standard uncertainty of an edge's place as the photo shows it [pixels]; None where it shows too few edges to tell.
    discs : RoundCopper or None
        Copper beneath the mask about drilled holes; None where no such disc is seen whole.
    """

    probability: Plane
    uncertainty: float | None
    discs: RoundCopper | None = None


def settled_edges(
    probability: Plane,
    even: Plane,
    px_per_mm: float,
    *,
    detail: float = 1.0,
    held: NDArray[np.bool_] | None = None,
    parts: Sequence[PlacedPart] = (),
    side: str = FRONT,
    holes: Sequence[Hole] = (),
) -> SettledEdges:
    """Every edge of copper put where its colour is midway.

    Parameters
    ----------
    probability : ndarray of shape (H, W, 7)
        In the order of `CLASSES`.
    even : ndarray of shape (H, W, 3)
        Picture in even light, sRGB 0…255.
    px_per_mm : float
        Raster.
    detail : float
        Size of the photo's own pixels in pixels of this raster; one or more.
    held : ndarray of shape (H, W), optional
        True where the class is known and stays.
    parts : sequence of PlacedPart
        Parts placed so far, whose lands are laid onto their rims.
    side : str
        "front" or "back".
    holes : sequence of Hole
        Known or likely ones that are not in a placed land.

    Returns
    -------
    SettledEdges
        With a new array; only pixels near edges of copper differ.

    Notes
    -----
    The uncertainty is that of an edge of covered copper and one of a land together, for a gap may have one of each, and their
    shifts go one way. It adds, in squares: how far found edges waver about straight ones, which holds the photo's noise, the
    fabric's weave and the blur against the contrast, and counts as the outermost of ten places does, for the shortest way
    across a gap picks that one; what the shift by light on the relief, and the ring round the lands, leave unsure; and how
    finely an edge is told between two pixels. It holds nothing of the scale, of registration, or of pixels taken for the wrong
    class.
    """
    bands = edge_bands(probability, detail)
    free = np.ones(bands.bare.shape, bool) if held is None else ~held
    settled = probability.copy()
    gaps = np.zeros(free.shape, bool)
    covered, bare, laminate, legend = (CLASSES.index(name) for name in (COVERED, BARE, LAMINATE, LEGEND))
    unsure: list[float] = []
    discs: RoundCopper | None = None
    masked = _is_masked(even, bands)
    level, edge, metal, own = 0.5, 0.0, np.zeros(free.shape, np.float32), np.zeros(free.shape, np.float32)
    if bands.mask_band.any():
        high = _levels(even, bands.covered_core, px_per_mm, _NEAR)
        low = _levels(even, bands.laminate_core, px_per_mm, _NEAR)
        share = _share(even, high, low, high - low)
        if detail >= COARSE:
            high, low = _blurred_levels(even, share, bands, px_per_mm, detail)
        bands, share, metal = _without_glow(even, high, low, bands, px_per_mm)
        bands = replace(bands, mask_band=grown_band(bands, share, detail))
        seen = np.where(bands.mask_band, share, bands.covered)
        # A photo of full resolution shows every gap that a board house etches.
        gaps = thin_gaps(share, detail=detail) if detail >= COARSE else gaps
        near = _near(bands.mask_band) & bands.settling
        profiles = edge_profiles(even, high, low, along_edges(seen, seen, near), bands.mask_free)
        shift = relief_shift(profiles, levels_hold=detail >= COARSE)
        unsure += [] if shift.uncertainty is None else [shift.uncertainty]
        share = _moved(share, seen, shift.outwards) if np.any(shift.outwards) else share
        blur = _PHOTO_BLUR * detail
        discs = round_copper(share, bands.settling, bands.masked, holes, px_per_mm, blur=blur)
        inner = np.where(bands.mask_band, np.clip(share, 0.0, 1.0), bands.covered + bands.bare)
        own = np.clip(along_edges(share, inner, near), 0.0, 1.0)
        if masked and detail < COARSE:
            own = np.where(bands.near_land, _least_outwards(own, bands.bare), own)
        share, here = metal + (1.0 - metal) * own, bands.mask_band
        if np.any(shift.outwards):
            share = np.where(here, share, _classed(probability, shift.outwards))
            here = here | bands.lit_band
        here = here & free
        both = probability[here, covered] + probability[here, laminate]
        settled[here, covered] = both * share[here]
        settled[here, laminate] = both * (1.0 - share[here])
    if (bands.land_band | bands.narrow).any():
        high = _levels(even, _usual_metal(even, bands), px_per_mm, _LAND_NEAR)
        low = _levels(even, bands.laminate_core, px_per_mm, _NEAR)
        share = _share(even, high, low, high - low)
        seen = np.where(bands.land_band, share, bands.bare)
        laid = list(laid_lands(share, bands.spoiling, parts, side, px_per_mm))
        if masked:
            places, facing = free_rims(laid, bands.spoiling)
            if len(places) < LEAST_PLACES:
                places, facing = rims(seen, bands.land_band)
            rim = land_level(even, seen, places, facing, px_per_mm, detail=detail)
            level, edge = rim.level, rim.edge
            unsure.append(rim.uncertainty)
            if rim.ring is not None:
                x, y = rims_aside(even, places, facing, rim.ring)
                if x or y:
                    share = taken(share, np.full_like(share, -x), np.full_like(share, -y))
                    laid = [replace(one, at=(one.at[0] + x, one.at[1] + y)) for one in laid]
        share = np.clip(share - (level - 0.5), 0.0, 1.0)
        here = bands.land_band & free
        every = sum(probability[here, index] for index in (covered, bare, laminate, legend))
        settled[here, bare] = every * share[here]
        settled[here, laminate] = every * (1.0 - share[here])
        settled[here, covered] = settled[here, legend] = 0.0
        # Between a land and copper close by, what is neither the land's light nor copper's is laminate.
        here = bands.narrow & free & ~bands.mask_band
        every = sum(probability[here, index] for index in (covered, bare, laminate, legend))
        copper = np.clip(share[here] + (1.0 - metal[here]) * own[here], 0.0, 1.0)
        settled[here, bare] = every * np.minimum(share[here], copper)
        settled[here, covered] = every * np.maximum(copper - share[here], 0.0)
        settled[here, laminate] = every * (1.0 - copper)
        settled[here, legend] = 0.0
        if laid:
            fringe = _FRINGE * detail if detail >= COARSE else 0.0
            depth = depth_in_lands(laid, free.shape, fringe + 2.0, grow=edge)
            near = (bands.land_band | bands.narrow) & free
            settled = with_laid_lands(settled, share, depth, near, fringe=fringe)
    gaps &= free
    settled[gaps, laminate] += settled[gaps, covered] + settled[gaps, bare]
    settled[gaps, covered] = settled[gaps, bare] = 0.0
    copper = settled[..., covered] + settled[..., bare]
    lines = even_lines(copper)
    wander = edge_wander(lines, bands.mask_band | bands.land_band, px_per_mm)
    straight = ruled(copper, lines, bands.mask_free, px_per_mm, detail=detail, wander=wander)
    settled = _with_copper(settled, copper, straight, free & ~gaps)
    told = None
    if wander is not None and unsure:
        told = float(np.linalg.norm([*unsure, _OUTERMOST * wander, _TOLD]))
    return SettledEdges(probability=settled, uncertainty=told, discs=discs)


def _with_copper(settled: Plane, before: Plane, after: Plane, free: NDArray[np.bool_]) -> Plane:
    """Probabilities with another share of copper; between its own kinds, and between what is none, shares stay."""
    kinds = [CLASSES.index(name) for name in (COVERED, BARE)]
    here = free & (after != before)
    every, share, own = settled[here].sum(axis=1), after[here], before[here]
    changed = settled[here] * ((every - share) / np.maximum(every - own, 1e-6))[:, None]
    changed[:, kinds] = settled[here][:, kinds] * (share / np.maximum(own, 1e-6))[:, None]
    # Where there was none of either, it is copper beneath the mask, or laminate.
    changed[:, CLASSES.index(COVERED)] += np.where(own < 1e-6, share, 0.0)
    changed[:, CLASSES.index(LAMINATE)] += np.where(every - own < 1e-6, every - share, 0.0)
    settled[here] = changed
    return settled


def _without_glow(
    even: Plane, high: Plane, low: Plane, bands: EdgeBands, px_per_mm: float
) -> tuple[EdgeBands, Plane, Plane]:
    """Bands that reach up to lands and print where their light is told apart, copper's share without it, and metal's."""

    def taken_away(picture: Plane, weight: Plane, near: NDArray[np.bool_]) -> Glow:
        return glow_of(picture, high, low, _levels(even, weight, px_per_mm, _LAND_NEAR), near)

    metal = taken_away(even, _usual_metal(even, bands), bands.near_land)
    ink = taken_away(metal.without, bands.legend_core, bands.near_print)
    body = taken_away(ink.without, bands.body_core, bands.near_body)
    told = metal.told | ink.told | body.told
    reaching = replace(
        bands,
        mask_band=bands.mask_band | (bands.lit_band & told),
        near_land=bands.near_land & metal.told,
        narrow=bands.narrow & metal.told,
    )
    return reaching, _share(body.without, high, low, high - low), metal.share


def _near(band: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """A band, and as far beyond as anything is looked at across its edges."""
    import cv2

    reach = 2 * round(max(_OPENED)) + 1
    return np.asarray(cv2.dilate(band.astype(np.uint8), np.ones((reach, reach), np.uint8)) > 0)


def _is_masked(even: Plane, bands: EdgeBands) -> bool:
    """Whether copper beneath the mask looks otherwise than bare copper: without a mask there is no opening in it."""
    weights = (bands.bare_core, bands.covered_core, bands.laminate_core)
    bare, covered, laminate = (
        np.sum(even * one[..., None], axis=(0, 1)) / max(float(one.sum()), 1e-6) for one in weights
    )
    return bool(np.linalg.norm(bare - covered) > 0.4 * np.linalg.norm(bare - laminate))


def _usual_metal(even: Plane, bands: EdgeBands) -> Plane:
    """Weights of metal without what has another colour than rims have: a hole in a land would darken the land's level."""
    metal = even[bands.bare_rim]
    if len(metal) == 0:
        return bands.bare_core
    usual = np.median(metal, axis=0)
    weight = bands.laminate_core[..., None]
    laminate = np.sum(even * weight, axis=(0, 1)) / max(float(weight.sum()), 1e-6)
    off = np.linalg.norm(even - usual, axis=2) / max(float(np.linalg.norm(usual - laminate)), 1e-3)
    kept = np.clip((_OTHER_METAL - off) / (_OTHER_METAL - _SAME_METAL), 0.0, 1.0)
    return np.asarray(bands.bare_core * kept, np.float32)


def _levels(even: Plane, weight: Plane, scale: float, near: float) -> Plane:
    """Mean colour of the weighted pixels round each place: those near by, or farther ones where there are none."""
    every = np.sum(even * weight[..., None], axis=(0, 1)) / max(float(weight.sum()), 1e-6)
    weighted = np.concatenate([even * weight[..., None], weight[..., None]], axis=2)
    wide, close = _spread(weighted, _WIDE * scale), _spread(weighted, near * scale)
    far = (wide[..., :3] + 1e-4 * every) / (wide[..., 3:] + 1e-4)
    return np.asarray((close[..., :3] + 0.01 * far) / (close[..., 3:] + 0.01), np.float32)


def _blurred_levels(
    even: Plane, share: Plane, bands: EdgeBands, px_per_mm: float, detail: float
) -> tuple[Plane, Plane]:
    """Levels of copper and laminate where tracks and gaps are so thin that blur keeps them from reaching either.

    A thin track's lightest pixels lie below copper's level, and half of that is too wide a track. So the edges found so far
    are blurred as the photo was, and the colours near by are fitted to them by least squares; that moves the edges, and so on.
    """
    import cv2

    blur = _PHOTO_BLUR * detail
    known = bands.mask_free | (bands.covered_core + bands.laminate_core > 0.05)
    weight = known[..., None].astype(np.float32)
    for _ in range(_ROUNDS):
        inner = np.clip(0.5 + (share - 0.5) * (np.sqrt(2.0 * np.pi) * blur), 0.0, 1.0)
        copper = np.where(bands.mask_band, inner, bands.covered + bands.bare).astype(np.float32)
        soft = cv2.GaussianBlur(copper, (0, 0), blur)[..., None]
        counted = weight * np.concatenate([np.ones_like(soft), soft, soft**2], axis=2)
        sums, plain, lit = (
            _spread(part, _NEAR * px_per_mm) + _FAR * _spread(part, _WIDE * px_per_mm)
            for part in (counted, weight * even, weight * soft * even)
        )
        count, first, second = (sums[..., number, None] for number in range(3))
        step = (count * lit - first * plain) / np.maximum(count * second - first**2, 1e-6)
        low = (plain - first * step) / np.maximum(count, 1e-6)
        share = _share(even, low + step, low, step)
    return np.asarray(low + step, np.float32), np.asarray(low, np.float32)


def _spread(picture: Plane, sigma: float) -> Plane:
    """Gaussian blur on a smaller copy, whose loss of detail the blur hides."""
    import cv2

    step = max(1, int(sigma / 3.0))
    small = cv2.resize(picture, None, fx=1.0 / step, fy=1.0 / step, interpolation=cv2.INTER_AREA)
    size = (picture.shape[1], picture.shape[0])
    blurred = cv2.GaussianBlur(small, (0, 0), sigma / step)
    return np.asarray(cv2.resize(blurred, size, interpolation=cv2.INTER_LINEAR), np.float32)


def _share(even: Plane, high: Plane, low: Plane, along: Plane) -> Plane:
    """Place of each pixel's colour between two levels, 0…1 and a little beyond, as seen in one direction of colour."""
    span = np.sum((high - low) * along, axis=2)
    place = np.sum((even - low) * along, axis=2) / np.where(np.abs(span) > 1e-3, span, 1e-3)
    return np.asarray(np.clip(place, -1.0, 2.0), np.float32)


def _least_outwards(own: Plane, bare: Plane) -> Plane:
    """Least share of copper beneath the mask from each place some pixels away from a land.

    In the mask's opening there is none: what looks like it there is the ring of open laminate, beyond which lies mask. A
    track that comes up to the land is copper all the way.
    """
    x, y = outwards(bare)
    every = [own, *(taken(own, step * x, step * y) for step in _OPENED)]
    return np.asarray(np.min(every, axis=0), np.float32)


def _classed(probability: Plane, shift: NDArray[np.float64]) -> Plane:
    """Share of copper as the classes have it, with every edge moved back.

    Where the light of lands and print cannot be told apart from the mask's, edges stay as classed; but light on relief has
    moved them all the same.
    """
    import cv2

    covered, bare, laminate = (CLASSES.index(name) for name in (COVERED, BARE, LAMINATE))
    copper = probability[..., covered] + probability[..., bare]
    every = copper + probability[..., laminate]
    near = [cv2.GaussianBlur(np.ascontiguousarray(one), (0, 0), _ACROSS_PRINT) for one in (copper, every)]
    # Print and bodies hide which it is: there it is what is seen round them.
    share = np.where(every > 0.5, copper / np.maximum(every, 1e-6), near[0] / np.maximum(near[1], 1e-6))
    share = np.asarray(np.clip(share, 0.0, 1.0), np.float32)
    return _moved(share, share, shift)


def _moved(share: Plane, seen: Plane, shift: NDArray[np.float64]) -> Plane:
    """The share with every edge moved back by the shift of its own direction."""
    x, y = outwards(seen)
    turn = np.arctan2(y, x) / (2 * np.pi) * len(shift)
    by = np.asarray(shift, np.float32)[np.round(turn).astype(np.int32) % len(shift)]
    return taken(share, by * x, by * y)
