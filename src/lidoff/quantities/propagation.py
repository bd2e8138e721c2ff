"""Uncertainty of a calculated quantity, by the law of propagation (JCGM 100, clause 5).

Letters of the source and names here: x_i `quantities`, u(x_i) `uncertainty`, c_i `sensitivities`, r(x_i, x_j)
`correlations`, y the result.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

from lidoff.errors import ImpossibleValue
from lidoff.quantities.coverage import effective_degrees_of_freedom
from lidoff.quantities.quantity import Quantity
from lidoff.quantities.slopes import evaluated, sensitivities

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["Joint", "checked_correlations", "propagate", "propagate_jointly", "second_order_uncertainty"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Several results of the same inputs, with how they move together.

    Parameters
    ----------
    quantities : tuple of Quantity
        The results, in the order of the functions.
    correlations : tuple of tuple of float
        Correlation coefficients between them; 0 for a result without uncertainty, 1 on the diagonal.
    """

    quantities: tuple[Quantity, ...]
    correlations: tuple[tuple[float, ...], ...]


def propagate(
    function: Callable[..., float],
    quantities: Sequence[Quantity],
    *,
    unit: str,
    correlations: Sequence[Sequence[float]] | None = None,
) -> Quantity:
    """Result of a function of quantities, with its standard uncertainty to first order.

    Parameters
    ----------
    function : callable
        Takes one float per quantity, in their units, and returns a float in `unit`; smooth near the values.
    quantities : sequence of Quantity of length n
        The inputs.
    unit : str
        Kept unit of the result.
    correlations : sequence of n sequences of n floats, optional
        Correlation coefficients between the inputs; independent if left out.

    Returns
    -------
    Quantity
        Estimate, standard uncertainty, and effective degrees of freedom: by Welch–Satterthwaite for independent inputs;
        for correlated ones, where that formula does not hold, the smallest of the inputs' that matter.

    Raises
    ------
    ImpossibleValue
        The result is not finite, or the correlations cannot be.

    Notes
    -----
    First order only: where `second_order_uncertainty` differs notably, use `monte_carlo`.

    References
    ----------
    .. [1] JCGM 100:2008, eqs. (10) and (13); G.4.

    Examples
    --------
    >>> print(propagate(lambda v, i: v * i, [Quantity(5.02, "V", 0.02), Quantity(1.58, "A", 0.01)], unit="W"))
    7.93 W ± 0.12 W
    """
    return propagate_jointly([function], quantities, units=[unit], correlations=correlations).quantities[0]


def propagate_jointly(
    functions: Sequence[Callable[..., float]],
    quantities: Sequence[Quantity],
    *,
    units: Sequence[str],
    correlations: Sequence[Sequence[float]] | None = None,
) -> Joint:
    """Joint results of several functions of the same quantities, with their correlations.

    Parameters
    ----------
    functions : sequence of callable
        As for `propagate`, one for each result.
    quantities : sequence of Quantity of length n
        The inputs.
    units : sequence of str
        Kept unit of each result.
    correlations : sequence of n sequences of n floats, optional
        As for `propagate`.

    Returns
    -------
    Joint
        The results and how they move together.

    Raises
    ------
    ImpossibleValue
        As for `propagate`.

    References
    ----------
    .. [1] JCGM 100:2008, eq. (13); H.2.3, eq. (H.9).
    """
    import numpy as np

    if len(functions) != len(units):
        raise ImpossibleValue(
            f"{len(functions)} functions with {len(units)} units", remedy="give one for each"
        )
    count = len(quantities)
    matrix = np.eye(count) if correlations is None else checked_correlations(correlations, count)
    at = [quantity.value for quantity in quantities]
    spreads = np.array([quantity.uncertainty for quantity in quantities])
    dofs = [quantity.dof for quantity in quantities]
    values = [evaluated(function, at) for function in functions]
    slopes = np.array([sensitivities(function, quantities) for function in functions])
    shares = slopes.reshape(len(functions), count) * spreads
    covariance = shares @ matrix @ shares.T  # [1] eq. (13), for all pairs of results
    spread = np.sqrt(np.clip(np.diag(covariance), 0.0, None))
    results = tuple(
        Quantity(value, unit, float(size), _degrees_of_freedom(row, dofs, independent=correlations is None))
        for value, unit, size, row in zip(values, units, spread, np.abs(shares), strict=True)
    )
    size = np.where(spread > 0.0, spread, 1.0)
    between = np.clip(covariance / np.outer(size, size), -1.0, 1.0)
    np.fill_diagonal(between, 1.0)
    return Joint(quantities=results, correlations=tuple(tuple(map(float, row)) for row in between))


def _degrees_of_freedom(shares: NDArray[np.float64], dofs: Sequence[float], *, independent: bool) -> float:
    """Effective degrees of freedom of a result whose inputs bring these shares."""
    if independent:
        return effective_degrees_of_freedom([float(share) for share in shares], dofs)
    return min((dof for share, dof in zip(shares, dofs, strict=True) if share > 0.0), default=math.inf)


def second_order_uncertainty(function: Callable[..., float], quantities: Sequence[Quantity]) -> float:
    """Standard uncertainty of a function of independent quantities with the terms of next higher order.

    Where it differs notably from that of `propagate`, the function bends within the inputs' spread.

    Parameters
    ----------
    function : callable
        As for `propagate`.
    quantities : sequence of Quantity
        The inputs, taken as independent and symmetrically distributed.

    Returns
    -------
    float
        Standard uncertainty of the result, in its unit.

    Raises
    ------
    ImpossibleValue
        The function is not finite near the values, or the higher terms leave a variance below zero.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2, note.

    Examples
    --------
    >>> round(second_order_uncertainty(lambda x: x * x, [Quantity(0.0, "1", 1.0)]), 3)
    1.414
    """
    at = [quantity.value for quantity in quantities]
    spreads = [quantity.uncertainty for quantity in quantities]

    def moved(*moves: tuple[int, float]) -> float:
        """Function with some inputs moved by so many standard uncertainties."""
        values = list(at)
        for index, many in moves:
            values[index] += many * spreads[index]
        return evaluated(function, values)

    slopes = [
        slope * spread for slope, spread in zip(sensitivities(function, quantities), spreads, strict=True)
    ]
    here, step = moved(), 0.5
    variance = math.fsum(slope**2 for slope in slopes)
    for i, j in product(range(len(at)), repeat=2):
        if spreads[i] == 0.0 or spreads[j] == 0.0:
            continue
        if i == j:
            bend = (moved((i, step)) - 2.0 * here + moved((i, -step))) / step**2
            third = (
                moved((i, 2 * step))
                - 2.0 * moved((i, step))
                + 2.0 * moved((i, -step))
                - moved((i, -2 * step))
            ) / (2.0 * step**3)
        else:
            bend = (
                moved((i, step), (j, step)) - moved((i, step), (j, -step))
                - moved((i, -step), (j, step)) + moved((i, -step), (j, -step))
            ) / (4.0 * step**2)  # fmt: skip
            above = moved((i, step), (j, step)) - 2.0 * moved((i, step)) + moved((i, step), (j, -step))
            below = moved((i, -step), (j, step)) - 2.0 * moved((i, -step)) + moved((i, -step), (j, -step))
            third = (above - below) / (2.0 * step**3)
        variance += 0.5 * bend**2 + slopes[i] * third  # [1], inputs in units of their uncertainty
    if variance < 0.0:
        raise ImpossibleValue(
            "the terms of second order leave a variance below zero",
            remedy="use monte_carlo for this function",
        )
    return math.sqrt(variance)


def checked_correlations(correlations: Sequence[Sequence[float]], count: int) -> NDArray[np.float64]:
    """Correlation matrix as an array, refused where no quantities could move so.

    Parameters
    ----------
    correlations : sequence of sequences of float
        Coefficients between `count` quantities.
    count : int
        How many quantities there are.

    Returns
    -------
    ndarray of shape (count, count)
        The matrix.

    Raises
    ------
    ImpossibleValue
        Wrong size, not symmetric, not 1 on the diagonal, beyond ±1, or together impossible (a negative variance).
    """
    import numpy as np

    remedy = "give a symmetric matrix with 1 on the diagonal and coefficients from -1 to 1"
    if len(correlations) != count or any(len(row) != count for row in correlations):
        raise ImpossibleValue(f"a correlation matrix that is not {count} × {count}", remedy=remedy)
    matrix = np.array(correlations, dtype=np.float64).reshape(count, count)
    if not np.all(np.abs(matrix) <= 1.0) or not np.allclose(np.diag(matrix), 1.0, rtol=0.0, atol=1e-12):
        raise ImpossibleValue("a correlation beyond ±1, or a diagonal other than 1", remedy=remedy)
    if not np.allclose(matrix, matrix.T, rtol=0.0, atol=1e-12):
        raise ImpossibleValue("a correlation matrix that is not symmetric", remedy=remedy)
    if count and float(np.linalg.eigvalsh(matrix)[0]) < -1e-9:
        raise ImpossibleValue(
            "correlations that cannot hold together: some combination would have a negative variance",
            remedy="take them from the same readings, with more digits",
        )
    return matrix
