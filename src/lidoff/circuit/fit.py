"""Unknown values from readings: the most likely parameters, how sure they are, and what the readings leave open.

Every free parameter has a prior from its spread; readings have their uncertainty. The best point minimises the sum of all
squared deviations in units of their uncertainty (maximum a posteriori with normal distributions); its covariance is the inverse
of the curvature there, as in generalised least squares [1]_.

References
----------
.. [1] A. Tarantola, *Inverse Problem Theory and Methods for Model Parameter Estimation*, SIAM, 2005, section 3.2.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from lidoff.circuit.kind import Array, kind_of
from lidoff.circuit.netlist import Circuit, Situation
from lidoff.circuit.operating import situation_table, solve_table
from lidoff.circuit.solution import Solution
from lidoff.circuit.solve.assemble import IndexedTable, System, assemble
from lidoff.errors import ImpossibleValue, NetsUnsettled, UnknownName

__all__ = ["Fit", "Free", "Observation", "fit"]

MOVE = 1e-4  # of a prior's deviation, for slopes
OPEN_BELOW = (
    0.1  # a combination whose deviation shrinks by less than a tenth is not determined by the readings
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One reading as the fit sees it.

    Attributes
    ----------
    name : str
    situation : str
        Name of the situation it was taken in.
    quantity : callable (Solution) → ndarray of shape (B,)
        What it reads.
    value, uncertainty : float
        In SI units; standard uncertainty, above zero.
    """

    name: str
    situation: str
    quantity: Callable[[Solution], Array]
    value: float
    uncertainty: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Free:
    """A parameter that the fit may move.

    Attributes
    ----------
    reference, parameter : str
    expected : float
        Centre of the prior, in SI units.
    deviation : float
        Standard deviation of the prior; make it wide where little is known.
    logarithmic : bool
        Whether the prior is normal in the logarithm, with `deviation` as a fraction of the value: right for values
        known to a factor.
    """

    reference: str
    parameter: str
    expected: float
    deviation: float
    logarithmic: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """What the readings say of the free parameters.

    Attributes
    ----------
    free : tuple of Free
    values : ndarray of shape (P,)
        Most likely values, in SI units.
    covariance : ndarray of shape (P, P)
        Of the values.
    residuals : ndarray of shape (R,)
        Reading minus prediction at the best point, in units of the reading's uncertainty.
    pulls : ndarray of shape (P,)
        How far each value was pulled from its prior, in the prior's deviations.
    chi_square : float
        Sum of squared residuals and pulls.
    undetermined : tuple of tuple of (str, float)
        Combinations of parameters, as ``reference.parameter`` with weights in units of the priors' deviations, about which the
        readings say next to nothing.
    rounds : int
        Steps taken.
    """

    free: tuple[Free, ...]
    values: Array
    covariance: Array
    residuals: Array
    pulls: Array
    chi_square: float
    undetermined: tuple[tuple[tuple[str, float], ...], ...]
    rounds: int


@dataclass(frozen=True, slots=True, eq=False)
class _Problem:
    circuit: Circuit
    system: System
    table: IndexedTable
    situations: tuple[Situation, ...]
    observations: tuple[Observation, ...]
    free: tuple[Free, ...]

    def natural(self, z: Array) -> Array:
        """Values (…, P) of coordinates in units of the priors' deviations."""
        columns = [
            free.expected * np.exp(free.deviation * z[..., k])
            if free.logarithmic
            else free.expected + free.deviation * z[..., k]
            for k, free in enumerate(self.free)
        ]
        return np.stack(columns, axis=-1)

    def residuals(self, z: Array) -> Array:
        """Residuals (B, R) of coordinates (B, P), in units of the readings' uncertainties; infinite if not settled."""
        batch, count = len(z), len(self.situations)
        values = self.natural(z)
        wide = {
            key: column if len(column) == 1 else np.tile(column, batch) for key, column in self.table.items()
        }
        for k, free in enumerate(self.free):
            wide[free.reference, free.parameter] = np.repeat(values[:, k], count)
        labels = [situation.name for situation in self.situations] * batch
        solution = solve_table(self.circuit, IndexedTable(wide), labels, self.system)
        settled = solution.settled.reshape(batch, count)
        names = [situation.name for situation in self.situations]
        found = np.empty((batch, len(self.observations)))
        for r, observation in enumerate(self.observations):
            column = observation.quantity(solution).reshape(batch, count)
            s = names.index(observation.situation)
            off = (observation.value - column[:, s]) / observation.uncertainty
            found[:, r] = np.where(settled[:, s], off, np.inf)
        return found


def fit(
    circuit: Circuit,
    observations: Sequence[Observation],
    free: Sequence[Free],
    *,
    situations: Sequence[Situation],
    most_rounds: int = 60,
) -> Fit:
    """Find the most likely values of free parameters.

    Parameters
    ----------
    circuit : Circuit
    observations : sequence of Observation
        Readings over any of the situations.
    free : sequence of Free
        Parameters with their priors.
    situations : sequence of Situation
    most_rounds : int
        When to give up.

    Returns
    -------
    Fit

    Raises
    ------
    UnknownName
        A situation, part or parameter does not exist.
    ImpossibleValue
        An uncertainty or deviation is not above zero.
    NetsUnsettled
        No operating point at the expected values.
    """
    problem = _problem(circuit, observations, free, situations)
    z = np.zeros(len(problem.free))
    residual = problem.residuals(z[None])[0]
    if not np.isfinite(residual).all():
        raise NetsUnsettled(
            "no operating point at the expected values", remedy="solve the circuit by itself first"
        )
    damping, rounds = 1e-3, 0
    cost = residual @ residual + z @ z
    while rounds < most_rounds:
        rounds += 1
        slope = _slopes(problem, z)
        gradient = slope.T @ residual + z
        curvature = slope.T @ slope + np.eye(len(z))
        trials = damping * 10.0 ** np.arange(-2.0, 5.0)
        moves = np.stack(
            [np.linalg.solve(curvature + t * np.diag(np.diag(curvature)), -gradient) for t in trials]
        )
        residuals = problem.residuals(z + moves)
        costs = (residuals**2).sum(axis=1) + ((z + moves) ** 2).sum(axis=1)
        best = int(np.argmin(np.where(np.isfinite(costs), costs, np.inf)))
        if not costs[best] < cost:
            break
        gain = cost - costs[best]
        z, residual, cost = z + moves[best], residuals[best], costs[best]
        damping = float(np.clip(trials[best], 1e-9, 1e6))
        if gain < 1e-10 * (1.0 + cost):
            break
    return _told(problem, z, residual, float(cost), rounds)


def _slopes(problem: _Problem, z: Array) -> Array:
    """Slope of the residuals to the coordinates, by central differences, all as one batch, shape (R, P)."""
    move = MOVE * np.eye(len(z))
    both = problem.residuals(np.concatenate([z + move, z - move]))
    half = len(z)
    slope = (both[:half] - both[half:]) / (2.0 * MOVE)
    return np.where(np.isfinite(slope), slope, 0.0).T


def _told(problem: _Problem, z: Array, residual: Array, cost: float, rounds: int) -> Fit:
    slope = _slopes(problem, z)
    covariance = np.linalg.inv(slope.T @ slope + np.eye(len(z)))
    values = problem.natural(z)
    scale = np.array(
        [
            free.deviation * (value if free.logarithmic else 1.0)
            for free, value in zip(problem.free, values, strict=True)
        ]
    )
    return Fit(
        free=problem.free,
        values=values,
        covariance=scale[:, None] * covariance * scale[None, :],
        residuals=residual,
        pulls=z,
        chi_square=cost,
        undetermined=_open_combinations(problem.free, slope),
        rounds=rounds,
    )


def _open_combinations(free: Sequence[Free], slope: Array) -> tuple[tuple[tuple[str, float], ...], ...]:
    """Directions in which the readings hardly sharpen the priors, from the singular values of the slopes."""
    _, singular, directions = np.linalg.svd(slope, full_matrices=True)
    padded = np.zeros(len(free))
    padded[: len(singular)] = singular
    shrunk = 1.0 - 1.0 / np.sqrt(1.0 + padded**2)  # share by which the deviation along a direction shrinks
    found = []
    for direction, share in zip(directions, shrunk, strict=True):
        if share < OPEN_BELOW:
            order = np.argsort(-np.abs(direction))
            found.append(
                tuple(
                    (f"{free[k].reference}.{free[k].parameter}", float(direction[k]))
                    for k in order
                    if abs(direction[k]) > 0.05
                )
            )
    return tuple(found)


def _problem(
    circuit: Circuit,
    observations: Sequence[Observation],
    free: Sequence[Free],
    situations: Sequence[Situation],
) -> _Problem:
    names = [situation.name for situation in situations]
    for observation in observations:
        if observation.situation not in names:
            raise UnknownName(
                f"reading {observation.name!r} is of an unknown situation",
                name=observation.situation,
                known=names,
            )
        if not observation.uncertainty > 0.0:
            raise ImpossibleValue(
                f"reading {observation.name!r} has no uncertainty", remedy="name its instrument or its ±"
            )
    for one in free:
        known = kind_of(circuit.part(one.reference)).parameters_of(circuit.part(one.reference))
        if one.parameter not in known:
            raise UnknownName(
                f"{one.reference} has no parameter {one.parameter!r}", name=one.parameter, known=known
            )
        if not one.deviation > 0.0:
            raise ImpossibleValue(
                f"{one.reference}.{one.parameter} is free but its prior has no width",
                remedy="give its spread",
            )
    return _Problem(
        circuit,
        assemble(circuit),
        situation_table(circuit, situations),
        tuple(situations),
        tuple(observations),
        tuple(free),
    )
