"""Scatter of values of which some lie far off."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["scatter_of"]

_NORMAL = 1.4826  # standard deviation of normally distributed values [medians of their absolute values]


def scatter_of(deviations: NDArray[np.floating]) -> float:
    """Standard deviation, told from the median, so that a few values far off count for nothing.

    Parameters
    ----------
    deviations : ndarray
        What values differ by from where they belong, in any unit; one or more.

    Returns
    -------
    float
        In that unit; that of normally distributed values.
    """
    return _NORMAL * float(np.median(np.abs(deviations)))
