"""A simulated analyst: sees the worst mistake of the copper and paints one stroke over it, as a careful person would."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lidoff.board import (
    BARE,
    BODY,
    CLASSES,
    COVERED,
    HOLE,
    LAMINATE,
    LEGEND,
    Copper,
    Layout,
    Pad,
    Place,
    PlacedPart,
    Stroke,
    package,
    place_part,
)

NEITHER = [CLASSES.index(name) for name in (LEGEND, BODY, HOLE)]
SEAM_MM = 0.07
"""How far from an edge as found a mistake is one of the edge and nothing to paint [mm]; our choice."""
LEAST_MM2 = 0.02
"""Least area of a mistake beyond its seam that a person sees [mm²]; our choice."""
BRUSH_MM = 1.5
"""Widest brush [mm]."""


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


def clicked_pads(pads: Sequence[Pad], rng: np.random.Generator) -> tuple[PlacedPart, ...]:
    """Pads of a real board, each as a part of its own that a person clicked, with some scatter.

    What is soldered on a board is not known from its fabrication files.
    """
    parts = []
    for pad in pads:
        x, y = (float(value + rng.normal(0.0, CLICK_MM)) for value in pad.at)
        parts.append(
            PlacedPart(
                reference=f"{pad.pin}/{pad.side}",
                package="",
                side=pad.side,
                at=(x, y),
                pads=(replace(pad, at=(x, y)),),
            )
        )
    return tuple(parts)


def teaching_stroke(
    copper: Copper,
    true: NDArray[np.bool_],
    visible: NDArray[np.bool_],
    bare: NDArray[np.bool_],
    said: Sequence[str] = (),
) -> Stroke | None:
    """Stroke that shows how copper or laminate looks where most of it is taken for the other.

    Parameters
    ----------
    copper : Copper
        As found so far.
    true, visible, bare : ndarray of shape (H, W)
        True copper, where the photo can show it, and where it is a land or its rim.
    said : sequence of str
        What the strokes so far said: a person shows both, and more of what was shown less.

    Returns
    -------
    Stroke or None
        Along the middle of a track or an area, narrower than it; None where no mistake is left that can be seen.
    """
    import cv2
    from scipy import ndimage

    shape = (min(copper.mask.shape[0], true.shape[0]), min(copper.mask.shape[1], true.shape[1]))
    mask, truth, seen, metal = (one[: shape[0], : shape[1]] for one in (copper.mask, true, visible, bare))
    other = np.isin(copper.classes[: shape[0], : shape[1]], NEITHER)
    scale = copper.px_per_mm
    reach = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * max(1, round(SEAM_MM * scale)) + 1,) * 2)
    found: list[tuple[float, Stroke]] = []
    for is_copper in (True, False):
        # Nobody calls print laminate, but a track that was taken for print is shown as copper.
        area = (truth if is_copper else ~truth & ~other) & seen
        wrong = area & (mask != truth)
        near = cv2.dilate((mask == is_copper).astype(np.uint8), reach) > 0
        labels, count = ndimage.label(wrong, structure=np.ones((3, 3), bool))
        weights = np.bincount(labels.ravel(), weights=(wrong & ~near).ravel(), minlength=count + 1)
        if count == 0 or weights.max() < LEAST_MM2 * scale**2:
            continue
        number = int(np.argmax(weights))
        at = _middle(labels, number)
        rows, columns = (slice(max(one - int(3.5 * scale), 0), one + int(3.5 * scale) + 1) for one in at)
        here = area[rows, columns]
        if is_copper:
            # Nobody paints from a land on to a track under one name.
            here = here & (metal[rows, columns] == metal[at])
        parts, _ = ndimage.label(here)
        own = parts == parts[at[0] - rows.start, at[1] - columns.start]
        says = (BARE if metal[at] else COVERED) if is_copper else LAMINATE
        stroke = _along_middle(own, (at[0] - rows.start, at[1] - columns.start), rows, columns, scale, says)
        found.append((float(weights[number]), stroke))
    if not found:
        return None
    most = max(weight for weight, _ in found)
    laminate = sum(one == LAMINATE for one in said)
    wanted = [
        (weight, stroke)
        for weight, stroke in found
        if (stroke.says == LAMINATE) == (laminate < len(said) - laminate) and weight > 0.1 * most
    ]
    return max(wanted if wanted and 2 * laminate != len(said) else found, key=lambda item: item[0])[1]


def _middle(labels: NDArray[np.integer], number: int) -> tuple[int, int]:
    """Pixel of a labelled area that lies deepest inside."""
    import cv2
    from scipy import ndimage

    window = ndimage.find_objects(labels)[number - 1]
    own = np.pad((labels[window] == number).astype(np.uint8), 1)
    row, column = np.unravel_index(int(np.argmax(cv2.distanceTransform(own, cv2.DIST_L2, 3))), own.shape)
    return int(row) - 1 + window[0].start, int(column) - 1 + window[1].start


def _along_middle(
    own: NDArray[np.bool_], start: tuple[int, int], rows: slice, columns: slice, scale: float, says: str
) -> Stroke:
    """Line of 6 mm at most through a place, along the middle of an area and narrower than it."""
    import cv2
    from skimage.graph import MCP_Geometric

    inner = cv2.distanceTransform(np.pad(own.astype(np.uint8), 1), cv2.DIST_L2, 3)[1:-1, 1:-1]
    ways = MCP_Geometric(np.where(own, 1.0 + 6.0 / np.maximum(inner, 0.3) ** 2, 1e6))
    ways.find_costs([start])
    places = np.argwhere(own)
    off = places - np.array(start)
    reached = np.hypot(*off.T) <= 3.0 * scale
    places, off = places[reached], off[reached]
    one = int(np.argmax(np.hypot(*off.T)))
    other = int(np.argmin(off @ off[one]))
    there, back = (np.array(ways.traceback(tuple(places[index]))) for index in (one, other))
    line = np.concatenate([there[::-1], back[1:]])
    depth = inner[line[:, 0], line[:, 1]]
    radius = min(max(0.7 * float(np.median(depth)), 0.75), BRUSH_MM / 2 * scale)
    # Where the area is narrower than the brush, a person stops.
    narrow = np.flatnonzero(depth < radius)
    middle = len(there) - 1
    first = narrow[narrow < middle].max(initial=-1) + 1
    last = narrow[narrow > middle].min(initial=len(line))
    line = line[first:last]
    kept = np.array([*line[: -1 : max(1, len(line) // 24)], line[-1]])
    return Stroke(
        says=says,
        points=places_of(kept + np.array([rows.start, columns.start]), scale),
        width=2.0 * radius / scale,
    )


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
    kept = line[:: max(1, len(line) // 24)] + np.array([rows.start, columns.start])
    return Stroke(says=says, points=places_of(kept, scale), width=width)


def places_of(pixels: NDArray[np.integer], scale: float) -> tuple[Place, ...]:
    """Middles of pixels, given by row and column, on the board [mm]."""
    return tuple((float(x), float(y)) for y, x in (pixels + 0.5) / scale)
