"""Costs of many candidate places at once: wires to what is there, and what lies under a rectangle."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lidoff.schematic.ground_plan import AROUND, BEND, CROSSING, GroundPlan, Real, Whole

__all__ = ["area", "gaps", "path_costs"]


def path_costs(plan: GroundPlan, x: Whole, y: Whole, rows: Whole) -> Real:
    """Cost of wires from candidate places to targets, each by the better of its two one-corner paths.

    Parameters
    ----------
    plan : GroundPlan
        With what stands already.
    x, y : ndarray of shape (P, N)
        Candidate origins for each pair.
    rows : ndarray of shape (P, 10)
        For each pair of pin and target: pin offset, way out, target's two corners, target's way out.

    Returns
    -------
    ndarray of shape (P, N)
        In steps of wire.
    """
    by_row, by_column = plan.lines()
    lx, ly, dx, dy, ex0, ey0, ex1, ey1, edx, edy = (rows[:, k : k + 1] for k in range(10))
    px, py = x + lx, y + ly
    tx = np.minimum(np.maximum(px, np.minimum(ex0, ex1)), np.maximum(ex0, ex1))
    ty = np.minimum(np.maximum(py, np.minimum(ey0, ey1)), np.maximum(ey0, ey1))
    over, down = tx - px, ty - py
    lies, stands = over == 0, down == 0  # no way across, no way down
    sx, sy = np.sign(over), np.sign(down)
    free = (dx == 0) & (dy == 0)
    open_end = (edx == 0) & (edy == 0)
    # bends at the start when setting out across or down, and at the end when arriving so
    start_h = _bends(dx * sx, free)
    start_v = _bends(dy * sy, free)
    end_h = _bends(-edx * sx, open_end)
    end_v = _bends(-edy * sy, open_end)
    first = np.where(lies, start_v, start_h) + np.where(stands, end_h, end_v)
    second = np.where(stands, start_h, start_v) + np.where(lies, end_v, end_h)
    corner = ~(lies | stands)
    meet = np.where(free | open_end | ((dx == -edx) & (dy == -edy)), 0.0, 1.0)
    still = lies & stands
    own = np.where((ex0 != ex1) | (ey0 != ey1), CROSSING, 0.0)
    x0, x1 = np.minimum(px, tx), np.maximum(px, tx) + 1
    y0, y1 = np.minimum(py, ty), np.maximum(py, ty) + 1
    row_1 = np.where(lies, 0.0, by_row[py, x1] - by_row[py, x0])
    row_2 = np.where(lies, 0.0, by_row[ty, x1] - by_row[ty, x0])
    column_1 = np.where(stands, 0.0, by_column[y1, tx] - by_column[y0, tx])
    column_2 = np.where(stands, 0.0, by_column[y1, px] - by_column[y0, px])
    cost_1 = BEND * first + np.clip(row_1 + column_1 - own, 0.0, AROUND)
    cost_2 = BEND * second + np.clip(row_2 + column_2 - own, 0.0, AROUND)
    best = np.minimum(cost_1, cost_2) + BEND * corner
    result: Real = np.where(still, BEND * meet, np.abs(over) + np.abs(down) + best)
    return result


def gaps(x: Whole, y: Whole, rows: Whole) -> Whole:
    """Right-angled distance from candidate places to targets, shapes as for `path_costs` with x, y of shape (N,)."""
    lx, ly, _, _, ex0, ey0, ex1, ey1, _, _ = (rows[:, k : k + 1] for k in range(10))
    over = np.maximum(np.minimum(ex0, ex1) - lx - x, 0) + np.maximum(x - (np.maximum(ex0, ex1) - lx), 0)
    down = np.maximum(np.minimum(ey0, ey1) - ly - y, 0) + np.maximum(y - (np.maximum(ey0, ey1) - ly), 0)
    result: Whole = over + down
    return result


def _bends(ahead: Whole, free: NDArray[np.bool_]) -> Real:
    result: Real = np.where(free | (ahead > 0), 0.0, np.where(ahead < 0, 3.0, 1.0))
    return result


def area(total: Real, rects: Whole, x: Whole, y: Whole) -> Real:
    """Sums over rectangles shifted to each candidate.

    Parameters
    ----------
    total : ndarray of shape (H + 1, W + 1)
        Running sum over the page.
    rects : ndarray of shape (R, 4)
        Left, top, right, bottom.
    x, y : ndarray of shape (N,) or (R, N)
        Shifts.

    Returns
    -------
    ndarray of shape (R, N)
        One sum for each rectangle and shift.
    """
    wide = total.shape[1]
    flat = total.ravel()
    base = y * wide + x
    corner = rects[:, 1:2] * wide + rects[:, 0:1]
    across = rects[:, 2:3] + 1 - rects[:, 0:1]
    down = (rects[:, 3:4] + 1 - rects[:, 1:2]) * wide
    first = base + corner
    result: Real = flat[first + down + across] - flat[first + across] - flat[first + down] + flat[first]
    return result
