"""Limits ↔ standard uncertainty: what "within ±a" is worth, by the shape of the distribution."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from lidoff.errors import ImpossibleValue, UnknownName

__all__ = ["DIVISORS", "resolution_uncertainty", "standard_from_limits"]

DIVISORS: Mapping[str, float] = MappingProxyType(
    {
        "rectangular": math.sqrt(3.0),  # JCGM 100:2008, 4.3.7
        "triangular": math.sqrt(6.0),  # JCGM 100:2008, 4.3.9
        "arcsine": math.sqrt(2.0),  # JCGM 101:2008, 6.4.6
    }
)
"""Shape of a distribution within limits → half-width over standard deviation."""


def standard_from_limits(half_width: float, shape: str = "rectangular") -> float:
    """Standard uncertainty of what lies within limits.

    Parameters
    ----------
    half_width : float
        Half the distance between the limits, from zero up.
    shape : {"rectangular", "triangular", "arcsine"}, optional
        How likely the places between the limits are.

    Returns
    -------
    float
        Standard uncertainty, in the unit of the half-width.

    Raises
    ------
    ImpossibleValue
        The half-width is negative or not finite.
    UnknownName
        The shape is unknown.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7 and 4.3.9; JCGM 101:2008, 6.4.

    Examples
    --------
    >>> round(standard_from_limits(0.052), 4)
    0.03
    """
    if not (math.isfinite(half_width) and half_width >= 0.0):
        raise ImpossibleValue(f"limits of ± {half_width}", remedy="give a finite half-width from zero up")
    if shape not in DIVISORS:
        raise UnknownName(f"no distribution {shape!r}", name=shape, known=DIVISORS)
    return half_width / DIVISORS[shape]


def resolution_uncertainty(resolution: float) -> float:
    """Standard uncertainty that a display's last digit leaves, whatever the instrument's accuracy.

    Parameters
    ----------
    resolution : float
        One step of the last digit.

    Returns
    -------
    float
        Resolution over √12, in its unit.

    References
    ----------
    .. [1] JCGM 100:2008, F.2.2.1.

    Examples
    --------
    >>> round(resolution_uncertainty(0.01), 5)
    0.00289
    """
    return standard_from_limits(resolution / 2.0)
