"""Newton's method on one chunk of samples of one circuit; samples that have settled leave the chunk."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array, Parameters
from lidoff.circuit.solve.assemble import Group, Matrices, System, Table
from lidoff.circuit.solve.linear import solve_stack

__all__ = [
    "DENSE_SIZE",
    "LEAST_CONDUCTANCE",
    "Equations",
    "Push",
    "equations_of",
    "limited_ports",
    "newton",
    "responses",
]

MOST_STEPS = 80
RELATIVE_STEP = 1e-9
VOLTAGE_STEP = 1e-9  # [V]
CURRENT_STEP = 1e-12  # [A]
LEAST_CONDUCTANCE = (
    1e-12  # [S] from every node to its reference; a tenth of a thousandth of a 100 MΩ meter input
)
PATIENT = 24  # steps after which a net may move by what rounding makes of the currents beside it
ROUNDING = 64.0 * float(np.finfo(float).eps)
MOST_ROUNDING = 1e-4  # [V]
DENSE_SIZE = 260  # unknowns up to which dense stacks beat sparse factors (benchmarks/switch_over.py)


@dataclass(slots=True, eq=False)
class Equations:
    """The equations of one chunk of samples, ready to be linearised again and again.

    Attributes
    ----------
    system : System
    curved : list of (Group, parameters)
    base : ndarray of shape (B, N·N) or (1, N·N), or (B, U) for sparse systems
        Constant part of the Jacobian.
    constant : ndarray of shape (B, N)
        Constant right-hand side.
    """

    system: System
    curved: Sequence[tuple[Group, Parameters]]
    base: Array
    base_cells: NDArray[np.intp]
    constant: Array
    samples: int

    @property
    def dense(self) -> bool:
        """Whether dense stacks are used."""
        return self.system.size <= DENSE_SIZE


def responses(groups: Sequence[tuple[Group, Parameters]], ports: Array) -> tuple[Array, Array]:
    """All responses (B, outputs) and slopes (B, pairs) at the ports (B, P)."""
    values: list[Array] = []
    slopes: list[Array] = []
    start = 0
    for group, parameters in groups:
        count = len(group.placed)
        own = _cut(ports, start, count, len(group.law.ports))
        start += count * len(group.law.ports)
        response = group.law.respond(own, parameters)
        values.extend(response.values)
        slopes.extend(response.slopes)
    return _joined(values, ports), _joined(slopes, ports)


def _cut(ports: Array, start: int, count: int, width: int) -> tuple[Array, ...]:
    return tuple(ports[:, start + k * count : start + (k + 1) * count] for k in range(width))


def _joined(arrays: Sequence[Array], like: Array) -> Array:
    if not arrays:
        return np.zeros((like.shape[0], 0))
    if len(arrays) == 1:
        return arrays[0]
    return np.concatenate(arrays, axis=1)


def _offsets(matrices: Matrices, values: Array, slopes: Array, ports: Array) -> Array:
    """Right-hand side of the tangent: what is left when slope · port is taken from the response, with its sign turned."""
    product = slopes * ports[:, matrices.pair_port]
    result: Array = product @ matrices.pair_rows - values @ matrices.outputs
    return result


def equations_of(system: System, table: Table, rows: slice, samples: int, time: float = 0.0) -> Equations:
    """Evaluate all parameters of a slice of the batch and the constant part of the equations."""
    size = system.size
    linear = [(group, _timed(group.parameters(table, rows), time)) for group in system.linear]
    curved = [(group, _timed(group.parameters(table, rows), time)) for group in system.curved]
    depth = max([1, *(values.shape[0] for _, parameters in linear for values in parameters.values())])
    matrices = system.linear_matrices
    rest = np.zeros((depth, _width(matrices.ports)))
    values, slopes = responses(linear, rest)
    base_cells, base = _base(system, matrices, slopes)
    constant = np.broadcast_to(-(values @ matrices.outputs), (samples, size))
    return Equations(
        system=system, curved=curved, base=base, base_cells=base_cells, constant=constant, samples=samples
    )


def _width(matrix: object) -> int:
    return int(matrix.shape[1])  # type: ignore[attr-defined]


def _timed(parameters: dict[str, Array], time: float) -> dict[str, Array]:
    parameters["time"] = np.array([[time]])
    return parameters


def _base(system: System, matrices: Matrices, slopes: Array) -> tuple[NDArray[np.intp], Array]:
    size = system.size
    diagonal = np.flatnonzero(system.is_voltage) * (size + 1)
    entries: Array = slopes @ matrices.entries
    if size <= DENSE_SIZE:
        base = np.zeros((entries.shape[0], size * size))
        base[:, matrices.cells] = entries
        base[:, diagonal] += LEAST_CONDUCTANCE
        return np.arange(size * size, dtype=np.intp), base
    cells = np.unique(np.concatenate([matrices.cells, diagonal, system.curved_matrices.cells]))
    base = np.zeros((entries.shape[0], len(cells)))
    base[:, np.searchsorted(cells, matrices.cells)] = entries
    base[:, np.searchsorted(cells, diagonal)] += LEAST_CONDUCTANCE
    return cells.astype(np.intp), base


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Push:
    """What is added to the equations to lead a hard sample in: conductance to the reference, sources turned down, inertia."""

    shunt: float = 0.0
    scale: float = 1.0
    inertia: float = 0.0
    around: Array | None = None


NO_PUSH = Push()


def _solve_linear(equations: Equations, jacobian: Array, right: Array) -> Array:
    size = equations.system.size
    if equations.dense:
        return solve_stack(jacobian.reshape(-1, size, size), right)
    return _solve_sparse(equations, jacobian, right)


def _solve_sparse(equations: Equations, jacobian: Array, right: Array) -> Array:
    from scipy.sparse import csc_array
    from scipy.sparse.linalg import splu

    size = equations.system.size
    rows, columns = np.divmod(equations.base_cells, size)
    order = np.lexsort((rows, columns))
    pointers = np.searchsorted(columns[order], np.arange(size + 1))
    solved = np.full_like(right, np.nan)
    for sample in range(right.shape[0]):
        matrix = csc_array((jacobian[sample][order], rows[order], pointers), shape=(size, size))
        try:
            solved[sample] = splu(matrix, permc_spec="COLAMD").solve(right[sample])
        except RuntimeError:  # exactly singular
            continue
    return solved


def newton(
    equations: Equations, start: Array, push: Push = NO_PUSH, most_steps: int = MOST_STEPS
) -> tuple[Array, NDArray[np.bool_], Array, NDArray[np.intp]]:
    """Newton's method on one chunk.

    Parameters
    ----------
    equations : Equations
    start : ndarray of shape (B, N)
        First guess.
    push : Push
        What leads the search in.
    most_steps : int
        When to give up.

    Returns
    -------
    unknowns, settled, last_step, steps
        As in `Settled`.
    """
    system = equations.system
    matrices = system.curved_matrices
    result = start.copy()
    settled = np.zeros(equations.samples, dtype=bool)
    last = np.zeros_like(start)
    steps = np.zeros(equations.samples, dtype=np.intp)
    active = np.arange(equations.samples)
    tolerance = np.where(system.is_voltage, VOLTAGE_STEP, CURRENT_STEP)
    x = start.copy()
    base, constant, curved, jacobian, around = _active_equations(equations, push, active)
    update_cells = _update_cells(equations)
    base_at_update = base[:, update_cells]
    ports = _ports(system, x)
    for step in range(1, most_steps + 1):
        values, slopes = responses(curved, ports)
        if len(matrices.cells):
            jacobian[:, update_cells] = base_at_update + slopes @ matrices.entries
        right = constant * push.scale + _offsets(matrices, values, slopes, ports)
        if around is not None:
            right += push.inertia * around
        new = _solve_linear(equations, jacobian, right)
        finite = np.asarray(np.isfinite(new).all(axis=1), dtype=np.bool_)
        if not finite.all():
            new = np.where(finite[:, None], new, x)
        wished = _ports(system, new)
        ports_new = limited_ports(curved, wished, ports)
        allowed = tolerance + RELATIVE_STEP * np.maximum(np.abs(new), np.abs(x))
        if step > PATIENT and equations.dense:
            allowed = np.maximum(allowed, _rounding(system, jacobian, right, new))
            allowed = np.where(
                _balanced(system, jacobian, right, x)[:, None] & system.is_voltage,
                np.maximum(allowed, MOST_ROUNDING),
                allowed,
            )
        moved = np.abs(new - x) / allowed
        reach = VOLTAGE_STEP + RELATIVE_STEP * np.abs(wished)
        held = (np.abs(ports_new - wished) / reach).max(axis=1, initial=0.0)
        done = finite & (moved.max(axis=1, initial=0.0) <= 1.0) & (held <= 1.0)
        if not matrices.cells.size and not curved:
            done = finite
        x, ports = new, ports_new
        steps[active] = step
        stop = done if step < most_steps else np.ones_like(done)
        if stop.any():
            where = active[stop]
            result[where], last[where], settled[where] = x[stop], moved[stop], done[stop]
            keep = ~stop
            if not keep.any():
                break
            active = active[keep]
            x, ports = x[keep], ports[keep]
            base, constant, curved, jacobian, around = _active_equations(equations, push, active)
            base_at_update = base[:, update_cells]
    return result, settled, last, steps


def _rounding(system: System, jacobian: Array, right: Array, x: Array) -> Array:
    """How far rounding alone moves each net, shape (B, N); leakage holds a net no firmer than the currents' last bits."""
    volts = system.is_voltage
    amperes = np.maximum(
        np.abs(right[:, volts]).max(axis=1, initial=0.0), np.abs(x[:, ~volts]).max(axis=1, initial=0.0)
    )
    held = np.maximum(np.abs(jacobian[:, :: system.size + 1]), LEAST_CONDUCTANCE)
    moves = np.minimum(ROUNDING * amperes[:, None] / held, MOST_ROUNDING)
    return np.where(volts, moves, 0.0)


def _balanced(system: System, jacobian: Array, right: Array, x: Array) -> NDArray[np.bool_]:
    """Samples of which every equation is met but for rounding of its own terms.

    Nets that large conductances join, and that only leakage holds together, move by far more than rounding of any one of them:
    the last bits of what flows between them are much beside what flows out. Such a point solves equations of which each
    coefficient is right to `ROUNDING`, which is all that can be asked for [1]_.

    References
    ----------
    .. [1] W. Oettli, W. Prager, "Compatibility of approximate solution of linear equations with given error bounds for
       coefficients and right-hand sides", Numerische Mathematik 6, 405-409, 1964.
    """
    matrices = jacobian.reshape(-1, system.size, system.size)
    residual = np.abs((matrices @ x[:, :, None])[:, :, 0] - right)
    terms = (np.abs(matrices) @ np.abs(x)[:, :, None])[:, :, 0] + np.abs(right)
    return np.asarray(np.all(residual <= ROUNDING * terms, axis=1))


def _update_cells(equations: Equations) -> NDArray[np.intp]:
    cells = equations.system.curved_matrices.cells
    return cells if equations.dense else np.searchsorted(equations.base_cells, cells).astype(np.intp)


def _active_equations(
    equations: Equations, push: Push, active: NDArray[np.intp]
) -> tuple[Array, Array, Sequence[tuple[Group, Parameters]], Array, Array | None]:
    """Equations of the samples still under way; the Jacobian is a fresh copy, to be written into."""
    count = len(active)
    everything = count == equations.samples
    base = equations.base
    if base.shape[0] > 1 and not everything:
        base = base[active]
    if push.shunt or push.inertia:
        base = base.copy()
        diagonal = np.flatnonzero(equations.system.is_voltage) * (equations.system.size + 1)
        cells = diagonal if equations.dense else np.searchsorted(equations.base_cells, diagonal)
        base[:, cells] += push.shunt + push.inertia
    jacobian = np.repeat(base, count, axis=0) if base.shape[0] == 1 else base.copy()
    constant = equations.constant if everything else equations.constant[active]
    curved = equations.curved
    if not everything:
        curved = [
            (group, {name: v if v.shape[0] == 1 else v[active] for name, v in parameters.items()})
            for group, parameters in curved
        ]
    around = None
    if push.around is not None:
        around = np.where(equations.system.is_voltage, push.around[active], 0.0)
    return base, constant, curved, jacobian, around


def _ports(system: System, x: Array) -> Array:
    ports: Array = x @ system.curved_matrices.ports[:-1]
    return ports


def limited_ports(groups: Sequence[tuple[Group, Parameters]], new: Array, old: Array) -> Array:
    """Ports (B, P) with each law's step limited."""
    limited = new
    start = 0
    for group, parameters in groups:
        count, width = len(group.placed), len(group.law.ports)
        if group.law.limit is not None:
            if limited is new:
                limited = new.copy()
            own = group.law.limit(_cut(new, start, count, width), _cut(old, start, count, width), parameters)
            for k, port in enumerate(own):
                limited[:, start + k * count : start + (k + 1) * count] = port
        start += count * width
    return limited
