"""Two levels above a smooth field of light: the step read off at edges, sides flooded from them, light carried on between."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.agreed_sides import agreed_sides

__all__ = ["Edges", "carried_on", "edge_levels", "flooded_sides", "pixel_scatter", "square_element"]


_BESIDE = 0.16  # how far from an edge its two levels are read [mm]
_CHAIN = 0.7  # shortest chain of edge pixels that may speak for a wide area [mm]
_DOT = 0.2  # shortest chain that counts at all [mm]
_SPECK_AREA = 3.0  # widest area for which a shorter one speaks [mm²]
_ROUNDS = 6  # floods that are made again at most
_SMOOTH = 1.5  # slope below which two basins meet without an edge, in usual slopes
_FEW_LEVEL = 0.2  # share of the edges with a level bright side from which on the others are left out


def square_element(radius: float) -> NDArray[np.uint8]:
    """Square element of the given half width, at least three pixels wide."""
    width = 2 * max(1, round(radius)) + 1
    return np.ones((width, width), np.uint8)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Edges:
    """Edges of copper: the step, markers (+1 lighter side, −1 darker side), the level midway and its weight, the slope."""

    step: NDArray[np.float32]
    markers: NDArray[np.int32]
    middle: NDArray[np.float32]
    weight: NDArray[np.float32]
    slope: NDArray[np.float32]


def edge_levels(
    log_colour: NDArray[np.float32], ground: NDArray[np.bool_], scale: float, detail: float
) -> Edges:
    """Find where one level meets the other, and how far apart they are."""
    import cv2

    lightness = log_colour.mean(axis=2)
    smooth = cv2.GaussianBlur(lightness, (0, 0), max(0.05 * scale, 0.7))
    gx, gy = cv2.Sobel(smooth, cv2.CV_32F, 1, 0) / 8, cv2.Sobel(smooth, cv2.CV_32F, 0, 1) / 8
    slope = np.hypot(gx, gy)
    # Print and metal have stronger edges than copper beneath the mask: keep clear of them.
    pure = cv2.erode(ground.astype(np.uint8), square_element(max(0.28 * scale, 2.2 * detail))) > 0
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
        return Edges(step=step, markers=markers, middle=middle, weight=weight, slope=slope)
    # A printed line blurred by a coarse photo keeps the mask's hue but is thin: its bright side ends where copper's goes on.
    farther = (beside(log_colour, 2.0 * distance) - dark).sum(axis=1)
    level = good & (farther > 0.5 * difference.sum(axis=1))
    chosen = level if level.sum() >= max(_FEW_LEVEL * int(good.sum()), 20.0) else good
    strength = np.linalg.norm(difference, axis=1)
    strong = chosen & (strength >= np.percentile(strength[chosen], 50))
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
    marking = fits | weak
    for sign in (1, -1):
        x = np.clip(np.round(columns[marking] + sign * distance * unit_x[marking]), 0, ground.shape[1] - 1)
        y = np.clip(np.round(rows[marking] + sign * distance * unit_y[marking]), 0, ground.shape[0] - 1)
        markers[y.astype(int), x.astype(int)] = sign
    markers[rows[crest], columns[crest]] = 0
    middle[rows[fits], columns[fits]] = (bright[fits] + dark[fits]) / 2
    weight[rows[fits], columns[fits]] = 1.0
    return Edges(step=step, markers=markers, middle=middle, weight=weight, slope=slope)


def flooded_sides(
    markers: NDArray[np.int32], slope: NDArray[np.float32], inside: NDArray[np.bool_], scale: float
) -> NDArray[np.float32]:
    """Side of every pixel (+1, −1, 0 unknown), flooded from the markers over the slope.

    Light may change by any amount over an area without a slope that stops the flood; copper's edge stops it. A speck may speak
    for its own surroundings only: what a short chain of markers floods widely is flooded again from the others. Floods of
    either side that meet without a slope between them are made to agree.

    References
    ----------
    .. [1] F. Meyer, *Topographic distance and watershed lines*, Signal Processing 38 (1994).
    """
    import cv2
    from skimage.segmentation import watershed

    if not np.any(markers):
        return np.zeros(markers.shape, np.float32)
    seeds = np.zeros(markers.shape, np.int32)
    sides, short, lengths = [0.0], [False], [0.0]
    for sign in (1, -1):
        # Neighbouring pixels of one chain may be a pixel apart.
        joined = cv2.dilate((markers * sign > 0).astype(np.uint8), np.ones((3, 3), np.uint8))
        count, labels, stats, _ = cv2.connectedComponentsWithStats(joined, connectivity=8)
        extent = np.maximum(stats[1:, cv2.CC_STAT_WIDTH], stats[1:, cv2.CC_STAT_HEIGHT]) - 2
        own = (markers * sign > 0) & np.concatenate([[False], extent >= _DOT * scale])[labels]
        seeds[own] = labels[own] + len(sides) - 1
        lengths += np.bincount(labels[markers * sign > 0], minlength=count)[1:].astype(float).tolist()
        sides += [float(sign)] * (count - 1)
        short += (extent < _CHAIN * scale).tolist()
    specks = np.array(short)
    flooded = watershed(slope, seeds, mask=inside)
    for _ in range(_ROUNDS):
        # Where one speck is taken out, the next may spread.
        area = np.bincount(flooded.ravel(), minlength=len(sides))
        overreaching = specks & (area > _SPECK_AREA * scale**2)
        if not np.any(overreaching) or np.all(specks[seeds[seeds > 0]]):
            break
        seeds[overreaching[seeds]] = 0
        flooded = watershed(slope, seeds, mask=inside)
    level = _SMOOTH * float(np.median(slope[inside]))
    agreed = agreed_sides(flooded, np.array(sides), np.array(lengths), slope, level)
    return np.asarray(agreed[flooded], np.float32)


def pixel_scatter(log_colour: NDArray[np.float32], ground: NDArray[np.bool_]) -> float:
    """Pixel-to-pixel scatter of the mask's colour."""
    import cv2

    fine = np.linalg.norm(log_colour - cv2.GaussianBlur(log_colour, (0, 0), 1.0), axis=2)
    return max(float(np.median(fine[ground])) if np.any(ground) else 0.01, 0.004)


def carried_on(
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
