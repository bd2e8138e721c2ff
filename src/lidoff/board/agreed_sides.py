"""Which basins of a flood lie on copper's side of their edges, where single edges may tell wrongly."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["agreed_sides"]

_ROUNDS = 50

Values = NDArray[np.float64]


def agreed_sides(
    basins: NDArray[np.int32], sides: Values, weights: Values, slope: NDArray[np.float32], level: float
) -> Values:
    """Sides of basins made to agree across borders where nothing is seen.

    Parameters
    ----------
    basins : ndarray of shape (H, W)
        Number of the basin of each pixel, 0 for none.
    sides : ndarray of shape (N,)
        +1 or −1 by number, as the basin's own edge tells; 0 for none.
    weights : ndarray of shape (N,)
        Pixels of edge that told it.
    slope : ndarray of shape (H, W)
        Strength of the slope of lightness.
    level : float
        Slope below which a border shows no edge.

    Returns
    -------
    ndarray of shape (N,)
        Sides; those that too little speaks for are turned over.

    Notes
    -----
    Where two basins meet without a slope, light changes smoothly and both lie on one side. Each pixel of such a border
    weighs as much as a pixel of edge. The best sides are looked for by turning over those with most against them first,
    until none is left.

    References
    ----------
    .. [1] J. Besag, *On the statistical analysis of dirty pictures*, Journal of the Royal Statistical Society B 48 (1986),
       iterated conditional modes.
    """
    from scipy import sparse

    first, second = [], []
    rows, columns = basins.shape
    for here, there in (
        ((slice(None), slice(0, columns - 1)), (slice(None), slice(1, columns))),
        ((slice(0, rows - 1), slice(None)), (slice(1, rows), slice(None))),
    ):
        one, other = basins[here], basins[there]
        smooth = np.maximum(slope[here], slope[there]) < level
        border = (one != other) & (one > 0) & (other > 0) & smooth
        first.append(one[border])
        second.append(other[border])
    ends = np.concatenate(first), np.concatenate(second)
    ones = np.ones(2 * len(ends[0]))
    places = (np.concatenate(ends), np.concatenate(ends[::-1]))
    shared = sparse.coo_matrix((ones, places), shape=(len(sides), len(sides))).tocsr()
    agreed = sides.copy()
    own = sides * weights
    for _ in range(_ROUNDS):
        pull = own + shared @ agreed
        unhappy = np.flatnonzero((pull * agreed < 0.0) & (sides != 0.0))
        if len(unhappy) == 0:
            break
        worst = unhappy[np.argsort(-np.abs(pull[unhappy]), kind="stable")]
        turned = worst[: max(1, len(worst) // 4)]
        agreed[turned] = -agreed[turned]
    return agreed
