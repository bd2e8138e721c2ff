"""Draws of a claim's sum from the distributions of its inputs, and whether propagation to first order would do (JCGM 101)."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import ImpossibleValue
from lidoff.evidence.claim_inputs import Input
from lidoff.evidence.reading import Measured
from lidoff.quantities import Quantity, coverage_factor

__all__ = ["Drawn", "drawn_sum", "first_order_holds"]

Array = NDArray[np.float64]
DRAWS = 100_000
PILOT = 10_000
"""Draws of a first look; where they leave no doubt that the first order holds, no more are made."""
SEED = 101  # one stream of draws for every claim, so that the same dossier always gives the same verdict
INTERVAL = 0.95
ROOT_3 = math.sqrt(3.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawn:
    """Draws of one sum.

    Attributes
    ----------
    quantity : Quantity
        Mean and standard uncertainty of the draws.
    low, high : float
        Interval that holds 95 % of them, as many left out below as above, in the quantity's unit.
    values : ndarray of float64, shape (N,)
        The draws.
    """

    quantity: Quantity
    low: float
    high: float
    values: Array

    def within(self, low: float | None, high: float | None) -> float:
        """Share of the draws that lie within limits, either of which may be missing."""
        inside = np.ones(self.values.shape, dtype=bool)
        if low is not None:
            inside &= self.values >= low
        if high is not None:
            inside &= self.values <= high
        return float(np.mean(inside))


def drawn_sum(
    combine: Callable[..., Any],
    inputs: Sequence[Input],
    *,
    unit: str,
    count: int = DRAWS,
    dof: float = math.inf,
) -> Drawn:
    """Result of a sum, from draws of each cause of its inputs' uncertainty.

    Parameters
    ----------
    combine : callable
        One array an input to an array.
    inputs : sequence of Input
        Of the sum. A reading is drawn cause by cause: scatter as Student's t, accuracy and resolution as rectangular, what
        was stated as normal; readings on one range of one instrument share the draws of its accuracy, and readings taken
        together those of their moments. A trial is drawn from the beta distribution, anything else as normal or, with
        finite degrees of freedom, as Student's t.
    unit : str
        Kept unit of the result.
    count : int, optional
        How many draws.
    dof : float, optional
        Effective degrees of freedom of the result to first order. Where they are finite, the interval over their coverage
        factor is the standard uncertainty, since a few repeats have a standard deviation that says little, or none.

    Returns
    -------
    Drawn
        From so many draws; the same inputs give the same draws.

    Raises
    ------
    ImpossibleValue
        Some draws have no finite result.

    References
    ----------
    .. [1] JCGM 101:2008, 6.4 (distributions), 7 (propagation of them).
    """
    rng = np.random.default_rng(SEED)
    draws = _Draws(rng=rng, count=count)
    drawn = [draws.of(one) for one in inputs]
    with np.errstate(all="ignore"):
        values = np.broadcast_to(np.asarray(combine(*drawn), dtype=np.float64), (count,))
    lost = int(np.count_nonzero(~np.isfinite(values)))
    if lost:
        raise ImpossibleValue(
            f"{lost} of {count} draws have no finite result, since an input may be zero",
            remedy="read it more closely",
        )
    low, high = np.quantile(values, [0.5 * (1.0 - INTERVAL), 0.5 * (1.0 + INTERVAL)])
    spread = float(values.std(ddof=1))
    value = float(values.mean())
    if math.isfinite(dof):
        spread = 0.5 * float(high - low) / coverage_factor(INTERVAL, dof)
    if any(one.measured is not None and 1 < len(one.measured.repeats) <= 3 for one in inputs):
        value = float(
            np.median(values)
        )  # the mean of such draws wanders, and of two repeats it does not exist
    return Drawn(
        quantity=Quantity(value, unit, spread, dof),
        low=float(low),
        high=float(high),
        values=values,
    )


def first_order_holds(propagated: Quantity, drawn: Drawn, *, beyond_doubt: bool = False) -> bool:
    """Whether propagation to first order gives the same interval as the draws.

    Parameters
    ----------
    propagated : Quantity
        To first order.
    drawn : Drawn
        The draws.
    beyond_doubt : bool, optional
        Whether the ends must agree by more than what the few draws scatter.

    Returns
    -------
    bool
        Whether both ends of the 95 % interval differ by no more than half a unit in the first significant digit of the
        standard uncertainty.

    References
    ----------
    .. [1] JCGM 101:2008, 8.1 and 8.2, with the numerical tolerance of 7.9.2 for one significant digit.
    """
    spread = propagated.uncertainty
    if spread == 0.0:
        return drawn.quantity.uncertainty == 0.0
    tolerance = 0.5 * 10.0 ** math.floor(math.log10(spread))
    half = coverage_factor(INTERVAL, propagated.dof) * spread
    ends = (propagated.value - half - drawn.low, propagated.value + half - drawn.high)
    # Four standard errors of a 2.5 % quantile, whose density is that of a bell: √(0.025 · 0.975/N)/0.0584 each.
    scatter = 4.0 * spread * math.sqrt(0.025 * 0.975 / len(drawn.values)) / 0.0584 if beyond_doubt else 0.0
    return max(abs(end) for end in ends) <= tolerance - scatter


@dataclass(slots=True, kw_only=True)
class _Draws:
    """Draws of the causes that inputs share: each is drawn once."""

    rng: np.random.Generator
    count: int
    errors: dict[str, Array] = field(default_factory=dict)
    accuracies: dict[str, Array] = field(default_factory=dict)
    moments: dict[tuple[str, int], Array] = field(default_factory=dict)

    def of(self, one: Input) -> Array:
        """Draws of one input, of shape (count,)."""
        if one.tries is not None:
            worked, tries = one.tries
            return self.rng.beta(worked + 1.0, tries - worked + 1.0, self.count)
        if one.measured is None:
            return one.quantity.value + one.quantity.uncertainty * self._bell(one.quantity.dof)
        return one.quantity.value + one.factor * self._error_of(one.measured)

    def _error_of(self, reading: Measured) -> Array:
        """Draws of a reading's error; the same for every input that comes from it."""
        if reading.name in self.errors:
            return self.errors[reading.name]
        error = np.zeros(self.count)
        if reading.scatter:
            error += reading.scatter * self._scatter_of(reading)
        if reading.accuracy:
            key = reading.accuracy_of or f"{reading.name} alone"
            if key not in self.accuracies:
                self.accuracies[key] = self._flat()
            error += reading.accuracy * self.accuracies[key]
        for limits in (reading.resolution, reading.load):
            if limits:
                error += limits * self._flat()
        for normal in (reading.stated, reading.sampling):
            if normal:
                error += normal * self.rng.standard_normal(self.count)
        self.errors[reading.name] = error
        return error

    def _scatter_of(self, reading: Measured) -> Array:
        """Draws of a mean's scatter, of width one: Student's t, from one bell for each moment at which it was read.

        Readings that were taken at the same moments share these bells, and so scatter together just as their repeats do.
        """
        repeats = np.array(reading.repeats)
        moments = len(repeats)
        key = (reading.reading.read_with or reading.name, moments)
        if key not in self.moments:
            bells = self.rng.standard_normal((moments, self.count))
            # One divisor for all makes a multivariate t of them.
            divisor = np.sqrt(self.rng.chisquare(moments - 1.0, self.count) / (moments - 1.0))
            self.moments[key] = bells / divisor
        away = repeats - repeats.mean()
        size = float(np.linalg.norm(away))
        return np.asarray(away / size @ self.moments[key], dtype=np.float64)

    def _flat(self) -> Array:
        """Rectangular draws of width one."""
        return self.rng.uniform(-ROOT_3, ROOT_3, self.count)

    def _bell(self, dof: float) -> Array:
        """Draws of a bell of width one: normal, or Student's t."""
        if math.isinf(dof):
            return self.rng.standard_normal(self.count)
        return self.rng.standard_t(dof, self.count)
