"""Round things on a side: holes seen through, lands with and without a hole; with a doubt about the plating."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import Points
from lidoff.board.rectify import Rectified

__all__ = ["RoundSpot", "find_round_spots"]

_WORKING = 16.0  # raster on which spots are looked for, at most [pixels/mm]
_ANGLES = 32
_LARGEST_BY_COLOUR = 1.2  # diameter up to which holes are also looked for by their colour [mm]
_METAL = 0.5  # how much a rim must look like metal to be a land's
_WITHIN = 0.85  # diameter of a hole over its land's, at most
_CONCENTRIC = 0.12  # how far their centres may lie apart, in diameters of the land


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundSpot:
    """One round spot of a side.

    Parameters
    ----------
    at : tuple of float
        Centre [mm].
    diameter : float
        Of the inner edge [mm].
    darker : bool
        Whether the inside is darker than its rim, or of another hue than the mask round it.
    roundness : float
        Share of the directions in which the edge lies at one radius, 0…1.
    contrast : float
        Step of lightness at the edge, in units of full scale; of a spot found by its hue, three times the step of hue.
    metal_rim : float
        How much the rim looks like bare metal, 0…1.
    """

    at: tuple[float, float]
    diameter: float
    darker: bool
    roundness: float
    contrast: float
    metal_rim: float


def find_round_spots(
    side: Rectified, *, smallest: float = 0.3, largest: float = 9.0, limit: int = 2500
) -> tuple[RoundSpot, ...]:
    """Round spots of a rectified side, best first.

    Parameters
    ----------
    side : Rectified
        The flat picture.
    smallest, largest : float
        Diameters looked for [mm].
    limit : int
        Most spots returned.

    Returns
    -------
    tuple of RoundSpot
        Holes, and lands that are round; overlapping finds are reduced to the best.

    Notes
    -----
    Extrema of the scale-normalised Laplacian give candidates; the radial edge of each is then measured in 32 directions
    and a circle fitted to it.

    References
    ----------
    .. [1] T. Lindeberg, *Feature detection with automatic scale selection*, International Journal of Computer Vision 30
       (1998).
    """
    import cv2

    shrink = min(1.0, _WORKING / side.px_per_mm)
    picture = side.picture
    if shrink < 1.0:
        size = (max(round(picture.shape[1] * shrink), 1), max(round(picture.shape[0] * shrink), 1))
        picture = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    scale = picture.shape[1] / side.picture.shape[1] * side.px_per_mm
    lab = cv2.cvtColor(picture, cv2.COLOR_RGB2LAB)
    lightness = lab[..., 0].astype(np.float32) / 255.0
    spots = _measured(lightness, picture, _candidates(lightness, scale, smallest, largest), scale)
    # Through a small hole in a coloured mask shows another colour, often of the same lightness.
    hue = _likeness(lab, scale)
    candidates = _candidates(hue, scale, smallest, min(largest, _LARGEST_BY_COLOUR))
    coloured = _measured(hue, picture, candidates[candidates[:, 3] > 0.0], scale)
    return _without_overlaps([*spots, *_without_lands(coloured, spots)])[:limit]


def _without_lands(coloured: list[RoundSpot], spots: list[RoundSpot]) -> list[RoundSpot]:
    """Spots of another hue less the lands among them: a land differs from the mask as a hole does.

    Where lightness shows a dark hole with metal round it, the wider spot about the same centre is that hole's land; kept, it
    would pass for the hole, since a land's edge is the stronger one.
    """
    from scipy.spatial import cKDTree

    ringed = [spot for spot in spots if spot.darker and spot.metal_rim >= _METAL]
    if not coloured or not ringed:
        return coloured
    tree = cKDTree(np.array([spot.at for spot in ringed]))
    return [
        spot
        for spot in coloured
        if not any(
            ringed[k].diameter < _WITHIN * spot.diameter
            for k in tree.query_ball_point(spot.at, _CONCENTRIC * spot.diameter)
        )
    ]


def _likeness(lab: NDArray[np.uint8], scale: float) -> NDArray[np.float32]:
    """How like the surroundings' hue each pixel is: one where it is the same, less where it differs.

    Hues differ by less than lightness does: three times the distance counts like a step of lightness.
    """
    import cv2

    colour = lab[..., 1:].astype(np.float32) / 255.0
    step = max(1, int(0.5 * scale))
    small = cv2.resize(lab, None, fx=1.0 / step, fy=1.0 / step, interpolation=cv2.INTER_AREA)
    window = min(2 * max(2, round(2.0 * scale / step)) + 1, 2 * (min(small.shape[:2]) // 2) - 1)
    usual = np.stack([cv2.medianBlur(np.ascontiguousarray(small[..., k]), window) for k in (1, 2)], axis=-1)
    wide = cv2.resize(usual, (lab.shape[1], lab.shape[0]), interpolation=cv2.INTER_LINEAR) / np.float32(255.0)
    difference = colour - wide
    return np.asarray(1.0 - 3.0 * np.hypot(difference[..., 0], difference[..., 1]), np.float32)


def _candidates(
    lightness: NDArray[np.float32], scale: float, smallest: float, largest: float
) -> NDArray[np.float64]:
    """Rows (x, y, radius in pixels, strength) of Laplacian extrema."""
    import cv2

    radii = []
    radius = max(smallest / 2 * scale, 1.5)
    while radius <= largest / 2 * scale:
        radii.append(radius)
        radius *= 1.3
    found = []
    for radius in radii:
        sigma = radius / math.sqrt(2.0)
        # Large spots are looked for on a smaller copy: the answer is the same and the blur cheaper.
        step = max(1, int(sigma / 3.0))
        copy = (
            cv2.resize(lightness, None, fx=1.0 / step, fy=1.0 / step, interpolation=cv2.INTER_AREA)
            if step > 1
            else lightness
        )
        factor = lightness.shape[1] / copy.shape[1]
        inner = sigma / factor
        response = (inner**2) * cv2.Laplacian(cv2.GaussianBlur(copy, (0, 0), inner), cv2.CV_32F)
        for sign in (1.0, -1.0):
            signed = sign * response
            window = np.ones((2 * max(1, round(inner)) + 1,) * 2, np.uint8)
            peak = (signed == cv2.dilate(signed, window)) & (signed > 0.035)
            y, x = np.nonzero(peak)
            strength = signed[y, x]
            found.append(
                np.stack(
                    [
                        (x + 0.5) * factor - 0.5,
                        (y + 0.5) * factor - 0.5,
                        np.full(len(x), radius),
                        sign * strength,
                    ],
                    axis=1,
                )
            )
    everything = np.concatenate(found) if found else np.empty((0, 4))
    order = np.argsort(-np.abs(everything[:, 3]))
    return np.asarray(everything[order][:6000])


def _measured(
    lightness: NDArray[np.float32], picture: NDArray[np.uint8], candidates: NDArray[np.float64], scale: float
) -> list[RoundSpot]:
    """Fit a circle to each candidate's radial edge; all candidates of one pass at once."""
    if len(candidates) == 0:
        return []
    centre, radius = candidates[:, :2].copy(), candidates[:, 2].copy()
    sign = np.sign(candidates[:, 3])
    smooth = _smooth(lightness)
    for _ in range(2):
        edge, step = _radial_edges(smooth, centre, radius, sign)
        centre, radius = _circles(centre, edge, step)
    edge, step = _radial_edges(smooth, centre, radius, sign)
    middle = np.median(edge, axis=1)
    contrast = np.median(step, axis=1)
    at_edge = np.abs(edge - middle[:, None]) < np.maximum(0.12 * middle[:, None], 0.8)
    # A line's end or a letter's bow has an edge on some of its sides only.
    roundness = (at_edge & (step > np.maximum(0.4 * contrast[:, None], 0.015))).mean(axis=1)
    keep = np.nonzero((roundness > 0.72) & (contrast > 0.03) & (middle > 1.2))[0]
    rim = _rim_metal(picture, centre[keep], middle[keep])
    return [
        RoundSpot(
            at=(float((centre[i, 0] + 0.5) / scale), float((centre[i, 1] + 0.5) / scale)),
            diameter=float(2 * middle[i] / scale),
            darker=bool(sign[i] > 0),
            roundness=float(roundness[i]),
            contrast=float(contrast[i]),
            metal_rim=float(metal),
        )
        for i, metal in zip(keep, rim, strict=True)
    ]


def _smooth(lightness: NDArray[np.float32]) -> NDArray[np.float32]:
    import cv2

    return np.asarray(cv2.GaussianBlur(lightness, (0, 0), 0.7))


def _directions() -> NDArray[np.float64]:
    angle = np.arange(_ANGLES) * 2 * np.pi / _ANGLES
    return np.stack([np.cos(angle), np.sin(angle)], axis=1)


def _radial_edges(
    lightness: NDArray[np.float32], centre: Points, radius: NDArray[np.float64], sign: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Radius and height of the steepest step in each direction; arrays of shape (N, 32)."""
    import cv2

    shares = np.linspace(0.35, 1.75, 24)
    reach = radius[:, None, None] * shares[None, None, :]
    places = centre[:, None, None, :] + reach[..., None] * _directions()[None, :, None, :]
    flat = places.astype(np.float32).reshape(len(centre), -1, 2)
    profile = cv2.remap(
        lightness, flat[..., 0], flat[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    ).reshape(len(centre), _ANGLES, len(shares))
    slope = sign[:, None, None] * (profile[..., 2:] - profile[..., :-2])
    # Steps near the expected radius win over stronger ones farther out, such as the land's outer edge.
    prior = np.exp(-0.5 * ((shares[1:-1] - 1.0) / 0.35) ** 2)
    best = np.argmax(slope * prior, axis=2)
    rows, columns = np.indices(best.shape)
    middle = np.clip(best, 1, slope.shape[2] - 2)
    left, here, right = (slope[rows, columns, middle + k] for k in (-1, 0, 1))
    bend = left - 2 * here + right
    shift = np.where(np.abs(bend) > 1e-6, 0.5 * (left - right) / np.where(np.abs(bend) > 1e-6, bend, 1), 0)
    share = np.interp(middle + 1 + np.clip(shift, -0.5, 0.5), np.arange(len(shares)), shares)
    return np.asarray(share * radius[:, None]), np.asarray(slope[rows, columns, best], dtype=np.float64)


def _circles(
    centre: Points, edge: NDArray[np.float64], step: NDArray[np.float64]
) -> tuple[Points, NDArray[np.float64]]:
    """Weighted first-order circle fit: r(φ) ≈ r₀ + a·cos φ + b·sin φ moves the centre by (a, b)."""
    middle = np.median(edge, axis=1, keepdims=True)
    weight = np.clip(step, 0, None) * (np.abs(edge - middle) < 0.3 * middle) + 1e-9
    basis = np.concatenate([np.ones((_ANGLES, 1)), _directions()], axis=1)
    normal = np.einsum("nk,ki,kj->nij", weight, basis, basis) + 1e-9 * np.eye(3)
    right = np.einsum("nk,ki,nk->ni", weight, basis, edge)
    fit = np.linalg.solve(normal, right[..., None])[..., 0]
    shift = np.clip(fit[:, 1:], -0.5 * middle, 0.5 * middle)
    return centre + shift, np.clip(fit[:, 0], 0.5 * middle[:, 0], 1.5 * middle[:, 0])


def _rim_metal(
    picture: NDArray[np.uint8], centre: Points, radius: NDArray[np.float64]
) -> NDArray[np.float64]:
    """How far the rim's colour stands out from the board round it, 0…1."""
    import cv2

    if len(centre) == 0:
        return np.empty(0)
    lab = cv2.cvtColor(picture, cv2.COLOR_RGB2LAB).astype(np.float32)
    colours = []
    for share in (1.25, 2.6):
        places = centre[:, None, :] + (share * radius + 1.0)[:, None, None] * _directions()[None]
        flat = places.astype(np.float32)
        sampled = cv2.remap(
            lab, flat[..., 0], flat[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
        colours.append(np.median(sampled, axis=1))
    lift = (colours[0][:, 0] - colours[1][:, 0]) / 255.0
    return np.asarray(np.clip(lift / 0.25, 0.0, 1.0))


def _without_overlaps(spots: list[RoundSpot]) -> tuple[RoundSpot, ...]:
    from scipy.spatial import cKDTree

    if not spots:
        return ()
    ranked = sorted(spots, key=lambda spot: (-(spot.roundness * min(spot.contrast, 0.3)), spot.at))
    places = np.array([spot.at for spot in ranked])
    tree = cKDTree(places)
    taken = np.zeros(len(ranked), bool)
    kept = []
    for index, spot in enumerate(ranked):
        if taken[index]:
            continue
        kept.append(spot)
        for other in tree.query_ball_point(places[index], 0.5 * spot.diameter + 0.1):
            # A land and the hole in it share a centre, but neither polarity nor size: both stay.
            ratio = ranked[other].diameter / spot.diameter
            if ranked[other].darker == spot.darker and 0.4 < ratio < 2.5:
                taken[other] = True
    return tuple(kept)
