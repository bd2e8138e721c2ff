"""How far the found edges of copper waver about straight lines."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lidoff.board.scatter import scatter_of

__all__ = ["edge_wander"]

_CHORD_MM = 0.6
"""From a place on an edge to those on either side against which it is held [mm]: farther than noise reaches along an edge,
smoothed as edges are."""

_LEAST = 200  # places from which on the figure is believed
_BEND = 0.25  # largest bend from one half of a chord to the other that counts as straight [radians]


def edge_wander(
    lines: Sequence[NDArray[np.float64]], where: NDArray[np.bool_], px_per_mm: float
) -> float | None:
    """Standard deviation of places along edges from the straight lines that were etched.

    Parameters
    ----------
    lines : sequence of ndarray of shape (N, 2)
        Edges, each by places a pixel apart: row and column.
    where : ndarray of shape (H, W)
        True along edges that count.
    px_per_mm : float
        Raster.

    Returns
    -------
    float or None
        [pixels]; None where there are too few straight edges.

    Notes
    -----
    A place is held against the middle of two others, one on either side. With three independent errors that difference has
    one and a half times the variance of one of them. Medians keep corners and spurs out.
    """
    chord = max(3, round(_CHORD_MM * px_per_mm))
    found = [np.empty(0)]
    for even in lines:
        if len(even) <= 2 * chord:
            continue
        behind, here, ahead = even[: -2 * chord], even[chord:-chord], even[2 * chord :]
        rows, columns = np.round(here).astype(int).T
        along = ahead - behind
        length = np.maximum(np.linalg.norm(along, axis=1), 1e-6)
        middle = here - (behind + ahead) / 2
        off = (middle[:, 0] * along[:, 1] - middle[:, 1] * along[:, 0]) / length
        # A bend of so many radians lifts the place by a quarter of it times the chord.
        straight = (length > 1.7 * chord) & (np.abs(off) < _BEND * chord / 2)
        found.append(off[straight & where[rows, columns]])
    every = np.concatenate(found)
    if len(every) < _LEAST:
        return None
    return float(scatter_of(every) / np.sqrt(1.5))
