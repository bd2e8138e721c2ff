"""What a reading is worth before it is taken: how much it is expected to tell about which explanation holds, in bits.

The mutual information between explanation ``E`` and reading ``Y`` [1]_,
``I(E; Y) = Σ_k w_k E_k[log₂(p_k(Y) / Σ_j w_j p_j(Y))]``, which is Lindley's measure of an experiment [2]_. A reading is normal
under each explanation, or a sign (a beep, "over range") with a probability of its own.

References
----------
.. [1] T. M. Cover, J. A. Thomas, *Elements of Information Theory*, 2nd ed., Wiley, 2006, eq. (2.35).
.. [2] D. V. Lindley, "On a measure of the information provided by an experiment", Annals of Mathematical Statistics 27(4),
   986-1005, 1956.
"""

from __future__ import annotations

import numpy as np

from lidoff.circuit.kind import Array

__all__ = ["expected_bits", "narrowing"]

NODES = 16
"""Points of the Gauss-Hermite rule for the mean under each explanation."""
LEAST = 1e-300


def expected_bits(weights: Array, means: Array, deviations: Array, signs: Array) -> Array:
    """Mutual information between explanation and reading.

    Parameters
    ----------
    weights : ndarray of shape (K,)
        Probability of each explanation; they add up to one.
    means, deviations : ndarray of shape (K, C)
        Of each reading where the display shows a number, in the reading's unit.
    signs : ndarray of shape (K, C)
        Probability that it shows a sign instead.

    Returns
    -------
    ndarray of shape (C,)
        From 0 to the logarithm of K [bit].

    Examples
    --------
    Two explanations alike likely that a reading tells apart are worth one bit:

    >>> half = np.array([0.5, 0.5])
    >>> apart = expected_bits(half, np.array([[0.0], [9.0]]), np.ones((2, 1)), np.zeros((2, 1)))
    >>> round(float(apart[0]), 3)
    1.0
    """
    points, masses = np.polynomial.hermite_e.hermegauss(NODES)
    masses = masses / masses.sum()
    share = 1.0 - signs
    mean_sign = weights @ signs
    by_sign = np.where(
        signs > 0.0, signs * np.log(np.maximum(signs, LEAST) / np.maximum(mean_sign, LEAST)), 0.0
    )
    # Shapes: (explanation that holds, point, reading), against (explanation, ·, ·, reading).
    shown = means[:, None, :] + deviations[:, None, :] * points[None, :, None]
    logs = shown[None] - means[:, None, None, :]
    logs /= deviations[:, None, None, :]
    logs *= logs
    logs *= -0.5
    logs += np.log(np.maximum(share, LEAST) / deviations)[:, None, None, :]
    top = logs.max(axis=0)
    logs -= top
    mixture = top + np.log(np.tensordot(weights, np.exp(logs, out=logs), axes=1))
    own = np.log(np.maximum(share, LEAST) / deviations)[:, None, :] - 0.5 * points[None, :, None] ** 2
    by_number = share * np.einsum("p,kpc->kc", masses, own - mixture)
    bits: Array = np.maximum(weights @ (by_sign + by_number), 0.0) / np.log(2.0)
    return bits


def narrowing(variance: Array, covariance: Array, reading: Array) -> Array:
    """How much a reading narrows a quantity, both normal.

    Parameters
    ----------
    variance : ndarray of shape (Q, 1)
        Of each quantity.
    covariance : ndarray of shape (Q, C)
        Between quantity and reading.
    reading : ndarray of shape (C,)
        Variance of each reading, its instrument included.

    Returns
    -------
    ndarray of shape (Q, C)
        Standard uncertainty afterwards over that before, from 0 to 1.
    """
    told = covariance**2 / np.maximum(variance * reading, LEAST)
    result: Array = np.sqrt(np.clip(1.0 - told, 0.0, 1.0))
    return result
