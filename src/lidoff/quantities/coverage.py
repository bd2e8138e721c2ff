"""Degrees of freedom, coverage factors and the probability that a quantity lies past a limit."""

from __future__ import annotations

import math
from collections.abc import Sequence

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities.limits import DIVISORS
from lidoff.quantities.quantity import Quantity

__all__ = [
    "combined_uncertainty",
    "coverage_factor",
    "effective_degrees_of_freedom",
    "probability_at_least",
    "probability_between",
]


def combined_uncertainty(components: Sequence[float]) -> float:
    """Root sum of squares of independent standard uncertainties.

    Parameters
    ----------
    components : sequence of float
        Standard uncertainties in one unit.

    Returns
    -------
    float
        Combined standard uncertainty, in that unit.

    References
    ----------
    .. [1] JCGM 100:2008, eq. (10), with sensitivities of one.

    Examples
    --------
    >>> combined_uncertainty([3.0, 4.0])
    5.0
    """
    return math.hypot(*components)


def effective_degrees_of_freedom(components: Sequence[float], dofs: Sequence[float]) -> float:
    """Effective degrees of freedom of a sum of independent uncertainties (Welch–Satterthwaite).

    Parameters
    ----------
    components : sequence of float
        Standard uncertainties in the unit of the result, sensitivities included.
    dofs : sequence of float
        Degrees of freedom of each; infinite where it is taken as known.

    Returns
    -------
    float
        Effective degrees of freedom, not cut to a whole number; infinite where no component is in doubt.

    Raises
    ------
    ImpossibleValue
        A component is negative, degrees of freedom are not above zero, or the two differ in number.

    References
    ----------
    .. [1] JCGM 100:2008, eq. (G.2b).

    Examples
    --------
    >>> round(effective_degrees_of_freedom([1.0, 1.0], [4.0, 4.0]), 6)
    8.0
    """
    if len(components) != len(dofs):
        raise ImpossibleValue(
            f"{len(components)} uncertainties with {len(dofs)} degrees of freedom", remedy="give one for each"
        )
    for component, dof in zip(components, dofs, strict=True):
        if not (math.isfinite(component) and component >= 0.0) or not dof > 0.0:
            raise ImpossibleValue(
                f"an uncertainty of {component} with {dof} degrees of freedom",
                remedy="give finite uncertainties from zero up and degrees of freedom above zero",
            )
    total = math.hypot(*components)
    # Shares of the total instead of fourth powers of the components, which underflow for small units.
    doubt = sum(
        (component / total) ** 4 / dof for component, dof in zip(components, dofs, strict=True) if total
    )
    return 1.0 / doubt if doubt > 0.0 else math.inf


def coverage_factor(probability: float, dof: float = math.inf, *, shape: str = "normal") -> float:
    """Factor from standard uncertainty to the half-width of a two-sided interval.

    Parameters
    ----------
    probability : float
        Probability that the interval is to hold, between 0 and 1.
    dof : float, optional
        Degrees of freedom of the standard uncertainty; finite ones give Student's t. Not cut to a whole number.
    shape : {"normal", "rectangular"}, optional
        Distribution of the quantity; a rectangular one has no degrees of freedom.

    Returns
    -------
    float
        The factor k.

    Raises
    ------
    ImpossibleValue
        The probability is not between 0 and 1 (1 itself only for "rectangular"), or the degrees of freedom are not
        above zero or given for a rectangular distribution.
    UnknownName
        The shape is unknown.

    References
    ----------
    .. [1] JCGM 100:2008, Tables G.1 and G.2; 6.3.2 and its notes.

    Examples
    --------
    >>> round(coverage_factor(0.95), 2), round(coverage_factor(0.95, 4), 2)
    (1.96, 2.78)
    """
    if shape not in ("normal", "rectangular"):
        raise UnknownName(f"no coverage factor for {shape!r}", name=shape, known=("normal", "rectangular"))
    highest_allowed = shape == "rectangular" and probability == 1.0
    if not (0.0 < probability < 1.0 or highest_allowed):
        raise ImpossibleValue(f"a coverage probability of {probability}", remedy="give one between 0 and 1")
    if not dof > 0.0 or (shape == "rectangular" and math.isfinite(dof)):
        raise ImpossibleValue(
            f"{dof} degrees of freedom for a {shape} distribution", remedy="give a number above zero, or none"
        )
    if shape == "rectangular":
        return probability * DIVISORS["rectangular"]
    from scipy import special

    if math.isinf(dof):
        return float(special.ndtri(0.5 + 0.5 * probability))
    return float(special.stdtrit(dof, 0.5 + 0.5 * probability))


def probability_at_least(quantity: Quantity, limit: float) -> float:
    """Probability that the true value is at or above a limit.

    Parameters
    ----------
    quantity : Quantity
        Estimate, standard uncertainty and degrees of freedom; taken as normal, or as Student's t where the degrees of
        freedom are finite.
    limit : float
        The limit, in the quantity's unit.

    Returns
    -------
    float
        Probability from 0 to 1; 0 or 1 where the quantity has no uncertainty.

    Raises
    ------
    ImpossibleValue
        The limit is not a number.

    References
    ----------
    .. [1] JCGM 106:2012, 7.3 (conformance probability against one limit).

    Examples
    --------
    >>> round(probability_at_least(Quantity(5.0, "V", 0.1), 4.8), 3)
    0.977
    """
    if math.isnan(limit):
        raise ImpossibleValue(f"a limit of {limit} {quantity.unit}", remedy="give a number")
    if quantity.uncertainty == 0.0:
        return 1.0 if quantity.value >= limit else 0.0
    distance = (quantity.value - limit) / quantity.uncertainty
    if math.isinf(quantity.dof) or math.isinf(distance):
        return 0.5 * math.erfc(-distance / math.sqrt(2.0))
    from scipy import special

    return float(special.stdtr(quantity.dof, distance))


def probability_between(quantity: Quantity, low: float, high: float) -> float:
    """Probability that the true value lies between two limits.

    Parameters
    ----------
    quantity : Quantity
        As for `probability_at_least`.
    low, high : float
        The limits, in the quantity's unit; `low` not above `high`.

    Returns
    -------
    float
        Probability from 0 to 1.

    Raises
    ------
    ImpossibleValue
        A limit is not a number, or they stand the wrong way round.

    References
    ----------
    .. [1] JCGM 106:2012, 7.4 (conformance probability between two limits).

    Examples
    --------
    >>> round(probability_between(Quantity(5.0, "V", 0.1), 4.8, 5.2), 3)
    0.954
    """
    if not low <= high:
        raise ImpossibleValue(
            f"limits from {low} to {high} {quantity.unit}", remedy="give numbers, the lower one first"
        )
    if quantity.uncertainty == 0.0:
        return 1.0 if low <= quantity.value <= high else 0.0
    if low > quantity.value:  # the far tail as a difference of small numbers, not of numbers near one
        return probability_at_least(quantity, low) - probability_at_least(quantity, high)
    mirrored = Quantity(-quantity.value, quantity.unit, quantity.uncertainty, quantity.dof)
    return probability_at_least(mirrored, -high) - probability_at_least(mirrored, -low)
