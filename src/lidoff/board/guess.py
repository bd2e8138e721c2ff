"""First guess without a stroke: how light falls, and which pixels are surely what.

Over one colour of mask, a pixel's logarithmic colour is a smooth field of light plus one constant step where copper lies
beneath. The step is read off at the edges, where both levels stand side by side under one light; the field then follows from
both sides of every edge and is carried on over the areas between. What is not of the mask's hue is metal, print, body or
hole and is told apart by colour, width and sharpness.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.classes import BACKGROUND, CLASSES, COVERED, LAMINATE
from lidoff.board.holes import RoundSpot
from lidoff.board.levels import carried_on, edge_levels, flooded_sides, pixel_scatter, square_element
from lidoff.board.metal import mark_others

__all__ = ["FirstGuess", "first_guess"]


UNSURE = -1


_WORKING = 20.0  # raster of the guess, at most [pixels/mm]


_PALED = 0.6  # chroma over lightness against the usual one, below which a coloured mask is printed upon


_COARSE = (
    1.5  # pixels of the working raster to one of the photo, from which on print is blurred into the mask
)


_MOST_PIXELS = 1_500_000  # pixels of the guess, at most


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FirstGuess:
    """Seeds for the classifier.

    Parameters
    ----------
    labels : ndarray of shape (H, W)
        Index into `CLASSES`, −1 where unsure.
    light : ndarray of shape (H, W, 3)
        Field of light per channel, one at its median.
    step : tuple of float
        Step of the logarithmic colour from the darker to the lighter level.
    separation : float
        Step over scatter; below about 3 copper is hardly seen.
    copper_lighter : bool
        Whether copper was taken for the lighter level.
    """

    labels: NDArray[np.int8]
    light: NDArray[np.float32]
    step: tuple[float, float, float]
    separation: float
    copper_lighter: bool


def first_guess(
    picture: NDArray[np.uint8],
    px_per_mm: float,
    *,
    board: NDArray[np.bool_],
    spots: tuple[RoundSpot, ...] = (),
    copper_lighter: bool | None = None,
    detail_mm: float = 0.0,
) -> FirstGuess:
    """Seeds and light of one side.

    Parameters
    ----------
    picture : ndarray of shape (H, W, 3)
        Flat picture of the side.
    px_per_mm : float
        Raster.
    board : ndarray of shape (H, W)
        True on the board.
    spots : tuple of RoundSpot
        Round things found, for the holes among them.
    copper_lighter : bool, optional
        Which level is copper; None: the lighter one, but on white masks the darker and without mask the redder one.
    detail_mm : float
        Smallest detail that the photo holds, about one of its own pixels [mm]; 0 takes the raster's.

    Returns
    -------
    FirstGuess
        A guess: strokes and readings have the last word.
    """
    import cv2

    count = picture.shape[0] * picture.shape[1]
    shrink = min(1.0, _WORKING / px_per_mm, (_MOST_PIXELS / count) ** 0.5)
    size = (max(round(picture.shape[1] * shrink), 8), max(round(picture.shape[0] * shrink), 8))
    small = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    inside = cv2.resize(board.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST_EXACT) > 0
    scale = px_per_mm * size[0] / picture.shape[1]
    lab = cv2.cvtColor(small.astype(np.float32) / 255, cv2.COLOR_RGB2LAB)
    detail = max(detail_mm * scale, 1.0)
    ground = _ground(lab, inside, scale, detail)
    log_colour = np.log(cv2.GaussianBlur(small, (0, 0), 0.6).astype(np.float32) + 6.0)
    edges = edge_levels(log_colour, ground, scale, detail)
    step, scatter = edges.step, pixel_scatter(log_colour, ground)
    size2 = max(float(step @ step), 1e-9)
    sides = flooded_sides(edges.markers, edges.slope, inside, scale)
    field = carried_on(edges.middle, edges.weight, inside, scale)
    pure = cv2.erode((ground & inside).astype(np.uint8), square_element(max(0.12 * scale, 1.2 * detail))) > 0
    for _ in range(2):
        implied = log_colour - (0.5 * sides)[..., None] * step
        known = pure & (sides != 0)
        field = carried_on(np.where(known[..., None], implied, 0), known.astype(np.float32), inside, scale)
    rest = log_colour - field
    level = (rest @ step) / size2
    away = np.linalg.norm(rest - level[..., None] * step, axis=2)
    if copper_lighter is None:
        copper_lighter = _copper_is_lighter(lab, ground, step)
    labels = np.full(inside.shape, UNSURE, np.int8)
    near = pure & (away < 0.5 * float(np.sqrt(size2)) + 3 * scatter)
    upper, lower = (COVERED, LAMINATE) if copper_lighter else (LAMINATE, COVERED)
    labels[near & (sides > 0) & (level > 0.2) & (level < 1.1)] = CLASSES.index(upper)
    labels[near & (sides < 0) & (level < -0.2) & (level > -1.1)] = CLASSES.index(lower)
    light = np.exp(field - np.median(field[inside], axis=0)).astype(np.float32)
    mark_others(labels, lab, inside, ground, scale, spots, sharp=detail < _COARSE)
    labels[cv2.erode(inside.astype(np.uint8), square_element(0.35 * scale), borderValue=0) == 0] = UNSURE
    labels[~inside] = CLASSES.index(BACKGROUND)
    labels = _filled(labels, small)
    full = (picture.shape[1], picture.shape[0])
    return FirstGuess(
        labels=cv2.resize(labels, full, interpolation=cv2.INTER_NEAREST_EXACT),
        light=cv2.resize(light, full, interpolation=cv2.INTER_LINEAR),
        step=(float(step[0]), float(step[1]), float(step[2])),
        separation=float(np.sqrt(size2)) / scatter,
        copper_lighter=copper_lighter,
    )


def _filled(labels: NDArray[np.int8], picture: NDArray[np.uint8]) -> NDArray[np.int8]:
    """Unsure pixels taken by the sure ones beside them, up to where the colour changes most.

    So the seeds hold the mixed pixels along every edge as well, on the side of the edge where they belong: pixels between
    a bright land and laminate look like copper beneath the mask, and only examples teach otherwise.
    """
    import cv2
    from skimage.segmentation import watershed

    # Steps of plain values: those of lightness or of logarithms are steepest on an edge's dark side, not in its middle.
    smooth = cv2.GaussianBlur(picture.astype(np.float32), (0, 0), 0.6)
    slope = np.zeros(labels.shape, np.float32)
    for channel in range(3):
        x = cv2.Sobel(smooth[..., channel], cv2.CV_32F, 1, 0)
        y = cv2.Sobel(smooth[..., channel], cv2.CV_32F, 0, 1)
        slope += x * x + y * y
    flooded = watershed(np.sqrt(slope), labels.astype(np.int32) + 1)
    return np.asarray(flooded - 1, np.int8)


def _ground(
    lab: NDArray[np.float32], inside: NDArray[np.bool_], scale: float, detail: float
) -> NDArray[np.bool_]:
    """Pixels of the board's prevailing hue: mask over copper and over laminate alike."""
    import cv2

    a, b = lab[..., 1][inside], lab[..., 2][inside]
    counts, a_edges, b_edges = np.histogram2d(a, b, bins=64, range=[[-64, 64], [-64, 64]])
    counts = cv2.GaussianBlur(counts.astype(np.float32), (0, 0), 1.2)
    i, j = np.unravel_index(int(np.argmax(counts)), counts.shape)
    centre = np.array([(a_edges[i] + a_edges[i + 1]) / 2, (b_edges[j] + b_edges[j + 1]) / 2])
    chroma = float(np.hypot(*centre))
    if chroma > 12.0:
        # A coloured mask keeps its hue in light and shade; what is grey is metal, print or body.
        hue = np.arctan2(lab[..., 2], lab[..., 1])
        turn = np.abs(np.angle(np.exp(1j * (hue - np.arctan2(centre[1], centre[0])))))
        own = np.hypot(lab[..., 1], lab[..., 2])
        own_hue = inside & (turn < 0.5) & (own > 0.4 * chroma)
        if detail < _COARSE:
            return np.asarray(own_hue)
        # White print that a coarse photo blurs over the mask keeps its hue but pales it, in thin lines; glare pales areas.
        depth = own / (lab[..., 0] + 5.0)
        return np.asarray(own_hue & (depth >= _PALED * _usual(depth, scale, 64.0)))
    near = np.hypot(lab[..., 1] - centre[0], lab[..., 2] - centre[1]) < 10.0
    # A grey mask is known by its lightness, held against the usual one near by so that glare is no other thing.
    usual = _usual(lab[..., 0], scale, 2.55)
    return np.asarray(inside & near & (np.abs(lab[..., 0] - usual) < 20.0))


def _usual(values: NDArray[np.float32], scale: float, steps: float) -> NDArray[np.float32]:
    """Median of values round each pixel, in a window of 4 mm and to a fraction 1/`steps`."""
    import cv2

    step = max(1, round(scale / 4))
    coarse = np.ascontiguousarray(np.clip(values[::step, ::step] * steps, 0, 255).astype(np.uint8))
    window = 2 * max(2, round(2.0 * scale / step)) + 1
    usual = cv2.medianBlur(coarse, min(window, 2 * (min(coarse.shape) // 2) - 1)).astype(np.float32) / steps
    size = (values.shape[1], values.shape[0])
    return np.asarray(cv2.resize(usual, size, interpolation=cv2.INTER_LINEAR), np.float32)


def _copper_is_lighter(
    lab: NDArray[np.float32], ground: NDArray[np.bool_], step: NDArray[np.float32]
) -> bool:
    a, b = float(np.median(lab[..., 1][ground])), float(np.median(lab[..., 2][ground]))
    lightness = float(np.median(lab[..., 0][ground]))
    if np.hypot(a, b) < 12.0:
        return lightness < 60.0  # white masks darken over copper, black ones brighten
    if b > 8.0 and a > -4.0:
        # No mask: copper is the redder of the two.
        return bool(step[0] - step[1] > 0.0)
    return True
