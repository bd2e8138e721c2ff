"""A simulated analyst: sees the worst mistake of the copper and paints one stroke over it, as a careful person would."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from lidoff.board import (
    BARE,
    BODY,
    BRIDGE,
    CLASSES,
    COVERED,
    CUT,
    LAMINATE,
    LEGEND,
    Copper,
    Layout,
    Place,
    PlacedPart,
    Stroke,
    package,
    place_part,
)

HIDING = [CLASSES.index(LEGEND), CLASSES.index(BODY)]


def agreement(
    found: NDArray[np.bool_], true: NDArray[np.bool_], visible: NDArray[np.bool_], *, slack: int = 0
) -> float:
    """Intersection over union of copper where the photo shows it; pixels within `slack` of a true edge are not counted."""
    import cv2

    height, width = min(found.shape[0], true.shape[0]), min(found.shape[1], true.shape[1])
    counted = visible[:height, :width]
    if slack > 0:
        edge = cv2.morphologyEx(
            true[:height, :width].astype(np.uint8),
            cv2.MORPH_GRADIENT,
            np.ones((2 * slack + 1,) * 2, np.uint8),
        )
        counted = counted & (edge == 0)
    a = found[:height, :width] & counted
    b = true[:height, :width] & counted
    union = int((a | b).sum())
    return 1.0 if union == 0 else int((a & b).sum()) / union


CLICK_MM = 0.04
"""Scatter of a careful person's clicks [mm]; our choice."""


def clicked_parts(
    layout: Layout, rng: np.random.Generator, seen: Callable[[str, Place], Place]
) -> tuple[PlacedPart, ...]:
    """Parts of an invented board as a person places them on the flattened photos: two clicks each, with some scatter.

    `seen` tells where a place of a side lies on the flattened photo, which differs by the error of its registration.
    """
    parts = []
    for body in layout.bodies:
        first, second = package(body.package).clicks
        pads: dict[str, tuple[float, float]] = {}
        for pad in layout.pads:
            if pad.pin.rpartition(".")[0] == body.reference:
                pads.setdefault(pad.pin.rpartition(".")[2], pad.at)
        start = pads[first]
        end = pads[second] if second != first else (start[0] + 1.0, start[1])
        clicks = [
            (float(x + rng.normal(0.0, CLICK_MM)), float(y + rng.normal(0.0, CLICK_MM)))
            for x, y in (seen(body.side, start), seen(body.side, end))
        ]
        parts.append(
            place_part(
                body.package, reference=body.reference, side=body.side, first=clicks[0], second=clicks[1]
            )
        )
    return tuple(parts)


def next_stroke(
    copper: Copper,
    true: NDArray[np.bool_],
    bare: NDArray[np.bool_],
    *,
    late: bool,
) -> Stroke | None:
    """Stroke over the mistake that matters most; None where none is left to see.

    `late` strokes go to nets first: wrong bridges and breaks, however small.
    """
    import cv2
    from scipy import ndimage

    shape = (min(copper.mask.shape[0], true.shape[0]), min(copper.mask.shape[1], true.shape[1]))
    mask, truth = copper.mask[: shape[0], : shape[1]], true[: shape[0], : shape[1]]
    scale = copper.px_per_mm
    eight = np.ones((3, 3), bool)
    islands, _ = ndimage.label(truth, structure=eight)
    found, _ = ndimage.label(mask, structure=eight)
    best: tuple[float, Stroke] | None = None
    reach = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * max(1, round(0.07 * scale)) + 1,) * 2)
    near_truth = cv2.dilate(truth.astype(np.uint8), reach) > 0
    near_found = cv2.dilate(mask.astype(np.uint8), reach) > 0
    for wrong, far, false in ((mask & ~truth, ~near_truth, True), (truth & ~mask, ~near_found, False)):
        labels, count = ndimage.label(wrong, structure=eight)
        areas = np.bincount(labels.ravel(), minlength=count + 1)
        weights = np.bincount(labels.ravel(), weights=far.ravel(), minlength=count + 1)
        for number, window in enumerate(ndimage.find_objects(labels), start=1):
            if window is None or areas[number] < 3:
                continue
            rows = slice(max(window[0].start - 2, 0), window[0].stop + 2)
            columns = slice(max(window[1].start - 2, 0), window[1].stop + 2)
            own = labels[rows, columns] == number
            rim = cv2.dilate(own.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
            sides = islands[rows, columns] if false else found[rows, columns]
            touched = {int(v) for v in np.unique(sides[rim]) if v > 0}
            harm = 0.0
            same_island = len({int(v) for v in np.unique(islands[rows, columns][own])}) == 1
            if len(touched) >= 2 and (false or same_island):
                harm = 4.0
            score = float(weights[number]) / scale**2 * (0.1 if late else 1.0) + harm * (3.0 if late else 1.0)
            if score < 0.02 or (best is not None and score <= best[0]):
                continue
            # What print or a body hides teaches nothing about how copper looks: there a person bridges.
            hidden = np.isin(copper.classes[rows, columns][own], HIDING).mean() > 0.3
            clear = own & far[rows, columns]
            only_here = (late and harm > 0) or (hidden and not false) or clear.sum() < 0.03 * scale**2
            if not only_here:
                own = clear  # nobody paints along the seam of an edge
            says = (
                (CUT if false else BRIDGE)
                if only_here
                else LAMINATE
                if false
                else _metal(own, rows, columns, bare)
            )
            stroke = stroke_over(own, rows, columns, scale, says)
            best = (score, stroke)
    return best[1] if best else None


def _metal(own: NDArray[np.bool_], rows: slice, columns: slice, bare: NDArray[np.bool_]) -> str:
    """Which copper a mistake truly is."""
    return BARE if bare[rows, columns][own].mean() > 0.5 else COVERED


def stroke_over(own: NDArray[np.bool_], rows: slice, columns: slice, scale: float, says: str) -> Stroke:
    """Line along the middle of a mistake, 6 mm long at most, as wide as the mistake."""
    import cv2
    from skimage.graph import route_through_array

    inner = cv2.distanceTransform(np.pad(own.astype(np.uint8), 1), cv2.DIST_L2, 3)[1:-1, 1:-1]
    start = np.unravel_index(int(np.argmax(inner)), inner.shape)
    cost = np.where(own, 1.0 + 3.0 / np.maximum(inner, 0.3), 1e5)
    points = np.argwhere(own)
    far = points[int(np.argmax(np.linalg.norm(points - np.array(start), axis=1)))]
    other = points[int(np.argmax(np.linalg.norm(points - far, axis=1)))]
    path, _ = route_through_array(cost, tuple(far), tuple(other), fully_connected=True)
    line = np.array(path)
    step = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))]) / scale
    if step[-1] > 6.0:
        middle = int(np.argmin(np.linalg.norm(line - np.array(start), axis=1)))
        line = line[np.abs(step - step[middle]) <= 3.0]
    width = max(2.0 * float(np.median(inner[line[:, 0], line[:, 1]])), 1.5) / scale
    places = tuple(
        ((float(c) + columns.start + 0.5) / scale, (float(r) + rows.start + 0.5) / scale)
        for r, c in line[:: max(1, len(line) // 24)]
    )
    return Stroke(says=says, points=places, width=width)
