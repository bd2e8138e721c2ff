"""Whether a circuit stays at its operating point, or leaves it by itself as an oscillator does.

An operating point is where all currents balance. Whether the circuit can stand there is another question: where what is stored
feeds its own growth, the least disturbance grows until the circuit swings or falls to another state. With ``C`` the storage and
``G`` the slope of the currents, disturbances go as ``exp(s·t)`` with ``(G + s·C) v = 0``, a generalised eigenvalue problem, in
which equations without storage give infinite rates that do not count.

References
----------
.. [1] C. B. Moler, G. W. Stewart, "An algorithm for generalized matrix eigenvalue problems", SIAM Journal on Numerical Analysis
   10 (1973) 241–256 (from memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np

from lidoff.circuit.kind import Array
from lidoff.circuit.netlist import Circuit, Situation
from lidoff.circuit.operating import situation_table
from lidoff.circuit.solution import Solution
from lidoff.circuit.solve.assemble import System, assemble
from lidoff.circuit.solve.stepping import Tolerance, dynamics_of
from lidoff.circuit.waveform import state_of

__all__ = ["Leaving", "leaving"]

SURE = 1e-3
"""Share of the size of a rate by which it must grow, so that rounding makes no lossless resonance grow; our choice."""
FASTEST = 1e-9  # [s] what grows faster lies in stray charges that no part is told to have
ROUNDING = 1e-13  # of the largest, below which a part of a rate is taken for nought
MOST_NAMED = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """How a circuit leaves its operating point.

    Attributes
    ----------
    grows_in : float
        Time in which a disturbance grows by a factor of e [s].
    nets : tuple of str
        Those that move most, the first of them most.
    """

    grows_in: float
    nets: tuple[str, ...]


def leaving(solution: Solution, situations: Mapping[int, Situation]) -> Mapping[int, Leaving]:
    """Tell how a circuit leaves its operating points by itself.

    Parameters
    ----------
    solution : Solution
    situations : mapping of int to Situation
        What is set in samples of the solution that settled. Set up together, they cost little more than one.

    Returns
    -------
    mapping of int to Leaving
        Of the samples that are left, the slowest that grows: what is slow swings most.
    """
    if not situations:
        return {}
    circuit = solution.circuit
    system = assemble(circuit, dynamic=True)
    dynamics = dynamics_of(
        system, situation_table(circuit, tuple(situations.values())), len(situations), Tolerance()
    )
    states = np.concatenate([state_of(solution, sample, system) for sample in situations])
    slopes = dynamics.slope_matrix(dynamics.ports(states), 0.0)
    storages = np.broadcast_to(dynamics.storage, slopes.shape)
    ways = zip(situations, map(partial(_growing, circuit, system), slopes, storages), strict=True)
    return {sample: way for sample, way in ways if way is not None}


def _growing(circuit: Circuit, system: System, slope: Array, storage: Array) -> Leaving | None:
    from scipy.linalg import eig

    if not storage.any():
        return None
    # Leakage of a picosiemens stands beside conductances of siemens: inverting them would drown fast growth in the rounding of
    # what takes weeks. The pencil itself is solved, each row by its largest slope.
    largest = np.abs(slope).max(axis=1)
    scale = 1.0 / np.where(largest > 0.0, largest, 1.0)[:, None]
    (above, below), shapes = eig(slope * scale, -storage * scale, homogeneous_eigvals=True)
    plain = np.abs(below) * FASTEST > np.finfo(float).eps * np.abs(above)
    # Where nothing fixes some nets, both parts of a rate are rounding.
    plain &= (np.abs(above) > ROUNDING) | (np.abs(below) > ROUNDING * np.abs(below).max())
    rates = np.where(plain, above, 0.0) / np.where(plain, below, 1.0)
    sizes = np.abs(rates)
    growing = np.flatnonzero((rates.real > SURE * sizes) & (sizes * FASTEST < 1.0))
    if not growing.size:
        return None
    pick = growing[np.argmin(sizes[growing])]
    moved = np.abs(shapes[:, pick])
    order = (system.variables[index] for index in np.argsort(-moved) if moved[index] > 0.0)
    nets = [name for name in order if name in circuit.nets]
    return Leaving(grows_in=float(1.0 / rates[pick].real), nets=tuple(nets[:MOST_NAMED]))
