"""A simulated analyst: sees the worst mistake of the copper and paints one stroke over it, as a careful person would."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.board import (
    COVERED,
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

BESIDE_INK_MM = 0.1
"""How far from print a person paints copper or laminate [mm]; our choice."""
LIGHT_LANDS, LIKE_LANDS = 25.0, 0.4
"""Least lightness of lands above laminate, in CIELAB, and share of it from which on something else is print; our choice."""
WIDE_MM, WORTH_IT = 0.5, 0.02
"""Least width of a mistake, and share of all there is, that a person paints as an area [mm]; our choice."""
LEAST_MM = 0.4
"""Shortest stretch of a track that a person paints [mm]; our choice."""
PRINT_AGAIN = 3
"""Strokes after which print is shown again; our choice."""
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """What a person knows who looks at a side: what is truly what, where it can be seen.

    Attributes
    ----------
    areas : mapping of str to ndarray of shape (H, W)
        Copper beneath the mask, laminate and print, by what a stroke on them says, a little away from anything else that would
        be painted with it.
    lines : mapping of str to ndarray of shape (H, W)
        Their middle lines.
    """

    areas: Mapping[str, NDArray[np.bool_]]
    lines: Mapping[str, NDArray[np.bool_]]


def scene_of(
    true: NDArray[np.bool_],
    visible: NDArray[np.bool_],
    lands: NDArray[np.bool_],
    ink: NDArray[np.bool_],
    scale: float,
    *,
    margin_mm: float = 0.0,
) -> Scene:
    """What a person may paint on, from the truth.

    Parameters
    ----------
    true, visible, lands, ink : ndarray of shape (H, W)
        True copper; where the photo can show it; placed lands with their rims; print.
    scale : float
        Raster [px/mm].
    margin_mm : float
        Strip along the board's edges on which nobody paints: photo and truth may differ there [mm].

    Returns
    -------
    Scene
    """
    import cv2
    from skimage.morphology import skeletonize

    height, width = (
        min(sizes) for sizes in zip(true.shape, visible.shape, lands.shape, ink.shape, strict=True)
    )
    truth, seen, metal, print_ = (one[:height, :width] for one in (true, visible, lands, ink))
    reach = 2 * round(BESIDE_INK_MM * scale) + 1
    inked = cv2.dilate(print_.astype(np.uint8), np.ones((reach, reach), np.uint8)) > 0
    free = seen & ~metal & ~inked
    edge = round(margin_mm * scale)
    if edge:
        free = free & np.pad(np.ones((height - 2 * edge, width - 2 * edge), bool), edge)
    areas = {COVERED: truth & free, LAMINATE: ~truth & free, LEGEND: print_ & ~truth}
    return Scene(areas=areas, lines={says: skeletonize(area) for says, area in areas.items()})


def print_seen(
    picture: NDArray[np.uint8], true: NDArray[np.bool_], visible: NDArray[np.bool_], lands: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """What a person takes for print on a real board: about as light as its lands, where there is no copper.

    Where lands differ too little from laminate, none.
    """
    import cv2

    height, width = min(picture.shape[0], true.shape[0]), min(picture.shape[1], true.shape[1])
    truth, seen, metal = (one[:height, :width] for one in (true, visible, lands))
    lab = cv2.cvtColor(picture[:height, :width].astype(np.float32) / 255.0, cv2.COLOR_RGB2LAB)
    laminate = (~truth & seen).astype(np.float32)
    window = (61, 61)
    around = cv2.blur(lab[..., 0] * laminate, window) / np.maximum(cv2.blur(laminate, window), 1e-3)
    lift = lab[..., 0] - around
    of_lands = float(np.median(lift[metal & truth & seen])) if np.any(metal & truth & seen) else 0.0
    if of_lands < LIGHT_LANDS:
        return np.zeros(truth.shape, bool)
    beside = cv2.dilate(metal.astype(np.uint8), np.ones((7, 7), np.uint8)) > 0
    return np.asarray((lift > LIKE_LANDS * of_lands) & (laminate > 0) & ~beside)


def teaching_stroke(copper: Copper, scene: Scene, said: Sequence[str] = ()) -> Stroke | None:
    """Stroke that shows how copper, laminate or print looks where most of it is taken for something else.

    Parameters
    ----------
    copper : Copper
        As found so far.
    scene : Scene
        From `scene_of`.
    said : sequence of str
        What the strokes so far said: a person shows copper and laminate in turn, and print once in a while.

    Returns
    -------
    Stroke or None
        Along the middle of a track or an area, narrower than it: on wide areas first, then on the longest stretch of a
        track's or gap's middle line; None where no mistake is left that can be seen.
    """
    scale = copper.px_per_mm
    wide: list[_Mistake] = []
    thin: list[_Mistake] = []
    ink: _Mistake | None = None
    for says, area in scene.areas.items():
        wrong = area & (copper.mask[: area.shape[0], : area.shape[1]] != (says == COVERED))
        longest = _longest(wrong & scene.lines[says], scale, says)
        if says == LEGEND:
            ink = longest
            continue
        wide += [one for one in [_widest(wrong, WORTH_IT * area.sum(), scale, says)] if one]
        thin += [one for one in [longest] if one]
    lead = sum(one == COVERED for one in said) - sum(one == LAMINATE for one in said)
    every = [one for group in (wide, thin) for one in sorted(group, key=lambda one: -one.extent)]
    in_turn = [one for one in every if lead == 0 or (one.says == LAMINATE) == (lead > 0)]
    chosen = next(iter(in_turn or every), None)
    if ink and LEGEND not in said[-PRINT_AGAIN:] and all(ink.extent > one.extent for one in thin):
        chosen = ink
    return _through(scene.areas[chosen.says], chosen.at, scale, chosen.says) if chosen else None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mistake:
    """What a person would paint: what its stroke says, a place on it, and how large or long it is [pixels]."""

    says: str
    at: tuple[int, int]
    extent: float


def _widest(wrong: NDArray[np.bool_], least: float, scale: float, says: str) -> _Mistake | None:
    """The largest wide mistake, if it is no smaller than the least that is worth a stroke [pixels]."""
    import cv2
    from scipy import ndimage

    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * round(WIDE_MM / 2 * scale) + 1,) * 2)
    labels, count = ndimage.label(cv2.morphologyEx(wrong.astype(np.uint8), cv2.MORPH_OPEN, disc))
    sizes = np.bincount(labels.ravel(), minlength=count + 1)[1:]
    if count == 0 or sizes.max() < least:
        return None
    return _Mistake(says=says, at=_middle(labels, int(np.argmax(sizes)) + 1), extent=float(sizes.max()))


def _longest(line: NDArray[np.bool_], scale: float, says: str) -> _Mistake | None:
    """The longest wrong stretch of a middle line, and its length; of print all lengths together."""
    from scipy import ndimage

    labels, count = ndimage.label(line, structure=np.ones((3, 3), bool))
    lengths = np.bincount(labels.ravel(), minlength=count + 1)[1:]
    if count == 0 or lengths.max() < LEAST_MM * scale:
        return None
    places = np.argwhere(labels == int(np.argmax(lengths)) + 1)
    row, column = places[len(places) // 2]
    length = float(lengths.sum() if says == LEGEND else lengths.max())
    return _Mistake(says=says, at=(int(row), int(column)), extent=length)


def _through(area: NDArray[np.bool_], at: tuple[int, int], scale: float, says: str) -> Stroke:
    """Stroke through a place, inside the part of an area that holds it."""
    from scipy import ndimage

    rows, columns = (slice(max(one - int(3.5 * scale), 0), one + int(3.5 * scale) + 1) for one in at)
    start = (at[0] - rows.start, at[1] - columns.start)
    parts, _ = ndimage.label(area[rows, columns])
    return _along_middle(parts == parts[start], start, rows, columns, scale, says)


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
