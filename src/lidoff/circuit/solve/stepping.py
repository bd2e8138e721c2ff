"""One variable step after another through time: the trapezoidal rule, then a second-order backward difference.

The two stages of TR-BDF2 [1]_ share one matrix, the method damps what is stiff, needs no history (so that it can restart at
every corner of a source) and tells its own error [2]_. Charge and flux are linear in the unknowns, ``Q = C·x``; the equations
are ``d(C·x)/dt + F(x, t) = 0``.

References
----------
.. [1] R. E. Bank et al., "Transient simulation of silicon devices and circuits", IEEE Trans. Computer-Aided Design 4(4),
   436-451, 1985.
.. [2] M. E. Hosea, L. F. Shampine, "Analysis and implementation of TR-BDF2", Applied Numerical Mathematics 20, 21-37, 1996.
.. [3] E. Hairer, G. Wanner, "Solving Ordinary Differential Equations II", 2nd ed., 1996, sec. VII.6; from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array, Parameters
from lidoff.circuit.solve.assemble import Group, System, Table, dense_of
from lidoff.circuit.solve.linear import solve_stack
from lidoff.circuit.solve.newton import LEAST_CONDUCTANCE, limited_ports, responses

__all__ = ["Dynamics", "Step", "Stiffness", "Tolerance", "dynamics_of"]

GAMMA = 2.0 - np.sqrt(2.0)
PAST = (1.0 - GAMMA) ** 2 / (GAMMA * (2.0 - GAMMA))  # weight of the step's start in its last stage
MIDDLE = 1.0 / (GAMMA * (2.0 - GAMMA))  # weight of the middle stage
ERROR = (-3.0 * GAMMA**2 + 4.0 * GAMMA - 2.0) / (12.0 * (2.0 - GAMMA))  # [2] eq. for the leading error term
MOST_ITERATIONS = 12
MOST_AT_A_CORNER = (
    200  # a junction that a start drives by volts comes down by a few slope voltages an iteration
)
# [F] from every node to its reference where junctions or transistors are about: a pin and a little track, common practice, no
# source. It lets a circuit that tips over by itself pass from one state to the other.
STRAY_CAPACITANCE = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """How exact a waveform is to be.

    Attributes
    ----------
    relative : float
        Error a step, as a fraction of the largest value that the unknown has had.
    voltage, current : float
        Error a step that is always allowed [V], [A].
    """

    relative: float = 1e-4
    voltage: float = 1e-6
    current: float = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Step:
    """One accepted step.

    Attributes
    ----------
    unknowns, slope : ndarray of shape (B, N)
        At the end of the step, and their rate of change.
    error : float
        Largest error in units of the tolerance.
    middle : ndarray of shape (B, N)
        Unknowns at the middle stage.
    """

    unknowns: Array
    slope: Array
    error: float
    middle: Array


class StepFailed(Exception):
    """Newton's method did not settle within a step; the caller tries a shorter one."""


@dataclass(slots=True, eq=False)
class Stiffness:
    """Matrices kept between steps of one length."""

    weight: float = -1.0
    base: Array = field(default_factory=lambda: np.zeros(0))
    scale: Array = field(default_factory=lambda: np.zeros(0))


@dataclass(slots=True, eq=False)
class Dynamics:
    """The equations of one circuit in time, for a batch of samples.

    Attributes
    ----------
    system : System
        Assembled with ``dynamic=True``.
    storage : ndarray of shape (B, N, N) or (1, N, N)
        C.
    conductance : ndarray of shape (B, N, N) or (1, N, N)
        Constant part of dF/dx.
    constant : ndarray of shape (B, N)
        Constant part of −F.
    timed, curved : list of (Group, parameters)
        Linear groups that depend on time, and the curved groups.
    stored : ndarray of bool, shape (N,)
        Unknowns whose rate of change counts.
    watched : ndarray of bool, shape (N,)
        Those and what the curved groups look at; the others follow from these by a linear solve, and need not settle.
    """

    system: System
    samples: int
    storage: Array
    conductance: Array
    constant: Array
    timed: Sequence[tuple[Group, dict[str, Array]]]
    curved: Sequence[tuple[Group, dict[str, Array]]]
    stored: NDArray[np.bool_]
    watched: NDArray[np.bool_]
    tolerance: Tolerance
    kept: Stiffness = field(default_factory=Stiffness)

    # -- pieces of the equations ------------------------------------------------------------------------------

    def drive(self, time: float) -> Array:
        """Right-hand side of the linear part, −F at x = 0, shape (B, N)."""
        right = self.constant
        for group, parameters in self.timed:
            parameters["time"] = np.array([[time]])
            rest = tuple(np.zeros((1, len(group.placed))) for _ in group.law.ports)
            given = group.law.respond(rest, parameters).values
            depth = max(one.shape[0] for one in given)  # samples may differ in some of the responses alone
            values = np.concatenate([np.broadcast_to(one, (depth, one.shape[1])) for one in given], axis=1)
            right = right - values @ self._outputs[group.law.name]
        return right

    _outputs: dict[str, Array] = field(default_factory=dict)
    _weights: Array = field(default_factory=lambda: np.zeros(0))

    def curved_part(self, ports: Array, time: float) -> tuple[Array, Array]:
        """Responses and slopes of the curved groups at their ports."""
        for group, parameters in self.curved:
            if group.law.timed or "time" not in parameters:
                parameters["time"] = np.array([[time]])
        return responses(self.curved, ports)

    def ports(self, x: Array) -> Array:
        """Ports of the curved groups, shape (B, P)."""
        found: Array = x @ self.system.curved_matrices.ports[:-1]
        return found

    def flow(self, x: Array, ports: Array, time: float) -> Array:
        """F(x, t), shape (B, N): the sum of currents out of each net, and each constraint."""
        linear = np.einsum("bij,bj->bi", self.conductance, x) if self._batched else x @ self.conductance[0].T
        result: Array = linear - self.drive(time)
        if self.curved:
            values, _ = self.curved_part(ports, time)
            result = result + values @ self.system.curved_matrices.outputs
        return result

    @property
    def _batched(self) -> bool:
        return bool(self.conductance.shape[0] > 1 or self.storage.shape[0] > 1)

    def charge(self, x: Array) -> Array:
        """C·x, shape (B, N)."""
        if self.storage.shape[0] > 1:
            return np.asarray(np.einsum("bij,bj->bi", self.storage, x), dtype=np.float64)
        product: Array = x @ self.storage[0].T
        return product

    def slope_matrix(self, ports: Array, time: float) -> Array:
        """dF/dx, shape (B, N, N)."""
        size = self.system.size
        full = np.broadcast_to(self.conductance, (self.samples, size, size)).copy()
        if self.curved:
            _, slopes = self.curved_part(ports, time)
            full.reshape(self.samples, -1)[:, self.system.curved_matrices.cells] += (
                slopes @ self.system.curved_matrices.entries
            )
        return full

    # -- one implicit stage -----------------------------------------------------------------------------------

    def solve_stage(
        self,
        weight: float,
        known: Array,
        time: float,
        guess: Array,
        guess_ports: Array,
        most: int = MOST_ITERATIONS,
    ) -> tuple[Array, Array, Array]:
        """Solve ``C·x + weight·F(x, time) = known``.

        Returns
        -------
        unknowns, ports, jacobian
            The solution, the ports it was settled at, and the last matrix ``C + weight·dF/dx``, its rows scaled as in `kept`.

        Raises
        ------
        StepFailed
            It did not settle.
        """
        size = self.system.size
        matrices = self.system.curved_matrices
        if self.kept.weight != weight:
            self._keep(weight)
        base, scale = self.kept.base, self.kept.scale
        right_linear = (known + weight * self.drive(time)) * scale
        jacobian = base.copy() if base.shape[0] == self.samples else np.repeat(base, self.samples, axis=0)
        cells = matrices.cells
        if not self.curved:
            return solve_stack(jacobian.reshape(-1, size, size), right_linear), guess_ports, jacobian
        x = guess
        ports = limited_ports(self.curved, self.ports(guess), guess_ports)
        base_cells = base[:, cells]
        pace = weight * scale
        cell_pace = pace[:, cells // size]
        for _ in range(most):
            values, slopes = self.curved_part(ports, time)
            jacobian[:, cells] = base_cells + cell_pace * (slopes @ matrices.entries)
            tangent = (slopes * ports[:, matrices.pair_port]) @ matrices.pair_rows - values @ matrices.outputs
            right = right_linear + pace * tangent
            new = solve_stack(jacobian.reshape(-1, size, size), right)
            if not np.isfinite(new).all():
                raise StepFailed
            wished = self.ports(new)
            ports_new = limited_ports(self.curved, wished, ports)
            moved = (np.abs(new - x) / self._weights)[:, self.watched]
            held = np.abs(ports_new - wished).max(initial=0.0)
            x, ports = new, ports_new
            if moved.max() < 0.1 and held <= 0.1 * self.tolerance.voltage:
                return x, ports, jacobian
        raise StepFailed

    def _keep(self, weight: float) -> None:
        """Constant part of the matrix of a stage, each row divided by its largest entry.

        A short step leaves a source's row a billionth of a coil's; unscaled, the elimination's rounding drowns what it says.
        """
        matrix = self.storage + weight * self.conductance
        largest = np.abs(matrix).max(axis=2)
        scale = 1.0 / np.where(largest > 0.0, largest, 1.0)
        self.kept.weight, self.kept.scale = weight, scale
        self.kept.base = (matrix * scale[:, :, None]).reshape(matrix.shape[0], -1)

    def weigh(self, scale: Array) -> None:
        """Set what counts as small for each unknown, given the largest values so far (N,)."""
        floor = np.where(self.system.is_voltage, self.tolerance.voltage, self.tolerance.current)
        self._weights = floor + self.tolerance.relative * scale

    # -- steps ------------------------------------------------------------------------------------------------

    def settle(self, x: Array, ports: Array, time: float, length: float) -> tuple[Array, Array, Array]:
        """One short backward Euler step, which makes the unknowns fit the sources after a corner: (x, slope, ports)."""
        new, new_ports, _ = self.solve_stage(
            length, self.charge(x), time + length, x, ports, MOST_AT_A_CORNER
        )
        return new, (new - x) / length, new_ports

    def step(
        self, x: Array, slope: Array, ports: Array, time: float, length: float, longest: float
    ) -> tuple[Step, Array]:
        """One TR-BDF2 step from `time`, with its error estimate.

        An unknown that stores nothing may be a rate of change, as the current of a source that charges a capacitor. Its found
        error falls with a lower power of the length, after a corner not at all; it counts by the share of the longest [3]_.

        Raises
        ------
        StepFailed
            A stage did not settle.
        """
        weight = GAMMA * length / 2.0
        flow_start = -self.charge(slope)
        charge_start = self.charge(x)
        guess = x + GAMMA * length * slope
        middle, middle_ports, _ = self.solve_stage(
            weight, charge_start - weight * flow_start, time + GAMMA * length, guess, ports
        )
        charge_middle = self.charge(middle)
        known = MIDDLE * charge_middle - PAST * charge_start
        guess = middle + (1.0 - GAMMA) * (middle - x) / GAMMA
        end, end_ports, jacobian = self.solve_stage(weight, known, time + length, guess, middle_ports)
        slope_middle = (middle - x) * (2.0 / (GAMMA * length)) - slope
        slope_end = (end - MIDDLE * middle + PAST * x) / weight
        third = slope / GAMMA - slope_middle / (GAMMA * (1.0 - GAMMA)) + slope_end / (1.0 - GAMMA)
        rough = 2.0 * ERROR * length * self.charge(third) * self.kept.scale
        size = self.system.size
        error = solve_stack(jacobian.reshape(-1, size, size), rough)
        worst = (np.abs(error) * np.where(self.stored, 1.0, length / longest) / self._weights).max()
        found = Step(unknowns=end, slope=slope_end, error=float(worst), middle=middle)
        return found, end_ports


def dynamics_of(system: System, table: Table, samples: int, tolerance: Tolerance) -> Dynamics:
    """Evaluate the constant matrices of a circuit in time.

    Parameters
    ----------
    system : System
        Assembled with ``dynamic=True``.
    table : mapping
        Parameters of all parts.
    samples : int
        B.
    tolerance : Tolerance

    Returns
    -------
    Dynamics
    """
    size = system.size
    steady = [(group, group.parameters(table, slice(None))) for group in system.linear]
    curved = [(group, group.parameters(table, slice(None))) for group in system.curved]
    conductance, constant = _linear_part(system, steady, samples)
    storage = _storage(system, table)
    outputs: dict[str, Array] = {}
    timed = [(group, parameters) for group, parameters in steady if group.law.timed]
    start = 0
    for group, _ in steady:
        width = len(group.placed) * len(group.law.rows)
        outputs[group.law.name] = dense_of(system.linear_matrices.outputs)[start : start + width]
        start += width
    if system.curved:
        voltage = np.flatnonzero(system.is_voltage)
        storage[:, voltage, voltage] += STRAY_CAPACITANCE
    depth = max(storage.shape[0], conductance.shape[0])
    storage = np.broadcast_to(storage, (depth, size, size))
    conductance = np.broadcast_to(conductance, (depth, size, size))
    stored = np.asarray((storage != 0.0).any(axis=(0, 1)), dtype=np.bool_)
    looked_at = np.abs(dense_of(system.curved_matrices.ports)[:-1]).sum(axis=1) > 0.0
    found = Dynamics(
        system=system,
        samples=samples,
        storage=storage,
        conductance=conductance,
        constant=constant,
        timed=timed,
        curved=curved,
        stored=stored,
        watched=stored | looked_at,
        tolerance=tolerance,
    )
    found._outputs = outputs
    found.weigh(np.zeros(size))
    return found


def _linear_part(
    system: System, steady: Sequence[tuple[Group, dict[str, Array]]], samples: int
) -> tuple[Array, Array]:
    size = system.size
    matrices = system.linear_matrices
    depth = max([1, *(v.shape[0] for _, parameters in steady for v in parameters.values())])
    for _, parameters in steady:
        parameters["time"] = np.zeros((1, 1))
    rest = np.zeros((depth, matrices.ports.shape[1]))
    _, slopes = responses(steady, rest)
    flat = np.zeros((depth, size * size))
    flat[:, matrices.cells] = slopes @ matrices.entries
    conductance = flat.reshape(depth, size, size)
    voltage = np.flatnonzero(system.is_voltage)
    conductance[:, voltage, voltage] += LEAST_CONDUCTANCE
    fixed: list[Array] = []
    for group, parameters in steady:
        own = tuple(np.zeros((depth, len(group.placed))) for _ in group.law.ports)
        values = group.law.respond(own, parameters).values
        blank = [np.zeros_like(value) for value in values] if group.law.timed else list(values)
        fixed.extend(np.broadcast_to(value, (depth, len(group.placed))) for value in blank)
    total = np.concatenate(fixed, axis=1) if fixed else np.zeros((depth, 0))
    constant = -(total @ matrices.outputs)
    return conductance, np.broadcast_to(constant, (samples, size))


def _storage(system: System, table: Table) -> Array:
    size = system.size
    matrices = system.store_matrices
    slopes: list[Array] = []
    for group in system.stores:
        parameters: Parameters = {**group.parameters(table, slice(None)), "time": np.zeros((1, 1))}
        depth = max(values.shape[0] for values in parameters.values())
        rest = tuple(np.zeros((depth, len(group.placed))) for _ in group.law.ports)
        store = group.law.store
        assert store is not None  # only groups that store are listed
        slopes.extend(store(rest, parameters).slopes)
    depth = max([1, *(slope.shape[0] for slope in slopes)])
    flat = np.zeros((depth, size * size))
    if slopes:
        together = np.concatenate([np.broadcast_to(s, (depth, s.shape[1])) for s in slopes], axis=1)
        flat[:, matrices.cells] = together @ matrices.entries
    return flat.reshape(depth, size, size)
