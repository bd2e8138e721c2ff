"""Captions of groups: inside their ground or close to it, on nothing else, with a leader where they had to stand off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from shapely import box, contains, prepare
from shapely.geometry import MultiPolygon, Point, Polygon
from shapely.ops import nearest_points

from lidoff.fonts import text_width
from lidoff.schematic.drawing import Area, Label
from lidoff.schematic.shapes import TEXT
from lidoff.schematic.text import text_box

__all__ = ["place_captions"]

Box = tuple[float, float, float, float]
Boxes = NDArray[np.float64]
LINE = 1.12
FARTHEST = 14.0
"""How far off its ground a caption is looked a place for, in grid steps."""
LED = 1.6
"""Distance from which a leader is drawn."""
STEP = 0.7
LONG = 13
"""Letters from which a caption may be set in two lines."""


def place_captions(areas: Sequence[Area], taken: Sequence[Box]) -> tuple[list[Label], list[Area]]:
    """Captions of grounds.

    Parameters
    ----------
    areas : sequence of Area
        Grounds; frames keep theirs.
    taken : sequence of (left, top, right, bottom)
        What they must not cover.

    Returns
    -------
    labels : list of Label
        A line each, of role ``caption``.
    areas : list of Area
        With the leader of each caption that stands off its ground.
    """
    obstacles = [np.array(one) for one in taken]
    grounds = [_shape(area) for area in areas]
    labels: list[Label] = []
    told: list[Area] = []
    for number, area in enumerate(areas):
        if not area.caption or area.frame:
            told.append(area)
            continue
        foreign = np.array([areas[k].box for k in range(len(areas)) if k != number and not areas[k].frame])
        lines, place = _best(
            area, grounds[number], np.array(obstacles).reshape(-1, 4), foreign.reshape(-1, 4)
        )
        for row, line in enumerate(lines):
            y = place[1] + LINE * row + LINE / 2
            one = Label(
                text=line, role="caption", owner=area.parts[0], x=place[0], y=y, anchor="start", size=TEXT,
                box=text_box(line, place[0], y, "start", TEXT, bold=True),
            )  # fmt: skip
            labels.append(one)
            obstacles.append(np.array(one.box))
        told.append(replace(area, leader=_leader(lines, place, grounds[number])))
    return labels, told


def _shape(area: Area) -> MultiPolygon:
    return MultiPolygon([Polygon(ring) for ring in area.rings if len(ring) > 3])


def _settings(caption: str) -> list[tuple[str, ...]]:
    """Caption in one line and, where it is long, in two of about equal length."""
    words = caption.split()
    made: list[tuple[str, ...]] = [(caption,)]
    if len(caption) >= LONG and len(words) > 1:
        cut = min(
            range(1, len(words)), key=lambda k: abs(len(" ".join(words[:k])) - len(" ".join(words[k:])))
        )
        made.append((" ".join(words[:cut]), " ".join(words[cut:])))
    return made


def _best(
    area: Area, ground: MultiPolygon, taken: Boxes, foreign: Boxes
) -> tuple[tuple[str, ...], tuple[float, float]]:
    prepare(ground)
    best: tuple[float, tuple[str, ...], tuple[float, float]] | None = None
    x0, y0, x1, y1 = area.box
    for lines in _settings(area.caption):
        wide = max(text_width(line, TEXT, bold=True) for line in lines)
        high = LINE * len(lines)
        xs = np.arange(x0 - FARTHEST - wide, x1 + FARTHEST, STEP)
        ys = np.arange(y0 - FARTHEST - high, y1 + FARTHEST, STEP / 2)
        grid_x, grid_y = (one.ravel() for one in np.meshgrid(xs, ys))
        spots = np.stack([grid_x, grid_y, grid_x + wide, grid_y + high], axis=1)
        free = ~_meet(spots, taken)
        spots = spots[free]
        if not len(spots):
            continue
        middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
        boxes = box(spots[:, 0], spots[:, 1], spots[:, 2], spots[:, 3])
        inside = contains(ground, boxes)
        away = np.array([ground.distance(one) for one in boxes]) if not inside.any() else np.zeros(len(spots))
        centres = (spots[:, :2] + spots[:, 2:]) / 2
        cost = away + 0.03 * np.abs(centres - middle).sum(axis=1) - 3.0 * inside + 0.15 * (len(lines) - 1)
        cost += 0.02 * (centres[:, 1] - y0)  # above rather than below
        cost += np.where(inside, 0.0, 1.5 * _meet(spots, foreign))
        cost += np.where(~inside & (away == 0.0), 0.6, 0.0)  # neither in nor out
        k = int(np.argmin(cost))
        if best is None or cost[k] < best[0] - 1e-9:
            best = (float(cost[k]), lines, (float(spots[k, 0]), float(spots[k, 1])))
    if best is None:  # a page without any free place: above the ground, whatever is there
        return (area.caption,), (x0, y0 - LINE - 0.3)
    return best[1], best[2]


def _meet(spots: Boxes, others: Boxes) -> NDArray[np.bool_]:
    """Whether each spot shares ground with any of the others."""
    if not len(others):
        return np.zeros(len(spots), dtype=bool)
    apart = (
        (spots[:, None, 2] <= others[None, :, 0])
        | (others[None, :, 2] <= spots[:, None, 0])
        | (spots[:, None, 3] <= others[None, :, 1])
        | (others[None, :, 3] <= spots[:, None, 1])
    )
    return np.asarray(np.any(~apart, axis=1), dtype=np.bool_)


def _leader(lines: Sequence[str], place: tuple[float, float], ground: MultiPolygon) -> Box | None:
    wide = max(text_width(line, TEXT, bold=True) for line in lines)
    text = box(place[0], place[1] + 0.1, place[0] + wide, place[1] + LINE * len(lines) - 0.1)
    start, end = nearest_points(text, ground)
    if start.distance(end) < LED:
        return None
    inner = ground.representative_point() if ground.is_empty else end
    towards = Point(inner.x, inner.y)
    return (start.x, start.y, towards.x, towards.y)
