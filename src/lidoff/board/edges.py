"""Four long straight lines that enclose a board: found among the line segments of a photo, judged by their support.

A board's edge changes colour along its whole length, whatever lies on the board; a track, a print or a grain of the table
does so only in part. So each side of a candidate is judged by the share of its length that is an edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import Points

__all__ = ["Quadrilateral", "enclosing_quadrilaterals"]

_LONGEST = 800  # longest edge of the working copy [pixels]
_STEP = 3.0  # distance of samples along a line [pixels]
_KEPT = 18  # lines of each direction that take part in the search


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Quadrilateral:
    """Corners (4, 2) in pixels of the photo, the share of each side that is an edge, and the score."""

    corners: Points
    support: NDArray[np.float64]
    score: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Line:
    """A line with samples: `point` + t·`direction`, and the running sum of edge-like samples from t = `start`."""

    point: Points
    direction: Points
    start: float
    running: NDArray[np.float64]
    total: float

    def share(self, a: Points, b: Points) -> float:
        """Share of the stretch from a to b that is an edge."""
        first, last = sorted(
            (float((a - self.point) @ self.direction), float((b - self.point) @ self.direction))
        )
        end = len(self.running) - 1
        low = int(min(max((first - self.start) / _STEP, 0.0), end))
        high = int(min(max((last - self.start) / _STEP, 0.0), end))
        wanted = max((last - first) / _STEP, 1.0)
        return float((self.running[high] - self.running[low]) / wanted)


def enclosing_quadrilaterals(photo: NDArray[np.uint8]) -> list[Quadrilateral]:
    """Candidates for a board's four edges, best first.

    Parameters
    ----------
    photo : ndarray of shape (H, W, 3)
        Upright photo in sRGB.

    Returns
    -------
    list of Quadrilateral
        At most eight that differ; empty where no four lines enclose anything.
    """
    import cv2

    scale = min(1.0, _LONGEST / max(photo.shape[:2]))
    size = (round(photo.shape[1] * scale), round(photo.shape[0] * scale))
    small = cv2.GaussianBlur(cv2.resize(photo, size, interpolation=cv2.INTER_AREA), (0, 0), 1.2)
    lab = cv2.cvtColor(small, cv2.COLOR_RGB2LAB).astype(np.float32)
    lines = _lines(lab)
    found = _search(lines, (size[1], size[0]))
    return [
        Quadrilateral(corners=(item.corners + 0.5) / scale - 0.5, support=item.support, score=item.score)
        for item in found
    ]


def _segments(lab: NDArray[np.float32]) -> NDArray[np.float64]:
    import cv2

    detector = cv2.createLineSegmentDetector(cv2.LSD_REFINE_STD)
    found = []
    for channel in range(3):
        stretched = cv2.normalize(lab[..., channel], None, 0, 255, cv2.NORM_MINMAX).astype(np.uint8)
        segments = detector.detect(stretched)[0]
        if segments is not None:
            found.append(segments.reshape(-1, 4).astype(np.float64))
    if not found:
        return np.empty((0, 4))
    segments = np.concatenate(found)
    length = np.hypot(segments[:, 2] - segments[:, 0], segments[:, 3] - segments[:, 1])
    keep = length > 0.025 * max(lab.shape[:2])
    order = np.argsort(-length[keep])
    return np.asarray(segments[keep][order])


def _lines(lab: NDArray[np.float32]) -> list[_Line]:
    """Long lines: collinear segments merged, the longest kept."""
    groups: list[list[NDArray[np.float64]]] = []
    frames: list[tuple[Points, Points]] = []
    for segment in _segments(lab):
        a, b = segment[:2], segment[2:]
        middle = (a + b) / 2
        direction = (b - a) / np.linalg.norm(b - a)
        for index, (point, along) in enumerate(frames):
            turn = abs(float(along[0] * direction[1] - along[1] * direction[0]))
            gap = abs(float((middle - point) @ np.array([-along[1], along[0]])))
            if turn < 0.035 and gap < 3.0 + 0.004 * float(np.linalg.norm(middle - point)):
                groups[index].append(segment)
                frames[index] = _refit(groups[index])
                break
        else:
            groups.append([segment])
            frames.append((middle, direction))
    lines: list[_Line] = [_sampled(lab, centre, along) for centre, along in frames]
    lines.sort(key=lambda line: -line.total)
    # A narrow board's short edges are outnumbered by lines along it: each direction has its own places.
    lengthwise = [line for line in lines if abs(float(line.direction @ lines[0].direction)) > 0.7]
    across = [line for line in lines if abs(float(line.direction @ lines[0].direction)) <= 0.7]
    return [*lengthwise[:_KEPT], *across[:_KEPT]]


def _refit(group: list[NDArray[np.float64]]) -> tuple[Points, Points]:
    ends = np.array(group).reshape(-1, 2)
    weights = np.repeat([np.hypot(*(s[2:] - s[:2])) for s in group], 2)
    centre = np.average(ends, axis=0, weights=weights)
    _, _, right = np.linalg.svd((ends - centre) * np.sqrt(weights)[:, None], full_matrices=False)
    return centre, right[0]


def _sampled(lab: NDArray[np.float32], point: Points, direction: Points) -> _Line:
    """Mark along the whole line where the colour steps across it."""
    import cv2

    rows, columns = lab.shape[:2]
    reach = float(np.hypot(rows, columns))
    t = np.arange(-reach, reach, _STEP)
    places = point + t[:, None] * direction
    inside = (places[:, 0] >= 0) & (places[:, 0] < columns) & (places[:, 1] >= 0) & (places[:, 1] < rows)
    if not np.any(inside):
        return _Line(point=point, direction=direction, start=0.0, running=np.zeros(2), total=0.0)
    t, places = t[inside], places[inside]
    normal = np.array([-direction[1], direction[0]])
    offsets = np.array([-7.0, -5.5, -4.0, -2.5, 2.5, 4.0, 5.5, 7.0])
    around = (places[:, None, :] + offsets[None, :, None] * normal).astype(np.float32)
    colours = cv2.remap(
        lab, around[..., 0], around[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    one, other = colours[:, :4], colours[:, 4:]
    step = np.linalg.norm(one[:, 2:].mean(axis=1) - other[:, :2].mean(axis=1), axis=1)
    slope = np.maximum(
        np.linalg.norm(one[:, 0] - one[:, 2], axis=1), np.linalg.norm(other[:, 3] - other[:, 1], axis=1)
    )
    edge = (step > 7.0) & (step > 1.2 * slope)
    running = np.cumsum(edge.astype(np.float64))
    return _Line(
        point=point, direction=direction, start=float(t[0]), running=running, total=float(running[-1])
    )


def _cross(a: _Line, b: _Line) -> Points | None:
    turn = float(a.direction[0] * b.direction[1] - a.direction[1] * b.direction[0])
    if abs(turn) < 0.5:
        return None
    offset = b.point - a.point
    t = float(offset[0] * b.direction[1] - offset[1] * b.direction[0]) / turn
    return np.asarray(a.point + t * a.direction)


def _search(lines: list[_Line], shape: tuple[int, int]) -> list[Quadrilateral]:
    count = len(lines)
    rows, columns = shape
    slack = 0.02 * max(shape)
    crossings: dict[tuple[int, int], Points] = {}
    for i in range(count):
        for j in range(count):
            if i != j:
                place = _cross(lines[i], lines[j])
                if (
                    place is not None
                    and -slack <= place[0] <= columns + slack
                    and -slack <= place[1] <= rows + slack
                ):
                    crossings[i, j] = place
    pairs = [
        (i, j)
        for i in range(count)
        for j in range(i + 1, count)
        if (i, j) not in crossings and abs(float(lines[i].direction @ lines[j].direction)) > 0.8
    ]
    found: list[Quadrilateral] = []
    for first in range(len(pairs)):
        for second in range(first + 1, len(pairs)):
            (a, b), (c, d) = pairs[first], pairs[second]
            if not (
                (a, c) in crossings and (b, d) in crossings and (a, d) in crossings and (b, c) in crossings
            ):
                continue
            corners = np.array([crossings[a, c], crossings[a, d], crossings[b, d], crossings[b, c]])
            area = _area(corners)
            if abs(area) < 0.06 * rows * columns:
                continue
            support = np.array(
                [
                    lines[a].share(corners[0], corners[1]),
                    lines[d].share(corners[1], corners[2]),
                    lines[b].share(corners[2], corners[3]),
                    lines[c].share(corners[3], corners[0]),
                ]
            )
            if support.min() < 0.3:
                continue
            score = float(support.mean() * np.sqrt(support.min()) * (abs(area) / (rows * columns)) ** 0.25)
            found.append(Quadrilateral(corners=corners, support=support, score=score))
    found.sort(key=lambda item: -item.score)
    # Frames inside the board (the rim of a pour, a printed line) are as well supported as its edge: the outermost wins.
    level = [item for item in found if item.score > 0.97 * found[0].score]
    found = [*sorted(level, key=lambda item: -abs(_area(item.corners))), *found[len(level) :]]
    kept: list[Quadrilateral] = []
    for item in found:
        centre_gap = [
            float(np.max(np.linalg.norm(_sorted(item.corners) - _sorted(k.corners), axis=1))) for k in kept
        ]
        if not centre_gap or min(centre_gap) > 0.005 * max(shape):
            kept.append(item)
        if len(kept) == 8:
            break
    return kept


def _area(corners: Points) -> float:
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners.tolist()
    return 0.5 * float((cx - ax) * (dy - by) - (dx - bx) * (cy - ay))


def _sorted(corners: Points) -> Points:
    centre = corners.mean(axis=0)
    return np.asarray(corners[np.argsort(np.arctan2(corners[:, 1] - centre[1], corners[:, 0] - centre[0]))])
