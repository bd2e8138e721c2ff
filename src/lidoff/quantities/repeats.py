"""Repeated readings of one thing: mean, standard uncertainty of the mean, correlation of means (type A)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from lidoff.errors import ImpossibleValue
from lidoff.quantities.quantity import Quantity

__all__ = ["correlation_of_repeats", "mean_of_repeats"]


def mean_of_repeats(values: Sequence[float], *, unit: str) -> Quantity:
    """Mean of repeated readings, with the uncertainty that their scatter leaves.

    Parameters
    ----------
    values : sequence of float of length n
        The readings, at least two, in `unit`.
    unit : str
        Kept unit of the readings.

    Returns
    -------
    Quantity
        Mean, standard uncertainty s/√n of the mean, n − 1 degrees of freedom. What all readings share, such as the
        instrument's own error, is not in it.

    Raises
    ------
    ImpossibleValue
        Fewer than two readings, or one that is not finite.

    References
    ----------
    .. [1] JCGM 100:2008, eqs. (3), (4) and (5).

    Examples
    --------
    >>> mean_of_repeats([5.0, 5.2, 5.1], unit="V").dof
    2.0
    """
    _check(values, unit)
    count = len(values)
    mean = math.fsum(values) / count
    scatter = math.fsum((value - mean) ** 2 for value in values) / (count - 1)  # [1] eq. (4)
    return Quantity(mean, unit, math.sqrt(scatter / count), count - 1)


def correlation_of_repeats(first: Sequence[float], second: Sequence[float]) -> float:
    """Correlation of the means of two quantities that were read together.

    Parameters
    ----------
    first, second : sequence of float of length n
        Readings taken at the same moments, at least two.

    Returns
    -------
    float
        Correlation coefficient from −1 to 1; 0 where one of them does not scatter.

    Raises
    ------
    ImpossibleValue
        Different numbers of readings, fewer than two, or one that is not finite.

    References
    ----------
    .. [1] JCGM 100:2008, eqs. (14) and (17).

    Examples
    --------
    >>> round(correlation_of_repeats([1.0, 2.0, 3.0], [2.0, 4.0, 6.0]), 9)
    1.0
    """
    if len(first) != len(second):
        raise ImpossibleValue(
            f"{len(first)} and {len(second)} readings that were to be taken together",
            remedy="give as many of one as of the other",
        )
    _check(first, "")
    _check(second, "")
    mean_first, mean_second = math.fsum(first) / len(first), math.fsum(second) / len(second)
    shared = math.fsum((a - mean_first) * (b - mean_second) for a, b in zip(first, second, strict=True))
    size_first = math.sqrt(math.fsum((a - mean_first) ** 2 for a in first))
    size_second = math.sqrt(math.fsum((b - mean_second) ** 2 for b in second))
    if size_first == 0.0 or size_second == 0.0:
        return 0.0
    return max(-1.0, min(1.0, shared / size_first / size_second))


def _check(values: Sequence[float], unit: str) -> None:
    """Refuse too few or endless readings."""
    if len(values) < 2:
        raise ImpossibleValue(
            f"{len(values)} reading{'' if len(values) == 1 else 's'} cannot show a scatter",
            remedy="read at least twice, or use the instrument's accuracy alone",
        )
    for place, value in enumerate(values, start=1):
        if not math.isfinite(value):
            raise ImpossibleValue(
                f"reading {place} is {value} {unit}".rstrip(), remedy="leave it out or read again"
            )
