"""Figures that describe one waveform: mean, effective value, extremes.

Between two samples a waveform is taken to bend as it does on the less bent side: straight lines would cut half a percent off
the effective value of a sine of 25 samples, and a corner or jump bends nothing beside it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from lidoff.circuit.kind import Array

__all__ = ["Figures", "figures", "mean"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What describes one waveform over its stretch of time.

    Attributes
    ----------
    average, rms : float
        Mean, and root of the mean square.
    highest, lowest : float
        Extremes.
    crest_factor : float
        Largest magnitude over rms; zero for a waveform that is zero throughout.
    """

    average: float
    rms: float
    highest: float
    lowest: float
    crest_factor: float

    @property
    def alternating(self) -> float:
        """Effective value of what alternates round the average."""
        return math.sqrt(max(self.rms**2 - self.average**2, 0.0))


def mean(times: Array, values: Array) -> float:
    """Mean over time of a sampled waveform.

    Parameters
    ----------
    times, values : ndarray of shape (T,)

    Returns
    -------
    float
        Exact for straight lines with corners at the samples, and for a parabola.
    """
    whole = times[-1] - times[0]
    if whole <= 0.0:
        return float(values[-1])
    steps = np.diff(times)
    areas = steps * (values[:-1] + values[1:]) / 2.0 - steps**3 / 12.0 * _bends(times, values)
    return float(areas.sum() / whole)


def figures(times: Array, values: Array) -> Figures:
    """Average, rms, extremes and crest factor of one waveform.

    Parameters
    ----------
    times, values : ndarray of shape (T,)

    Returns
    -------
    Figures
        The extremes are those of the samples.

    Examples
    --------
    >>> t = np.linspace(0.0, 1.0, 26)
    >>> round(figures(t, np.sin(2 * np.pi * t)).rms, 3)
    0.707
    """
    steps, bends = np.diff(times), _bends(times, values)
    first, last = values[:-1], values[1:]
    # The integral of the square of each stretch: a straight line less bend / 2 · s · (step − s).
    squares = (
        (first**2 + first * last + last**2) / 3.0
        - bends * steps**2 * (first + last) / 12.0
        + bends**2 * steps**4 / 120.0
    )
    whole = times[-1] - times[0]
    rms = float(np.sqrt((squares * steps).sum() / whole)) if whole > 0.0 else float(abs(values[-1]))
    largest = float(np.abs(values).max())
    return Figures(
        average=mean(times, values),
        rms=rms,
        highest=float(values.max()),
        lowest=float(values.min()),
        crest_factor=largest / rms if rms > 0.0 else 0.0,
    )


def _bends(times: Array, values: Array) -> Array:
    """Second derivative in each stretch between samples, shape (T − 1,): the smaller of those at its ends, if of one sign."""
    count = len(times) - 1
    if count < 3:
        return np.zeros(count)
    steps = np.diff(times)
    rates = np.divide(np.diff(values), steps, out=np.zeros(count), where=steps > 0.0)
    spans = (steps[:-1] + steps[1:]) / 2.0
    at_samples = np.divide(np.diff(rates), spans, out=np.zeros(count - 1), where=spans > 0.0)
    left, right = at_samples[:-1], at_samples[1:]
    inner = np.where(left * right > 0.0, np.sign(left) * np.minimum(np.abs(left), np.abs(right)), 0.0)
    return np.concatenate([inner[:1], inner, inner[-1:]])
