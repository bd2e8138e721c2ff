"""Uncertainty of a calculated quantity by drawing inputs from their distributions (JCGM 101)."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities.limits import DIVISORS
from lidoff.quantities.propagation import checked_correlations
from lidoff.quantities.quantity import Quantity

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["Sampled", "monte_carlo"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sampled:
    """One result of drawing: mean and standard deviation of the draws, and the intervals that hold most of them.

    Parameters
    ----------
    quantity : Quantity
        Mean of the draws, their standard deviation as standard uncertainty.
    probability : float
        Share of the draws that each interval holds.
    low, high : float
        Interval with equal shares left out below and above, in the result's unit.
    shortest_low, shortest_high : float
        The shortest interval of that share, in the result's unit.
    samples : int
        How many draws were made.
    """

    quantity: Quantity
    probability: float
    low: float
    high: float
    shortest_low: float
    shortest_high: float
    samples: int


def monte_carlo(
    function: Callable[..., NDArray[np.float64]],
    quantities: Sequence[Quantity],
    rng: np.random.Generator,
    samples: int = 100_000,
    *,
    unit: str,
    shapes: Sequence[str] | None = None,
    correlations: Sequence[Sequence[float]] | None = None,
    probability: float = 0.95,
) -> Sampled:
    """Result of a function of quantities, from draws of all inputs at once.

    Parameters
    ----------
    function : callable
        Takes one array of shape (samples,) per quantity and returns one; called once.
    quantities : sequence of Quantity of length n
        The inputs: normal, or Student's t where their degrees of freedom are finite.
    rng : numpy.random.Generator
        Where the draws come from.
    samples : int, optional
        How many draws, at least 1000.
    unit : str
        Kept unit of the result.
    shapes : sequence of str of length n, optional
        "normal" (the default), or "rectangular", "triangular", "arcsine" between the limits that belong to the
        standard uncertainty.
    correlations : sequence of n sequences of n floats, optional
        Correlation coefficients; then all inputs are drawn as jointly normal and their degrees of freedom are not used.
    probability : float, optional
        Share of the draws that the intervals are to hold.

    Returns
    -------
    Sampled
        Mean, standard deviation and both intervals.

    Raises
    ------
    ImpossibleValue
        Too few samples, draws without a finite result, correlations with a shape that is not normal, or degrees of
        freedom of 2 or fewer, whose draws have no standard deviation.
    UnknownName
        A shape is unknown.

    References
    ----------
    .. [1] JCGM 101:2008, clauses 6.4, 7 and 5.3.4.
    """
    import numpy as np

    if samples < 1000:
        raise ImpossibleValue(f"{samples} draws are too few for an interval", remedy="draw at least 1000")
    if not 0.0 < probability < 1.0:
        raise ImpossibleValue(f"a coverage probability of {probability}", remedy="give one between 0 and 1")
    drawn = _drawn(quantities, rng, samples, shapes, correlations)
    with np.errstate(all="ignore"):
        raw = np.asarray(function(*drawn), dtype=np.float64)
    if raw.shape not in ((samples,), ()):
        raise TypeError(f"the function returned shape {raw.shape} for draws of shape ({samples},)")
    results = np.sort(np.broadcast_to(raw, (samples,)))
    bad = int(np.count_nonzero(~np.isfinite(results)))
    if bad:
        raise ImpossibleValue(
            f"{bad} of {samples} draws have no finite result",
            remedy="the inputs' spread reaches values that the calculation does not allow; narrow it or state limits",
        )
    held = round(probability * samples)  # [1] 7.7.1: q = pM
    first = (samples - held) // 2
    widths = results[held:] - results[: samples - held]
    narrow = int(np.argmin(widths))
    return Sampled(
        quantity=Quantity(float(results.mean()), unit, float(results.std(ddof=1))),
        probability=probability,
        low=float(results[first]),
        high=float(results[first + held - 1]),
        shortest_low=float(results[narrow]),
        shortest_high=float(results[narrow + held]),
        samples=samples,
    )


def _drawn(
    quantities: Sequence[Quantity],
    rng: np.random.Generator,
    samples: int,
    shapes: Sequence[str] | None,
    correlations: Sequence[Sequence[float]] | None,
) -> list[NDArray[np.float64]]:
    """Draws of every input, each of shape (samples,)."""
    import numpy as np

    named = ["normal"] * len(quantities) if shapes is None else list(shapes)
    if len(named) != len(quantities):
        raise ImpossibleValue(
            f"{len(named)} shapes for {len(quantities)} quantities", remedy="give one for each"
        )
    if correlations is None:
        return [
            _one(quantity, shape, rng, samples) for quantity, shape in zip(quantities, named, strict=True)
        ]
    if set(named) - {"normal"}:
        raise ImpossibleValue(
            "correlated inputs of a shape that is not normal", remedy='leave the shapes out, or give "normal"'
        )
    matrix = checked_correlations(correlations, len(quantities))
    size, turn = np.linalg.eigh(matrix)  # holds for a singular matrix too, where Cholesky does not
    spread = turn * np.sqrt(np.clip(size, 0.0, None))
    normal = spread @ rng.standard_normal((len(quantities), samples))
    return [
        quantity.value + quantity.uncertainty * row for quantity, row in zip(quantities, normal, strict=True)
    ]


def _one(quantity: Quantity, shape: str, rng: np.random.Generator, samples: int) -> NDArray[np.float64]:
    """Draws of one independent input."""
    middle, spread = quantity.value, quantity.uncertainty
    if shape == "normal":
        if math.isinf(quantity.dof):
            return middle + spread * rng.standard_normal(samples)
        if quantity.dof <= 2.0:
            raise ImpossibleValue(
                f"an input with {quantity.dof:g} degrees of freedom has draws without a standard deviation",
                remedy="read it at least four times, or state limits",
            )
        return middle + spread * rng.standard_t(quantity.dof, samples)  # [1] 6.4.9
    if shape not in DIVISORS:
        raise UnknownName(f"no distribution {shape!r}", name=shape, known=("normal", *DIVISORS))
    half_width = spread * DIVISORS[shape]
    if shape == "rectangular":
        return rng.uniform(middle - half_width, middle + half_width, samples)
    if shape == "triangular":
        # The sum of two equal rectangular ones; numpy's own refuses limits that coincide.
        return middle + half_width * (rng.random(samples) - rng.random(samples))
    import numpy as np

    return middle + half_width * np.sin(2.0 * math.pi * rng.random(samples))  # [1] 6.4.6.4
