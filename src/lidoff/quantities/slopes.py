"""Slopes of any smooth function at a point, by differences."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from lidoff.errors import ImpossibleValue
from lidoff.quantities.quantity import Quantity

__all__ = ["evaluated", "sensitivities"]


def sensitivities(function: Callable[..., float], quantities: Sequence[Quantity]) -> tuple[float, ...]:
    """Partial derivatives of a function at the quantities' values.

    Central differences extrapolated to step zero, first step about the uncertainty; 0 for a quantity with neither size
    nor uncertainty to set a step by.

    Parameters
    ----------
    function : callable
        Takes one float per quantity, smooth near the values, and returns a float.
    quantities : sequence of Quantity
        Where to differentiate.

    Returns
    -------
    tuple of float
        One derivative for each quantity, in the result's unit per its unit.

    Raises
    ------
    ImpossibleValue
        The function is not finite at or near the values.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.3.
    .. [2] C. J. F. Ridders, "Accurate computation of F'(x) and F'(x) F''(x)", Advances in Engineering Software 4 (1982)
       75-76 (from memory): differences at halved steps, extrapolated, the best by its own error estimate.

    Examples
    --------
    >>> [round(c, 6) for c in sensitivities(lambda v, i: v * i, [Quantity(5.0, "V"), Quantity(2.0, "A")])]
    [2.0, 5.0]
    """
    at = [quantity.value for quantity in quantities]
    found = []
    for index, quantity in enumerate(quantities):

        def along(value: float, index: int = index) -> float:
            return evaluated(function, [*at[:index], value, *at[index + 1 :]])

        step = max(quantity.uncertainty, abs(quantity.value) / 1024.0)
        found.append(_derivative(along, quantity.value, step) if step > 0.0 else 0.0)
    return tuple(found)


def _derivative(function: Callable[[float], float], at: float, step: float) -> float:
    """Derivative at a point after [2]; early halvings pass over steps that leave the function's domain."""
    rows: list[list[float]] = []
    best, error, outside = math.nan, math.inf, 0
    while len(rows) < 12:
        above, below = at + step, at - step
        try:
            row = [(function(above) - function(below)) / (above - below)]
        except ImpossibleValue:
            outside += 1
            if rows or outside > 40:
                raise
            step /= 2.0
            continue
        for order, coarser in enumerate(rows[-1] if rows else [], start=1):
            row.append(row[-1] + (row[-1] - coarser) / (4.0**order - 1.0))
            doubt = max(abs(row[-1] - row[-2]), abs(row[-1] - coarser))
            if doubt <= error:
                best, error = row[-1], doubt
        if rows and (error <= 1e-10 * abs(best) or abs(row[-1] - rows[-1][-1]) >= 2.0 * error):
            break  # good enough, or rounding has begun to spoil the higher orders
        rows.append(row)
        step /= 2.0
    return best


def evaluated(function: Callable[..., float], values: Sequence[float]) -> float:
    """Value of a function at a point, refused where it is not a finite number.

    Parameters
    ----------
    function : callable
        Takes one float per value and returns a float.
    values : sequence of float
        The point.

    Returns
    -------
    float
        The value.

    Raises
    ------
    ImpossibleValue
        The function is not finite there, or the point lies outside its domain.
    """
    reason: Exception | None = None
    try:
        result = float(function(*values))
    except (ArithmeticError, ValueError) as error:  # what Python raises outside a function's domain
        result, reason = math.nan, error
    if not math.isfinite(result):
        shown = ", ".join(f"{value:.6g}" for value in values)
        raise ImpossibleValue(
            f"the calculated quantity is not finite at {shown}" + (f" ({reason})" if reason else ""),
            remedy="keep the inputs and their uncertainties away from this point",
        ) from reason
    return result
