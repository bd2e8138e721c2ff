"""Outliers among repeats, by Grubbs' test."""

from __future__ import annotations

import math
from collections.abc import Sequence

from lidoff.errors import ImpossibleValue
from lidoff.quantities.coverage import coverage_factor

__all__ = ["furthest_repeat", "grubbs_limit"]


def grubbs_limit(count: int, level: float) -> float:
    """Distance of the furthest value from the mean, over the standard deviation, that chance passes at a level.

    Parameters
    ----------
    count : int
        Values, at least three.
    level : float
        Probability that the furthest of so many values of one normal distribution lies beyond, on either side.

    Returns
    -------
    float
        The critical value.

    Raises
    ------
    ImpossibleValue
        Fewer than three values, or a level that is no probability.

    References
    ----------
    .. [1] F. E. Grubbs, "Procedures for detecting outlying observations in samples", Technometrics 11 (1969), 1-21;
       ISO 5725-2:1994, 7.3.4 and Table 5 (from memory), which the tests reach to its three decimals.

    Examples
    --------
    >>> round(grubbs_limit(10, 0.05), 2)
    2.29
    """
    if count < 3:
        raise ImpossibleValue(f"{count} values have no outlier", remedy="give at least three")
    t = coverage_factor(1.0 - level / count, count - 2.0)
    return (count - 1.0) / math.sqrt(count) * math.sqrt(t * t / (count - 2.0 + t * t))


def furthest_repeat(values: Sequence[float], *, rounding: float = 0.0) -> tuple[int, float]:
    """Value furthest from the mean, and how far it lies.

    Parameters
    ----------
    values : sequence of float
        At least two.
    rounding : float, optional
        Standard uncertainty of the last digit shown, in the values' unit. It widens the standard deviation, so that two
        repeats which only look alike for want of digits make no outlier of a third; our addition to the test.

    Returns
    -------
    place : int
        Of that value, counted from 0.
    distance : float
        From the mean, over the standard deviation; 0 where nothing scatters.

    Examples
    --------
    >>> furthest_repeat([1.0, 1.0, 4.0])[0]
    2
    """
    mean = math.fsum(values) / len(values)
    place = max(range(len(values)), key=lambda index: abs(values[index] - mean))
    spread = math.sqrt(
        math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1) + rounding * rounding
    )
    return place, abs(values[place] - mean) / spread if spread else 0.0
