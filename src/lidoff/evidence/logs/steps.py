"""Step by which a channel moves: meters may send more digits than they resolve, noughts behind every one that they do."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["moved_step"]

ENOUGH = 8
"""Different values that all end on noughts: by chance one in ten to the power of that does; our choice."""
LARGEST = 2.0**53  # beyond it not every whole number can be told from the next


def moved_step(values: NDArray[np.float64], digit: float) -> float:
    """Step by which a channel moves.

    Parameters
    ----------
    values : ndarray of float64, shape (N,)
        NaN where there is no number.
    digit : float
        Step of the last digit written, in the unit of the values; 0 where no digit was.

    Returns
    -------
    float
        That digit's, or ten, a hundred, … times as much where all of many different values end on as many noughts.

    Examples
    --------
    >>> moved_step(np.array([3.690, 3.691, 3.692, 3.693, 3.694, 3.695, 3.696, 3.697]), 1e-6)
    0.001
    """
    told = np.unique(values[np.isfinite(values)])
    if digit <= 0.0 or told.size < ENOUGH:
        return digit
    counts = told / digit
    whole = np.rint(counts)
    if np.abs(whole).max() > LARGEST or np.abs(counts - whole).max() > 0.01:
        return digit  # shifted by an offset, as from °F
    power = 0
    while not np.any(np.rint(whole / 10.0**power) % 10.0):
        power += 1
    return float(digit * 10.0**power)
