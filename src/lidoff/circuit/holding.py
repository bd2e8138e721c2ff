"""Whether a circuit stays at its operating point, or leaves it by itself as an oscillator does.

An operating point is where all currents balance. Whether the circuit can stand there is another question: where what is stored
feeds its own growth, the least disturbance grows until the circuit swings or falls to another state. With ``C`` the storage and
``G`` the slope of the currents, disturbances go as ``exp(s·t)`` with ``(G + s·C) v = 0``, so ``-G⁻¹·C`` has the eigenvalues
``1/s``; equations without storage have nought there, and only the unknowns that hold something count.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lidoff.circuit.netlist import Situation
from lidoff.circuit.operating import situation_table
from lidoff.circuit.solution import Solution
from lidoff.circuit.solve.assemble import assemble
from lidoff.circuit.solve.stepping import Tolerance, dynamics_of
from lidoff.circuit.waveform import state_of

__all__ = ["Leaving", "leaving"]

SURE = 1e-3
"""Share of the size of a rate by which it must grow, so that rounding makes no lossless resonance grow; our choice."""
FASTEST = 1e-9  # [s] what grows faster lies in stray charges that no part is told to have
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


def leaving(solution: Solution, sample: int, situation: Situation) -> Leaving | None:
    """Tell how a circuit leaves its operating point by itself; None where it stays.

    Parameters
    ----------
    solution : Solution
    sample : int
        Of the solution; it settled.
    situation : Situation
        What is set in it.

    Returns
    -------
    Leaving or None
        The slowest that grows: what is slow swings most.
    """
    circuit = solution.circuit
    system = assemble(circuit, dynamic=True)
    dynamics = dynamics_of(system, situation_table(circuit, (situation,)), 1, Tolerance())
    slope = dynamics.slope_matrix(dynamics.ports(state_of(solution, sample, system)), 0.0)[0]
    storage = dynamics.storage[0]
    held = np.flatnonzero(np.abs(storage).max(axis=0, initial=0.0))
    if not held.size:
        return None
    try:
        spread = -np.linalg.solve(slope, storage[:, held])
    except np.linalg.LinAlgError:  # nets that nothing fixes
        return None
    times, shapes = np.linalg.eig(spread[held])
    sizes = np.abs(times)
    growing = np.flatnonzero((times.real > SURE * sizes) & (sizes > FASTEST) & np.isfinite(sizes))
    if not growing.size:
        return None
    pick = growing[np.argmax(sizes[growing])]
    moved = np.abs(spread @ shapes[:, pick])
    order = (system.variables[index] for index in np.argsort(-moved) if moved[index] > 0.0)
    nets = [name for name in order if name in circuit.nets]
    return Leaving(
        grows_in=float(sizes[pick] ** 2 / times[pick].real),  # s = 1 ÷ time
        nets=tuple(nets[:MOST_NAMED]),
    )
