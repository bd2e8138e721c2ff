"""How the state at the end of a stretch of time depends on the state at its start."""

from __future__ import annotations

import numpy as np

from lidoff.circuit.kind import Array
from lidoff.circuit.solve.march import Track, march
from lidoff.circuit.solve.newton import responses
from lidoff.circuit.solve.stepping import GAMMA, MIDDLE, PAST, Dynamics

__all__ = ["stretch_and_sensitivity"]


def stretch_and_sensitivity(
    dynamics: Dynamics,
    start: Array,
    length: float,
    corners: Array | tuple[float, ...],
    *,
    longest_step: float,
    scale: Array,
) -> tuple[Track, Array]:
    """Integrate one stretch, and carry the derivative of the state along.

    Parameters
    ----------
    dynamics : Dynamics
        Of one sample.
    start : ndarray of shape (1, N)
    length : float
        [s].
    corners : sequence of float
        Corners of sources.
    longest_step : float
        [s].
    scale : ndarray of shape (N,)
        Largest values expected.

    Returns
    -------
    track : Track
        The stretch.
    sensitivity : ndarray of shape (N, N)
        d end / d start; only the stored part of the start has an effect.
    """
    track = march(dynamics, start, (0.0, length), corners, longest_step=longest_step, scale=scale)
    storage = dynamics.storage[0]
    matrices = _slope_matrices(dynamics, track.unknowns[:, 0], track.times)
    halfway = _slope_matrices(dynamics, track.middles[:, 0], track.middle_times)
    carried = np.eye(dynamics.system.size)
    for k in range(len(track.times)):
        step = track.steps[k]
        if track.settling[k]:
            carried = np.linalg.solve(storage + step * matrices[k], storage @ carried)
            continue
        weight = GAMMA * step / 2.0
        kept = storage @ carried
        middle = np.linalg.solve(storage + weight * halfway[k], kept - weight * (matrices[k - 1] @ carried))
        carried = np.linalg.solve(storage + weight * matrices[k], MIDDLE * (storage @ middle) - PAST * kept)
    return track, carried


def _slope_matrices(dynamics: Dynamics, states: Array, times: Array) -> Array:
    """dF/dx at every instant, shape (T, N, N), evaluated for all instants at once."""
    size = dynamics.system.size
    count = len(states)
    found = np.repeat(dynamics.conductance[:1], count, axis=0)
    if dynamics.curved:
        for _, parameters in dynamics.curved:
            parameters["time"] = times[:, None]
        _, slopes = responses(dynamics.curved, dynamics.ports(states))
        cells = dynamics.system.curved_matrices.cells
        found.reshape(count, size * size)[:, cells] += slopes @ dynamics.system.curved_matrices.entries
    return found
