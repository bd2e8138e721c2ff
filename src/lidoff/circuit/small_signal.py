"""Small signals round an operating point: transfer and impedance over frequency, and corner frequencies."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array
from lidoff.circuit.netlist import Circuit, Situation
from lidoff.circuit.operating import operating_point, situation_table
from lidoff.circuit.solve.assemble import System, assemble
from lidoff.circuit.solve.sensitivity import table_slope
from lidoff.circuit.solve.stepping import Dynamics, Tolerance, dynamics_of
from lidoff.circuit.waveform import rest_state
from lidoff.errors import ImpossibleValue, UnknownName

__all__ = ["FrequencyResponse", "corner_frequencies", "impedance", "transfer"]

Complex = NDArray[np.complex128]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FrequencyResponse:
    """How an output follows a small sine of an input.

    Attributes
    ----------
    frequencies : ndarray of shape (F,)
        [Hz].
    values : ndarray of complex, shape (F,)
        Output over input; for an impedance in Ω.
    """

    frequencies: Array
    values: Complex

    @property
    def magnitude(self) -> Array:
        """Amplitude ratio, shape (F,)."""
        return np.asarray(np.abs(self.values), dtype=np.float64)

    @property
    def phase(self) -> Array:
        """Phase by which the output leads the input, unwrapped, shape (F,) [rad]."""
        return np.asarray(np.unwrap(np.angle(self.values)), dtype=np.float64)


def _around(circuit: Circuit, situation: Situation | None) -> tuple[Dynamics, System, Array, Array]:
    """Equations and their slope at the operating point: (dynamics, system, unknowns (1, N), dF/dx (N, N))."""
    chosen = situation or Situation(name="as it stands")
    operating_point(circuit, situations=(chosen,)).at(0)
    table = situation_table(circuit, (chosen,))
    system = assemble(circuit, dynamic=True)
    state = rest_state(circuit, chosen, system)
    dynamics = dynamics_of(system, table, 1, Tolerance())
    slope = dynamics.slope_matrix(dynamics.ports(state), 0.0)[0]
    return dynamics, system, state, slope


def _frequencies(frequencies: Array) -> Array:
    found = np.atleast_1d(np.asarray(frequencies, dtype=float))
    if not (np.isfinite(found).all() and (found >= 0.0).all()):
        raise ImpossibleValue(
            "a frequency is below zero or not finite", remedy="give frequencies of 0 Hz or more"
        )
    return found


def _solve_over(storage: Array, slope: Array, right: Array, frequencies: Array) -> Complex:
    omega = 2.0 * np.pi * frequencies
    matrices = slope[None] + 1j * omega[:, None, None] * storage[None]
    stacked = np.broadcast_to(right.astype(complex), (len(omega), len(right)))
    return np.asarray(np.linalg.solve(matrices, stacked[:, :, None])[:, :, 0], dtype=np.complex128)


def transfer(
    circuit: Circuit,
    *,
    source: str,
    output: str,
    against: str = "",
    frequencies: Array,
    parameter: str = "",
    situation: Situation | None = None,
) -> FrequencyResponse:
    """Voltage at a net for a small sine on a source.

    Parameters
    ----------
    circuit : Circuit
    source : str
        Reference of the source that is moved.
    output : str
        Net.
    against : str, optional
        Net that the output is told against; its island's reference if empty.
    frequencies : ndarray of shape (F,)
        [Hz].
    parameter : str, optional
        Parameter of the source that is moved; ``voltage`` or ``current``, whichever it has, if empty. For an AC supply its
        steady ``offset`` is moved, which acts like its voltage.
    situation : Situation, optional

    Returns
    -------
    FrequencyResponse
        Output over the change of the parameter; dimensionless, or Ω for a current source.

    Raises
    ------
    UnknownName, ImpossibleValue, NetsUnsettled
        A name or frequency is not possible, or there is no operating point.
    """
    wanted = _frequencies(frequencies)
    dynamics, system, state, slope = _around(circuit, situation)
    chosen = situation or Situation(name="as it stands")
    table = situation_table(circuit, (chosen,))
    moved = parameter or _moved_parameter(circuit, source, set(table))
    drive = table_slope(system, table, state, (source, moved))[0]
    solved = _solve_over(dynamics.storage[0], slope, -drive, wanted)
    values = _column(system, solved, output)
    if against:
        values = values - _column(system, solved, against)
    return FrequencyResponse(frequencies=wanted, values=values)


def _moved_parameter(circuit: Circuit, source: str, known: set[tuple[str, str]]) -> str:
    circuit.part(source)
    for name in ("offset", "voltage", "current"):
        if (source, name) in known:
            return name
    raise UnknownName(f"{source} is no source of voltage or current", remedy="name the parameter to move")


def _column(system: System, solved: Complex, net: str) -> Complex:
    if net not in system.references:
        raise UnknownName(f"there is no net {net!r}", name=net, known=system.circuit.nets)
    index = system.position[net]
    return np.zeros(len(solved), dtype=complex) if index == system.size else solved[:, index]


def impedance(
    circuit: Circuit,
    *,
    net: str,
    against: str = "",
    frequencies: Array,
    situation: Situation | None = None,
) -> FrequencyResponse:
    """Impedance that the circuit shows between two nets, its sources at rest.

    Parameters
    ----------
    circuit : Circuit
    net, against : str
        Between which; the island's reference if `against` is empty.
    frequencies : ndarray of shape (F,)
        [Hz].
    situation : Situation, optional

    Returns
    -------
    FrequencyResponse
        In Ω.
    """
    wanted = _frequencies(frequencies)
    dynamics, system, _, slope = _around(circuit, situation)
    current = np.zeros(system.size)
    for name, sign in ((net, 1.0), (against, -1.0)):
        if not name:
            continue
        if name not in system.references:
            raise UnknownName(f"there is no net {name!r}", name=name, known=circuit.nets)
        if system.position[name] < system.size:
            current[system.position[name]] += sign
    solved = _solve_over(dynamics.storage[0], slope, current, wanted)
    values = _column(system, solved, net)
    if against:
        values = values - _column(system, solved, against)
    return FrequencyResponse(frequencies=wanted, values=values)


def corner_frequencies(circuit: Circuit, *, situation: Situation | None = None) -> Complex:
    """Natural frequencies of the circuit round its operating point.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation, optional

    Returns
    -------
    ndarray of complex
        Generalised eigenvalues s of ``C·s + dF/dx``, slowest first [rad/s]; ``|s|/2π`` is the corner frequency, a real part
        above zero means that the state does not hold.

    Notes
    -----
    Infinite eigenvalues, which belong to equations without storage, are left out.
    """
    from scipy.linalg import eig

    dynamics, _, _, slope = _around(circuit, situation)
    values = eig(-slope, dynamics.storage[0], right=False, homogeneous_eigvals=True)
    alpha, beta = values
    size = np.maximum(np.abs(alpha), np.abs(beta))
    finite = np.abs(beta) > 1e-14 * np.maximum(size, 1e-300)
    found = alpha[finite] / beta[finite]
    found = found[np.abs(found) < 1e15]
    return np.asarray(found[np.argsort(np.abs(found))], dtype=np.complex128)
