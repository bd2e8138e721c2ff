"""Smooth stand-ins for corners and steps, with exact slopes, and what keeps Newton's steps from leaping over them.

Every function returns its value and its derivative. Far from the corner they equal the sharp function to machine precision
(the differences die out exponentially), so that a limit or a threshold is met to the digits that are printed.
"""

from __future__ import annotations

import numpy as np

from lidoff.circuit.kind import Array

__all__ = ["band_limited", "clipped", "logistic", "positive_part", "softened", "step", "waking_limited"]


def logistic(u: Array) -> Array:
    """``1/(1 + e^−u)``; its slope is ``s·(1 − s)``."""
    result: Array = 0.5 * (1.0 + np.tanh(0.5 * u))
    return result


def step(x: Array, width: Array) -> tuple[Array, Array]:
    """From 0 to 1 round x = 0; half way there, with slope ``1/(4·width)``."""
    value = logistic(x / width)
    return value, value * (1.0 - value) / width


def softened(x: Array, width: Array) -> tuple[Array, Array]:
    """``max(x, 0)`` with a rounded corner: ``width·ln(1 + e^(x/width))``."""
    u = x / width
    return width * np.logaddexp(0.0, u), logistic(u)


def clipped(x: Array, low: Array, high: Array, width: Array) -> tuple[Array, Array]:
    """``x`` held between `low` and `high`, with corners rounded over `width`."""
    above, above_slope = softened(x - low, width)
    beyond, beyond_slope = softened(x - high, width)
    return low + above - beyond, above_slope - beyond_slope


def positive_part(x: Array, width: Array) -> tuple[Array, Array]:
    """Part of `x` above zero, zero at zero, such that ``part(x) − part(−x) = x`` exactly."""
    root = np.hypot(x, width)
    return 0.5 * (x + root - width), 0.5 * (1.0 + x / root)


def band_limited(new: Array, old: Array, low: Array, high: Array, reach: Array) -> Array:
    """Step of a variable that must not leap over the band in which a law bends.

    Outside the band all is flat or straight, so steps there are free; a step into the band or through it ends at most `reach`
    beyond the edge, or beyond the old place if that lies inside.
    """
    falling = (new < old) & (old > low) & (new < high)
    rising = (new > old) & (old < high) & (new > low)
    limited = np.where(falling, np.maximum(new, np.minimum(old, high) - reach), new)
    return np.where(rising, np.minimum(limited, np.maximum(old, low) + reach), limited)


def waking_limited(new: Array, old: Array, low: Array, high: Array, reach: Array) -> Array:
    """As `band_limited` for falling steps alone: a supply that comes up may wake a part in one step, since most end awake."""
    return np.where(new > old, new, band_limited(new, old, low, high, reach))
