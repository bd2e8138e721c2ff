"""The board's outline on a photo: found by colour, its edges refined to a fraction of a pixel, its lens estimated from them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.edges import Quadrilateral, enclosing_quadrilaterals
from lidoff.board.frame import Points, bent, straightened
from lidoff.board.scatter import scatter_of
from lidoff.errors import ImpossibleValue

__all__ = ["Outline", "board_mask", "find_outline", "lens_from_edges", "refined_contour"]

_SMALL = 480  # longest edge of the picture on which the board is told from the table [pixels]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outline:
    """The board on a photo.

    Parameters
    ----------
    corners : ndarray of shape (4, 2)
        Where the four main edges meet, clockwise in the photo from the upper left [pixels].
    lens : float
        Coefficient of the division model that makes the edges straight.
    edge_scatter : float
        Robust scatter of the edge points about their lines [pixels].
    polygon : ndarray of shape (N, 2)
        The full contour, coarser than the corners [pixels].
    filled : float
        Area of the contour over the area of the four corners: near one for a rectangle.
    support : float
        Smallest share of an edge's length along which the colour steps; zero where the contour alone was used.
    photo_shape : tuple of int
        Rows and columns.
    """

    corners: Points
    lens: float
    edge_scatter: float
    polygon: Points
    filled: float
    support: float
    photo_shape: tuple[int, int]


def board_mask(photo: NDArray[np.uint8], corners: Points | None = None) -> NDArray[np.bool_]:
    """Board against table on a small copy of the photo.

    Parameters
    ----------
    photo : ndarray of shape (H, W, 3)
        Upright photo in sRGB.
    corners : ndarray of shape (4, 2), optional
        Four corners that enclose the board [pixels]; without them the middle of the photo is taken for board.

    Returns
    -------
    ndarray of shape (h, w)
        True on the board, its holes filled; the longest edge is 480 pixels or less.

    Raises
    ------
    ImpossibleValue
        Nothing stands out from the table.

    Notes
    -----
    Graph cut between two colour mixtures.

    References
    ----------
    .. [1] C. Rother, V. Kolmogorov, A. Blake, *GrabCut: interactive foreground extraction using iterated graph cuts*,
       SIGGRAPH 2004.
    """
    import cv2

    scale = min(1.0, _SMALL / max(photo.shape[:2]))
    size = (max(round(photo.shape[1] * scale), 16), max(round(photo.shape[0] * scale), 16))
    small = cv2.GaussianBlur(cv2.resize(photo, size, interpolation=cv2.INTER_AREA), (0, 0), 0.8)
    mask = np.full(small.shape[:2], cv2.GC_BGD, np.uint8)
    if corners is None:
        rows, columns = mask.shape
        mask[rows // 16 : -rows // 16, columns // 16 : -columns // 16] = cv2.GC_PR_BGD
        mask[rows // 5 : -rows // 5, columns // 5 : -columns // 5] = cv2.GC_PR_FGD
    else:
        quad = np.round(corners * scale).astype(np.int32)
        inside = np.zeros(mask.shape, np.uint8)
        cv2.fillPoly(inside, [quad], [1])
        mask[cv2.dilate(inside, np.ones((5, 5), np.uint8)) > 0] = cv2.GC_PR_FGD
        if not np.any(mask == cv2.GC_BGD):
            return np.asarray(inside > 0)
    cv2.setRNGSeed(1)
    cut, *_ = cv2.grabCut(small, mask, None, np.zeros((1, 65)), np.zeros((1, 65)), 3, cv2.GC_INIT_WITH_MASK)
    board = np.asarray((cut == cv2.GC_FGD) | (cut == cv2.GC_PR_FGD), np.uint8)
    board = cv2.morphologyEx(np.pad(board, 8), cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))[8:-8, 8:-8]
    count, labels, stats, _ = cv2.connectedComponentsWithStats(board)
    if count < 2:
        raise ImpossibleValue("no board stands out from the table", remedy="mark its four corners by hand")
    largest = np.asarray(labels == 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA])), np.uint8)
    contours, _ = cv2.findContours(largest, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    filled = np.zeros_like(largest)
    cv2.drawContours(filled, contours, -1, [1], -1)
    if filled.mean() < 0.02:
        raise ImpossibleValue("no board stands out from the table", remedy="mark its four corners by hand")
    return np.asarray(filled > 0)


def find_outline(photo: NDArray[np.uint8], *, fit_lens: bool = True) -> Outline:
    """Find the board and its four main edges.

    Parameters
    ----------
    photo : ndarray of shape (H, W, 3)
        Upright photo in sRGB.
    fit_lens : bool
        Whether the lens is estimated from the bend of the edges.

    Returns
    -------
    Outline
        Corners, lens and contour.

    Raises
    ------
    ImpossibleValue
        No board stands out, or it has no four edges; corners by hand are the remedy.
    """
    import cv2

    shape = (photo.shape[0], photo.shape[1])
    candidates = enclosing_quadrilaterals(photo)
    support = float(candidates[0].support.min()) if candidates else 0.0
    mask = board_mask(photo, candidates[0].corners if candidates else None)
    scale = photo.shape[1] / mask.shape[1]
    contours, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    contour = max(contours, key=cv2.contourArea)[:, 0, :].astype(np.float64)
    contour = (contour + 0.5) * scale - 0.5
    corners = _clockwise(_like_board(candidates, mask, scale)) if candidates else _four_corners(contour)
    lens, scatter = 0.0, 0.0
    for reach in (0.008, 0.004):
        edges = _edge_points(photo, corners, lens, reach=max(4.0, reach * max(shape)))
        lens, scatter = lens_from_edges(edges, shape) if fit_lens else (0.0, _scatter(edges, 0.0, shape))
        lines = [_line(straightened(points, lens, shape)) for points in edges]
        straight = np.array([_meet(lines[i - 1], lines[i]) for i in range(4)])
        corners = bent(straight, lens, shape)
    area = float(cv2.contourArea(contour.astype(np.float32)))
    return Outline(
        corners=corners,
        lens=lens,
        edge_scatter=scatter,
        polygon=contour,
        filled=area / max(float(cv2.contourArea(corners.astype(np.float32))), 1e-9),
        support=support,
        photo_shape=shape,
    )


def _four_corners(contour: Points) -> Points:
    """Best quadrilateral round the contour, clockwise from the upper left."""
    import cv2

    hull = cv2.convexHull(contour.astype(np.float32))
    length = cv2.arcLength(hull, True)
    quad = None
    for share in np.geomspace(0.005, 0.2, 60):
        simple = cv2.approxPolyDP(hull, share * length, True)
        if len(simple) <= 4:
            quad = simple[:, 0, :].astype(np.float64) if len(simple) == 4 else None
            break
    if quad is None:
        quad = cv2.boxPoints(cv2.minAreaRect(hull)).astype(np.float64)
    lines = []
    for index in range(4):
        a, b = quad[index - 1], quad[index]
        lines.append(_line_near(contour, a, b))
    corners = np.array([_meet(lines[i], lines[(i + 1) % 4]) for i in range(4)])
    return _clockwise(corners)


def _clockwise(corners: Points) -> Points:
    centre = corners.mean(axis=0)
    angles = np.arctan2(corners[:, 1] - centre[1], corners[:, 0] - centre[0])
    ordered = corners[np.argsort(angles)]  # y points down, so that growing angles run clockwise
    first = int(np.argmin(ordered.sum(axis=1)))
    return np.roll(ordered, -first, axis=0)


def _line_near(contour: Points, a: Points, b: Points) -> NDArray[np.float64]:
    """Line through the contour points beside the middle of an edge."""
    direction = (b - a) / max(float(np.linalg.norm(b - a)), 1e-9)
    normal = np.array([-direction[1], direction[0]])
    along = (contour - a) @ direction / max(float(np.linalg.norm(b - a)), 1e-9)
    away = np.abs((contour - a) @ normal)
    near = (along > 0.1) & (along < 0.9) & (away < 0.06 * float(np.linalg.norm(b - a)) + 3)
    return _line(contour[near]) if int(near.sum()) >= 8 else _line(np.array([a, b]))


def _line(points: Points, rounds: int = 6) -> NDArray[np.float64]:
    """Robust line (n_x, n_y, c) with n·p = c, by total least squares with Tukey weights."""
    weights = np.ones(len(points))
    line = np.zeros(3)
    for _ in range(rounds):
        centre = np.average(points, axis=0, weights=weights)
        offset = points - centre
        _, _, right = np.linalg.svd(offset * np.sqrt(weights)[:, None], full_matrices=False)
        direction = right[0]
        normal = np.array([-direction[1], direction[0]])
        distance = offset @ normal
        spread = max(scatter_of(distance), 1e-3)
        weights = np.clip(1 - (distance / (4.5 * spread)) ** 2, 0.0, None) ** 2 + 1e-9
        line = np.array([normal[0], normal[1], float(normal @ centre)])
    return line


def _meet(first: NDArray[np.float64], second: NDArray[np.float64]) -> Points:
    matrix = np.array([first[:2], second[:2]])
    if abs(np.linalg.det(matrix)) < 1e-6:
        raise ImpossibleValue("the board's edges do not meet", remedy="mark its four corners by hand")
    return np.asarray(np.linalg.solve(matrix, np.array([first[2], second[2]])))


def _edge_points(photo: NDArray[np.uint8], corners: Points, lens: float, reach: float) -> list[Points]:
    """Places of steepest change across each edge; edge i runs from corner i to corner i + 1."""
    edges = []
    steps = np.arange(-reach, reach + 0.25, 0.5)
    for index in range(4):
        a, b = corners[index], corners[(index + 1) % 4]
        length = float(np.linalg.norm(b - a))
        direction = (b - a) / length
        outward = np.array([direction[1], -direction[0]])
        share = np.linspace(0.05, 0.95, min(240, max(40, int(length / 6))))
        ends = straightened(np.array([a, b]), lens, photo.shape[:2])
        base = bent(ends[0] + share[:, None] * (ends[1] - ends[0]), lens, photo.shape[:2])
        places = base[:, None, :] + steps[None, :, None] * outward
        edges.append(_steepest(_smooth_at(photo, places), places, steps))
    return edges


def _smooth_at(photo: NDArray[np.uint8], places: Points) -> NDArray[np.float32]:
    """Slightly blurred colours at places; only the part of the photo round them is blurred."""
    import cv2

    rows, columns = photo.shape[:2]
    low = np.clip(np.floor(places.min(axis=(0, 1))).astype(int) - 5, 0, (columns - 1, rows - 1))
    high = np.clip(np.ceil(places.max(axis=(0, 1))).astype(int) + 6, low + 1, (columns, rows))
    part = photo[low[1] : high[1], low[0] : high[0]]
    smooth = cv2.GaussianBlur(part, (0, 0), 1.0).astype(np.float32)
    at = (places - low).astype(np.float32)
    taken = cv2.remap(smooth, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(taken, np.float32)


def _steepest(profile: NDArray[np.float32], places: Points, steps: NDArray[np.float64]) -> Points:
    """Sub-step place of the steepest change, measured along the mean colour difference of inside and outside."""
    third = len(steps) // 3
    inside = np.median(profile[:, :third], axis=1)
    outside = np.median(profile[:, -third:], axis=1)
    contrast = np.median(outside - inside, axis=0)
    contrast = contrast / max(float(np.linalg.norm(contrast)), 1e-6)
    value = profile @ contrast.astype(np.float32)
    slope = np.diff(value, axis=1)
    # The table's own grain also has slopes: the place near the other points' median wins over a far, stronger one.
    middle = np.median(np.argmax(slope, axis=1))
    weight = np.exp(-0.5 * ((np.arange(slope.shape[1]) - middle) / (0.35 * slope.shape[1])) ** 2)
    best = np.argmax(slope * weight, axis=1)
    best = np.clip(best, 1, slope.shape[1] - 2)
    rows = np.arange(len(best))
    left, mid, right = slope[rows, best - 1], slope[rows, best], slope[rows, best + 1]
    bend = left - 2 * mid + right
    shift = np.where(
        np.abs(bend) > 1e-6, 0.5 * (left - right) / np.where(np.abs(bend) > 1e-6, bend, 1.0), 0.0
    )
    index = best + 0.5 + np.clip(shift, -0.5, 0.5)
    whole = np.clip(index.astype(int), 0, places.shape[1] - 2)
    part = (index - whole)[:, None]
    return np.asarray(places[rows, whole] * (1 - part) + places[rows, whole + 1] * part)


def _like_board(candidates: list[Quadrilateral], mask: NDArray[np.bool_], scale: float) -> Points:
    """Corners of the frame that covers the board best among those about as well supported as the first.

    A shadow's edge on the table is as straight as the board's, and lies outside it.
    """
    import cv2

    best, corners = 0.0, candidates[0].corners
    for candidate in candidates:
        if candidate.score < 0.9 * candidates[0].score:
            continue
        quad = np.zeros(mask.shape, np.uint8)
        points = np.round(((candidate.corners + 0.5) / scale - 0.5) * 16).astype(np.int32)
        cv2.fillPoly(quad, [points], [1], cv2.LINE_8, 4)
        covered = float((mask & (quad > 0)).sum()) / float((mask | (quad > 0)).sum())
        # The first is kept where another is hardly better: the mask itself is coarse.
        if covered > best + (0.006 if best > 0.0 else 0.0):
            best, corners = covered, candidate.corners
    return corners


def refined_contour(photo: NDArray[np.uint8], contour: Points, *, reach: float) -> Points:
    """Contour moved onto the steepest change of colour across it.

    Parameters
    ----------
    photo : ndarray of shape (H, W, 3)
        Upright photo.
    contour : ndarray of shape (N, 2)
        Closed, clockwise or not [pixels].
    reach : float
        How far it may move to either side [pixels].

    Returns
    -------
    ndarray of shape (M, 2)
        Smoothed along the contour by a running median, so that a mark on the table does not pull single points away.
    """
    from scipy.ndimage import median_filter

    ahead = np.roll(contour, -1, axis=0)
    length = np.concatenate([[0.0], np.cumsum(np.linalg.norm(ahead - contour, axis=1))])
    count = max(64, int(length[-1] / max(reach / 2.0, 2.0)))
    closed = np.concatenate([contour, contour[:1]])
    along = np.linspace(0.0, length[-1], count, endpoint=False)
    base = np.stack([np.interp(along, length, closed[:, axis]) for axis in (0, 1)], axis=1)
    # The coarse contour is a staircase: its direction is taken over some steps.
    span = 4
    direction = np.roll(base, -span, axis=0) - np.roll(base, span, axis=0)
    direction /= np.maximum(np.linalg.norm(direction, axis=1, keepdims=True), 1e-9)
    area = float(np.sum(base[:, 0] * np.roll(base[:, 1], -1) - base[:, 1] * np.roll(base[:, 0], -1)))
    outward = np.stack([direction[:, 1], -direction[:, 0]], axis=1) * np.sign(area)
    steps = np.arange(-reach, reach + 0.25, 0.5)
    places = base[:, None, :] + steps[None, :, None] * outward[:, None, :]
    found = _steepest(_smooth_at(photo, places), places, steps)
    moved = np.sum((found - base) * outward, axis=1)
    return np.asarray(base + median_filter(moved, size=5, mode="wrap")[:, None] * outward)


def _scatter(edges: list[Points], lens: float, shape: tuple[int, int]) -> float:
    """Robust scatter of edge points about their lines after straightening [pixels]."""
    residuals = []
    for points in edges:
        straight = straightened(points, lens, shape)
        line = _line(straight)
        residuals.append(straight @ line[:2] - line[2])
    return scatter_of(np.concatenate(residuals))


def _loss(edges: list[Points], lens: float, shape: tuple[int, int], spread: float) -> float:
    total = 0.0
    for points in edges:
        straight = straightened(points, lens, shape)
        line = _line(straight)
        away = (straight @ line[:2] - line[2]) / spread
        total += float(np.sum(np.minimum(away**2, 9.0)))
    return total


def lens_from_edges(edges: list[Points], shape: tuple[int, int]) -> tuple[float, float]:
    """Lens coefficient that makes the board's edges straight, and the scatter that is left.

    Parameters
    ----------
    edges : list of ndarray of shape (N, 2)
        Points along each straight edge [pixels].
    shape : tuple of int
        Rows and columns of the photo.

    Returns
    -------
    tuple of float
        Coefficient of the division model, zero where the edges do not call for one; scatter [pixels].
    """
    from scipy.optimize import minimize_scalar

    spread = max(_scatter(edges, 0.0, shape), 0.3)
    plain = _loss(edges, 0.0, shape, spread)
    found = minimize_scalar(
        lambda value: _loss(edges, float(value), shape, spread), bounds=(-0.35, 0.35), method="bounded"
    )
    lens = float(found.x)
    count = sum(len(points) for points in edges)
    # Edge points along one edge err together: the gain must be large against that, not against single points.
    gain = (plain - float(found.fun)) / max(float(found.fun) / count, 1e-9)
    if gain < 0.08 * count or abs(lens) > 0.33:
        lens = 0.0
    return lens, _scatter(edges, lens, shape)
