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

from lidoff.board.classes import BACKGROUND, BARE, BODY, CLASSES, COVERED, HOLE, LAMINATE, LEGEND
from lidoff.board.holes import RoundSpot

__all__ = ["FirstGuess", "first_guess"]

UNSURE = -1
_WORKING = 20.0  # raster of the guess, at most [pixels/mm]
_MOST_PIXELS = 3_000_000  # pixels of the guess, at most
_BESIDE = 0.16  # how far from an edge its two levels are read [mm]


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
    ground = _ground(lab, inside, scale)
    log_colour = np.log(cv2.GaussianBlur(small, (0, 0), 0.6).astype(np.float32) + 6.0)
    edges = _edge_levels(log_colour, ground, scale, detail)
    step, scatter = edges.step, _scatter(log_colour, ground)
    size2 = max(float(step @ step), 1e-9)
    sides = _flooded(edges.markers, edges.slope, inside)
    field = _carried_on(edges.middle, edges.weight, inside, scale)
    pure = cv2.erode((ground & inside).astype(np.uint8), _square(max(0.12 * scale, 1.2 * detail))) > 0
    for _ in range(2):
        implied = log_colour - (0.5 * sides)[..., None] * step
        known = pure & (sides != 0)
        field = _carried_on(np.where(known[..., None], implied, 0), known.astype(np.float32), inside, scale)
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
    _mark_others(labels, lab, inside, ground, scale, spots)
    labels[cv2.erode(inside.astype(np.uint8), _square(0.35 * scale), borderValue=0) == 0] = UNSURE
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


def _square(radius: float) -> NDArray[np.uint8]:
    """Square element of the given half width, at least three pixels wide."""
    width = 2 * max(1, round(radius)) + 1
    return np.ones((width, width), np.uint8)


def _ground(lab: NDArray[np.float32], inside: NDArray[np.bool_], scale: float) -> NDArray[np.bool_]:
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
        return np.asarray(inside & (turn < 0.5) & (own > 0.4 * chroma))
    near = np.hypot(lab[..., 1] - centre[0], lab[..., 2] - centre[1]) < 10.0
    # A grey mask is known by its lightness, held against the usual one near by so that glare is no other thing.
    step = max(1, round(scale / 4))
    coarse = np.ascontiguousarray(np.clip(lab[::step, ::step, 0] * 2.55, 0, 255).astype(np.uint8))
    window = 2 * max(2, round(2.0 * scale / step)) + 1
    usual = cv2.medianBlur(coarse, min(window, 2 * (min(coarse.shape) // 2) - 1)).astype(np.float32) / 2.55
    usual = cv2.resize(usual, (lab.shape[1], lab.shape[0]), interpolation=cv2.INTER_LINEAR)
    return np.asarray(inside & near & (np.abs(lab[..., 0] - usual) < 20.0))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Edges:
    """Edges of copper: the step, markers (+1 lighter side, −1 darker side), the level midway and its weight, the slope."""

    step: NDArray[np.float32]
    markers: NDArray[np.int32]
    middle: NDArray[np.float32]
    weight: NDArray[np.float32]
    slope: NDArray[np.float32]


def _edge_levels(
    log_colour: NDArray[np.float32], ground: NDArray[np.bool_], scale: float, detail: float
) -> _Edges:
    """Find where one level meets the other, and how far apart they are."""
    import cv2

    lightness = log_colour.mean(axis=2)
    smooth = cv2.GaussianBlur(lightness, (0, 0), max(0.05 * scale, 0.7))
    gx, gy = cv2.Sobel(smooth, cv2.CV_32F, 1, 0) / 8, cv2.Sobel(smooth, cv2.CV_32F, 0, 1) / 8
    slope = np.hypot(gx, gy)
    # Print and metal have stronger edges than copper beneath the mask: keep clear of them.
    pure = cv2.erode(ground.astype(np.uint8), _square(max(0.28 * scale, 2.2 * detail))) > 0
    if pure.sum() < 200:
        pure = ground
    noise = float(np.median(slope[pure])) if np.any(pure) else 0.01
    rows, columns = np.nonzero(pure & (slope > max(2.5 * noise, 0.004)))
    unit_x, unit_y = gx[rows, columns] / slope[rows, columns], gy[rows, columns] / slope[rows, columns]

    def beside(picture: NDArray[np.float32], distance: float) -> NDArray[np.float32]:
        # The sampler takes no picture wider than 32767: the list of places is folded into rows.
        width = 4096
        fold = (-len(rows)) % width
        x = np.pad(columns + distance * unit_x, (0, fold)).astype(np.float32).reshape(-1, width)
        y = np.pad(rows + distance * unit_y, (0, fold)).astype(np.float32).reshape(-1, width)
        taken = cv2.remap(picture, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        return np.asarray(taken.reshape(-1, *picture.shape[2:])[: len(rows)], np.float32)

    crest = (slope[rows, columns] >= beside(slope, 1.0)) & (slope[rows, columns] >= beside(slope, -1.0))
    distance = max(_BESIDE * scale, 1.2 * detail)
    bright, dark = beside(log_colour, distance), beside(log_colour, -distance)
    difference = bright - dark
    good = crest & (difference.sum(axis=1) > 0.02)
    markers = np.zeros(ground.shape, np.int32)
    middle = np.zeros_like(log_colour)
    weight = np.zeros(ground.shape, np.float32)
    if good.sum() < 20:
        step = np.full(3, max(2.0 * noise, 0.05), np.float32)
        return _Edges(step=step, markers=markers, middle=middle, weight=weight, slope=slope)
    strength = np.linalg.norm(difference, axis=1)
    strong = good & (strength >= np.percentile(strength[good], 50))
    step = np.median(difference[strong], axis=0).astype(np.float32)
    fits = good
    for _ in range(4):
        along = (difference @ step) / max(float(step @ step), 1e-9)
        off = np.linalg.norm(difference - along[:, None] * step, axis=1) / max(
            float(np.linalg.norm(step)), 1e-9
        )
        fits = good & (along > 0.5) & (along < 1.8) & (off < 0.6)
        if fits.sum() < 20:
            break
        step = np.median(difference[fits], axis=0).astype(np.float32)
    # Under glare the step shrinks, yet the edge is one: weaker steps mark their sides too, if sharp for their size.
    weak = good & (along > 0.15) & (along < 2.2) & (slope[rows, columns] > 4.0 * noise)
    for chosen, sign in ((fits | weak, 1), (fits | weak, -1)):
        x = np.clip(np.round(columns[chosen] + sign * distance * unit_x[chosen]), 0, ground.shape[1] - 1)
        y = np.clip(np.round(rows[chosen] + sign * distance * unit_y[chosen]), 0, ground.shape[0] - 1)
        markers[y.astype(int), x.astype(int)] = sign
    markers[rows[crest], columns[crest]] = 0
    middle[rows[fits], columns[fits]] = (bright[fits] + dark[fits]) / 2
    weight[rows[fits], columns[fits]] = 1.0
    return _Edges(step=step, markers=markers, middle=middle, weight=weight, slope=slope)


def _flooded(
    markers: NDArray[np.int32], slope: NDArray[np.float32], inside: NDArray[np.bool_]
) -> NDArray[np.float32]:
    """Side of every pixel (+1, −1, 0 unknown), flooded from the markers over the slope.

    Light may change by any amount over an area without a slope that stops the flood; copper's edge stops it.

    References
    ----------
    .. [1] F. Meyer, *Topographic distance and watershed lines*, Signal Processing 38 (1994).
    """
    from skimage.segmentation import watershed

    seeds = np.where(markers > 0, 1, np.where(markers < 0, 2, 0))
    if not np.any(seeds):
        return np.zeros(markers.shape, np.float32)
    flooded = watershed(slope, seeds, mask=inside)
    return np.select([flooded == 1, flooded == 2], [1.0, -1.0], 0.0).astype(np.float32)


def _scatter(log_colour: NDArray[np.float32], ground: NDArray[np.bool_]) -> float:
    """Pixel-to-pixel scatter of the mask's colour."""
    import cv2

    fine = np.linalg.norm(log_colour - cv2.GaussianBlur(log_colour, (0, 0), 1.0), axis=2)
    return max(float(np.median(fine[ground])) if np.any(ground) else 0.01, 0.004)


def _carried_on(
    values: NDArray[np.float32], weight: NDArray[np.float32], inside: NDArray[np.bool_], scale: float
) -> NDArray[np.float32]:
    """Smooth field through weighted values: fine where they are dense, a polynomial where there are none."""
    import cv2

    rows, columns = inside.shape
    y, x = np.indices(inside.shape)
    u, v = x / (columns / 2) - 1.0, y / (rows / 2) - 1.0
    terms = np.stack([u**i * v**j for i in range(3) for j in range(3 - i)], axis=-1)
    index = np.flatnonzero(weight.ravel() > 0)
    chosen = index[:: max(1, len(index) // 30000)]
    flat = values.reshape(-1, 3)
    if len(chosen) < 30:
        level = np.median(flat[index], axis=0) if len(index) else np.zeros(3)
        field = np.broadcast_to(level, values.shape).astype(np.float32)
    else:
        design, target = terms.reshape(-1, 6)[chosen], flat[chosen]
        keep = np.ones(len(chosen), bool)
        for _ in range(4):
            ridge = 1e-3 * keep.sum() * np.diag([0, 1, 1, 1, 1, 1])
            solution = np.linalg.solve(design[keep].T @ design[keep] + ridge, design[keep].T @ target[keep])
            rest = np.linalg.norm(target - design @ solution, axis=1)
            keep = rest < 3 * max(float(np.median(rest)), 0.01)
        field = (terms @ solution).astype(np.float32)
    field = np.array(field)
    for sigma in (10.0, 4.0, 1.6):
        shrink = max(1, int(sigma * scale / 4))
        small = (max(columns // shrink, 2), max(rows // shrink, 2))
        rest = (values - field) * weight[..., None]
        above = cv2.GaussianBlur(
            cv2.resize(rest, small, interpolation=cv2.INTER_AREA), (0, 0), sigma * scale / shrink
        )
        below = cv2.GaussianBlur(
            cv2.resize(weight, small, interpolation=cv2.INTER_AREA), (0, 0), sigma * scale / shrink
        )
        # A thin weight stands for little: it moves the coarser field only in part.
        enough = below / (below + 0.004)
        change = above / np.maximum(below, 1e-6)[..., None] * enough[..., None]
        field += cv2.resize(change, (columns, rows), interpolation=cv2.INTER_LINEAR)
    return field


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


def _mark_others(
    labels: NDArray[np.int8],
    lab: NDArray[np.float32],
    inside: NDArray[np.bool_],
    ground: NDArray[np.bool_],
    scale: float,
    spots: tuple[RoundSpot, ...],
) -> None:
    """Metal, print, bodies and holes among what is not ground; marks only clear cases."""
    import cv2

    lightness = lab[..., 0]
    around = cv2.GaussianBlur(np.where(ground, lightness, 0), (0, 0), 2.0 * scale) / np.maximum(
        cv2.GaussianBlur(ground.astype(np.float32), (0, 0), 2.0 * scale), 1e-3
    )
    usual = float(np.median(lightness[ground])) if np.any(ground) else 50.0
    lift = lightness - np.where(around > 1.0, around, usual)
    smooth = cv2.GaussianBlur(lightness, (0, 0), 0.7)
    slope = np.hypot(cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1)) / 8
    away = inside & ~ground
    width = max(3, round(0.42 * scale) | 1)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (width, width))
    gold = lab[..., 2] > 18.0
    white_mask = usual > 60.0
    metal = (away & ((lift < -8.0) if white_mask else (lift > 10.0))).astype(np.uint8)
    discs = _ringed_discs(metal, scale, spots)
    broad = cv2.morphologyEx(((metal > 0) | (discs > 0)).astype(np.uint8), cv2.MORPH_OPEN, disc)
    # A land ends within a pixel or two, a patch of glare fades: metal is taken only near a sharp rim.
    rim = (slope > 3.0) & (cv2.morphologyEx(metal, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)) > 0)
    broad &= cv2.dilate(rim.astype(np.uint8), _square(0.5 * scale))
    dark_limit = max(min(usual - 8.0, 28.0), 6.0)
    dark = (away & (lightness < dark_limit)).astype(np.uint8)
    wide = max(5, round(0.9 * scale) | 1)
    body = cv2.morphologyEx(dark, cv2.MORPH_OPEN, np.ones((wide, wide), np.uint8))
    small = np.ones((3, 3), np.uint8)
    labels[(cv2.erode(broad, small) > 0) & (lightness > 32.0)] = CLASSES.index(BARE)
    thin = (metal > 0) & (cv2.dilate(broad, disc) == 0)
    if white_mask:
        ink = (
            away
            & (lightness < usual - 30.0)
            & (cv2.dilate(body, disc) == 0)
            & (cv2.dilate(broad, small) == 0)
        )
    else:
        ink = thin & ~gold & (lift > 18.0) & (slope > 1.0)
    labels[ink] = CLASSES.index(LEGEND)
    labels[cv2.erode(body, small) > 0] = CLASSES.index(BODY)
    # A hole's own rim is metal that the erosion above has thinned: give the rim back, and the inside to the hole.
    labels[(discs == 2) & (metal > 0)] = CLASSES.index(BARE)
    labels[discs == 1] = CLASSES.index(HOLE)


def _ringed_discs(metal: NDArray[np.uint8], scale: float, spots: tuple[RoundSpot, ...]) -> NDArray[np.uint8]:
    """Insides (1) and rims (2) of dark round spots with metal all round them.

    The bow of a printed letter is round too, but its stroke is thin: the rim must be metal for 0.2 mm outwards.
    """
    discs = np.zeros(metal.shape, np.uint8)
    for spot in spots:
        if not spot.darker or spot.roundness < 0.75:
            continue
        radius = 0.5 * spot.diameter * scale
        width = max(0.22 * scale, 2.0)
        reach = int(radius + width) + 2
        column, row = int(spot.at[0] * scale), int(spot.at[1] * scale)
        if not (0 <= row < metal.shape[0] and 0 <= column < metal.shape[1]):
            continue
        top, left = max(row - reach, 0), max(column - reach, 0)
        window = (slice(top, row + reach + 1), slice(left, column + reach + 1))
        own = metal[window]
        y, x = np.ogrid[: own.shape[0], : own.shape[1]]
        distance = np.hypot(x + left + 0.5 - spot.at[0] * scale, y + top + 0.5 - spot.at[1] * scale)
        rim = (distance > radius + 0.8) & (distance < radius + width)
        if float(np.mean(own[rim] > 0)) > 0.85:
            discs[window][rim] = 2
            discs[window][distance < max(radius - 0.5, 0.7)] = 1
    return discs
