"""How likely all readings are under each variant: instruments, tolerances with their common causes, the equations' own error.

Displayed numbers are taken together as normal with covariance ``C = J Jᵀ + D`` round the prediction; a beep, or a display over
its range, counts by the probability that the predicted resistance or voltage lies on that side of the threshold.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array
from lidoff.insight.foretold import Told
from lidoff.insight.knowledge import MODEL_AMPERES, MODEL_SHARE, MODEL_VOLTS
from lidoff.insight.variant import Variant
from lidoff.insight.watched import DeadTest, Watched

__all__ = [
    "factors_of",
    "inverted",
    "log_likelihoods",
    "noise_of",
    "normal_logarithms",
    "read_values",
    "shows_number",
    "sign_logarithms",
    "sign_probability",
    "whitened",
]

MODEL_OHMS = 0.2
"""What leads and contacts may leave of a resistance reading after zeroing [Ω]; common practice, no source."""
MODEL_WATTS = 1e-6
THRESHOLD_SPREAD = 0.25
"""Relative standard uncertainty of the threshold of a beeper or of the end of a range; our choice, no source."""
MISHEARD = 0.005
"""Probability that a beep or an over-range sign is reported wrongly; our choice, no source."""
BLIND = 3.0
"""Uncertainty of a reading whose operating point was not found, in units of its own size; our choice."""
TRACE = 1e-10
"""Share of its variance by which every reading is taken to be noisier, so that matrices stay regular."""
FLOORS = {"V": MODEL_VOLTS, "A": MODEL_AMPERES, "Ω": MODEL_OHMS, "W": MODEL_WATTS}


def shows_number(one: Watched) -> bool:
    """Whether the display showed a number, and not a beep or "over range"."""
    beeps = isinstance(one.target, DeadTest) and one.target.range_name == "continuity"
    return bool(np.isfinite(one.value)) and not beeps


def read_values(watched: Sequence[Watched], variants: Sequence[Variant]) -> tuple[Array, Array]:
    """Values (V, R) that were meant, and their instruments' standard uncertainties (V, R)."""
    factors = factors_of(watched, variants)
    values = np.array([reading.value for reading in watched])
    deviations = np.array([reading.deviation for reading in watched])
    spread: Array = np.abs(factors) * deviations
    meant: Array = factors * values
    return meant, spread


def factors_of(watched: Sequence[Watched], variants: Sequence[Variant]) -> Array:
    """What each written value (V, R) must be multiplied by."""
    factors = np.ones((len(variants), len(watched)))
    for row, one in enumerate(variants):
        if one.factors:
            factors[row] = [one.factors.get(reading.name, 1.0) for reading in watched]
    return factors


def noise_of(
    watched: Sequence[Watched], predicted: Array, deviations: Array, settled: NDArray[np.bool_]
) -> Array:
    """Variance (V, R) of each reading without the tolerances."""
    floors = np.array([FLOORS.get(one.target.unit, 0.0) for one in watched])
    sizes = np.array([abs(one.value) if np.isfinite(one.value) else 1.0 for one in watched])
    bends = np.array([one.bend for one in watched])
    known = deviations**2 + (MODEL_SHARE * predicted) ** 2 + floors**2 + bends**2
    blind = (BLIND * np.maximum(sizes, 100.0 * floors)) ** 2
    variance: Array = np.where(settled, known, blind)
    return variance


def log_likelihoods(watched: Sequence[Watched], told: Told, variants: Sequence[Variant]) -> Array:
    """Logarithm of the likelihood of all readings, one a variant.

    Parameters
    ----------
    watched : sequence of Watched
        R readings.
    told : Told
        Predictions with slopes, for V variants; slopes of shape (1, R, P) serve them all.
    variants : sequence of Variant
        V of them.

    Returns
    -------
    ndarray of shape (V,)
    """
    numbers = [k for k, one in enumerate(watched) if shows_number(one)]
    read, deviations = read_values(watched, variants)
    total = np.zeros(len(variants))
    if numbers:
        off = np.where(told.settled, read - told.values, 0.0)[:, numbers]
        noise = noise_of(watched, told.values, deviations, told.settled)[:, numbers]
        slopes = told.slopes[:, numbers]
        covariance = slopes @ np.transpose(slopes, (0, 2, 1))
        covariance = covariance + noise[:, :, None] * np.eye(len(numbers))
        total += normal_logarithms(off, covariance)
        # The density is that of what was written, which a misplaced decimal point stretches.
        factors = np.abs(factors_of([watched[k] for k in numbers], variants))
        total += np.where(told.settled[:, numbers], np.log(factors), 0.0).sum(axis=1)
    for k, one in enumerate(watched):
        if k not in numbers:
            total += sign_logarithms(one, told.values[:, k], told.settled[:, k])
    return total


def normal_logarithms(off: Array, covariance: Array) -> Array:
    """Logarithm of the normal density at `off` (V, R), covariances (V, R, R)."""
    sizes = np.sqrt(np.diagonal(covariance, axis1=1, axis2=2))
    # As correlations, with a trace of noise, even where variances lie twenty powers of ten apart.
    even = covariance / sizes[:, :, None] / sizes[:, None, :] + TRACE * np.eye(off.shape[1])
    factor = np.linalg.cholesky(even)
    white = np.linalg.solve(factor, (off / sizes)[:, :, None])[:, :, 0]
    size = np.log(np.diagonal(factor, axis1=1, axis2=2) * sizes).sum(axis=1)
    result: Array = -0.5 * (white**2).sum(axis=1) - size - 0.5 * off.shape[1] * np.log(2.0 * np.pi)
    return result


def inverted(covariance: Array) -> Array:
    """Inverse of covariances (…, R, R), steady in the same way."""
    sizes = np.sqrt(np.diagonal(covariance, axis1=-2, axis2=-1))
    scale = sizes[..., :, None] * sizes[..., None, :]
    result: Array = np.linalg.inv(covariance / scale + TRACE * np.eye(covariance.shape[-1])) / scale
    return result


def whitened(covariance: Array, off: Array) -> tuple[Array, float]:
    """Rows of `off` (V, R) as numbers of variance one by one covariance (R, R), and half the logarithm of its determinant."""
    sizes = np.sqrt(np.diagonal(covariance))
    factor = np.linalg.cholesky(covariance / sizes[:, None] / sizes + TRACE * np.eye(len(sizes)))
    white: Array = np.linalg.solve(factor, (off / sizes).T).T
    return white, float(np.log(np.diagonal(factor) * sizes).sum())


def sign_probability(one: Watched, predicted: Array) -> Array:
    """Probability that the display shows a sign and no number: a beep for the continuity range, else "over range".

    Parameters
    ----------
    one : Watched
        The reading; a powered one never shows a sign.
    predicted : ndarray of shape (V,)
        Resistance or voltage between the probes.

    Returns
    -------
    ndarray of shape (V,)
        From 0 to 1.
    """
    from scipy.special import ndtr

    if not isinstance(one.target, DeadTest):
        return np.zeros(len(predicted))
    meter = one.target.meter
    beeps = one.target.range_name == "continuity"
    threshold = meter.beeps_below if beeps else meter.highest
    below: Array = ndtr(-np.log(np.maximum(predicted, 1e-9) / threshold) / THRESHOLD_SPREAD)
    sign = below if beeps else 1.0 - below
    return MISHEARD + (1.0 - 2.0 * MISHEARD) * sign


def sign_logarithms(one: Watched, predicted: Array, settled: NDArray[np.bool_]) -> Array:
    """Logarithm of the probability of a beep or of none, or of an over-range sign."""
    if not isinstance(one.target, DeadTest):
        return np.zeros(len(predicted))
    sign = np.where(settled, sign_probability(one, predicted), 0.5)
    seen = one.target.range_name != "continuity" or one.value > 0.5
    result: Array = np.log(sign if seen else 1.0 - sign)
    return result
