"""Newton's method on a batch of samples of one circuit, with what is tried when it does not settle.

The samples are cut into chunks that stay in the processor's cache; chunks run on as many threads as there are cores, since the
linear solver and the array functions free the interpreter. Samples that have settled leave their chunk.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array, Parameters
from lidoff.circuit.solve.assemble import Group, Matrices, System, Table
from lidoff.circuit.solve.linear import solve_stack
from lidoff.circuit.solve.reduce import reduced

__all__ = ["LEAST_CONDUCTANCE", "Equations", "Settled", "limited_ports", "responses", "solve_batch"]

MOST_STEPS = 80
RELATIVE_STEP = 1e-9
VOLTAGE_STEP = 1e-9  # [V]
CURRENT_STEP = 1e-12  # [A]
LEAST_CONDUCTANCE = (
    1e-12  # [S] from every node to its reference; a tenth of a thousandth of a 100 MΩ meter input
)
CHUNK_BYTES = 8_000_000
DENSE_SIZE = 260  # unknowns up to which dense stacks beat sparse factors (benchmarks/switch_over.py)

Sparse = object


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Settled:
    """What a batched search gave.

    Attributes
    ----------
    unknowns : ndarray of shape (B, N)
    settled : ndarray of bool, shape (B,)
    last_step : ndarray of shape (B, N)
        How far each unknown still moved in the last step, in units of its tolerance.
    steps : ndarray of int, shape (B,)
        Newton steps taken.
    tried : tuple of str
        Methods used, in order.
    method : ndarray of int, shape (B,)
        Index into `tried` of the method that settled each sample.
    """

    unknowns: Array
    settled: NDArray[np.bool_]
    last_step: Array
    steps: NDArray[np.intp]
    tried: tuple[str, ...]
    method: NDArray[np.intp]


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


Method = Callable[[Equations, Array], tuple[Array, NDArray[np.bool_], Array, NDArray[np.intp]]]


def _plain(equations: Equations, start: Array) -> tuple[Array, NDArray[np.bool_], Array, NDArray[np.intp]]:
    small = (
        reduced(equations.system, equations.base, equations.constant, equations.samples)
        if equations.dense
        else None
    )
    if small is None:
        return newton(equations, start)
    fewer = replace(
        equations,
        system=small.system,
        base=small.base,
        base_cells=np.arange(len(small.kept) ** 2, dtype=np.intp),
        constant=small.constant,
    )
    x, settled, moved, steps = newton(fewer, start[:, small.kept])
    last = np.zeros_like(start)
    last[:, small.kept] = moved
    return small.expand(x), settled, last, steps


def _stepped(
    equations: Equations, start: Array, pushes: Sequence[Push]
) -> tuple[Array, NDArray[np.bool_], Array, NDArray[np.intp]]:
    """Follow the solution while the push is taken away; a sample that fails on the way goes on from its last good point."""
    x = start
    total = np.zeros(equations.samples, dtype=np.intp)
    for push in pushes:
        new, settled, _, steps = newton(equations, x, push)
        total += steps
        x = np.where(settled[:, None], new, x)
    final, settled, last, steps = newton(equations, x)
    return final, settled, last, total + steps


def _conductance_stepping(
    equations: Equations, start: Array
) -> tuple[Array, NDArray[np.bool_], Array, NDArray[np.intp]]:
    pushes = [Push(shunt=10.0**-decade) for decade in np.arange(1.0, 12.5, 0.5)]
    return _stepped(equations, np.zeros_like(start), pushes)


def _source_stepping(
    equations: Equations, start: Array
) -> tuple[Array, NDArray[np.bool_], Array, NDArray[np.intp]]:
    pushes = [Push(scale=scale) for scale in np.linspace(0.02, 0.98, 49)]
    return _stepped(equations, np.zeros_like(start), pushes)


def _pseudo_transient(
    equations: Equations, start: Array
) -> tuple[Array, NDArray[np.bool_], Array, NDArray[np.intp]]:
    """Let every node carry a capacitance and integrate towards rest with growing steps (backward Euler)."""
    x = np.zeros_like(start)
    total = np.zeros(equations.samples, dtype=np.intp)
    inertia = np.full(equations.samples, 1.0)
    for _ in range(160):
        level = float(np.median(inertia))
        new, settled, _last, steps = newton(equations, x, Push(inertia=level, around=x), most_steps=25)
        total += steps
        x = np.where(settled[:, None], new, x)
        inertia = inertia * (0.5 if settled.mean() > 0.5 else 4.0)
        if level < 1e-11:
            break
    final, done, last, steps = newton(equations, x)
    return final, done, last, total + steps


METHODS: tuple[tuple[str, Method], ...] = (
    ("Newton's method", _plain),
    ("conductance stepping", _conductance_stepping),
    ("source stepping", _source_stepping),
    ("pseudo-transient", _pseudo_transient),
)


def _solve_chunk(system: System, table: Table, rows: slice, samples: int, start: Array | None) -> Settled:
    equations = equations_of(system, table, rows, samples)
    size = system.size
    first = np.zeros((samples, size)) if start is None else np.broadcast_to(start, (samples, size)).copy()
    unknowns = first
    settled = np.zeros(samples, dtype=bool)
    last = np.zeros((samples, size))
    steps = np.zeros(samples, dtype=np.intp)
    method = np.zeros(samples, dtype=np.intp)
    tried: list[str] = []
    for number, (name, search) in enumerate(METHODS):
        rest = np.flatnonzero(~settled)
        if not len(rest):
            break
        tried.append(name)
        part = equations if len(rest) == samples else _restricted(equations, rest)
        new, done, moved, taken = search(part, first[rest])
        unknowns[rest], last[rest], settled[rest] = new, moved, done
        steps[rest] += taken
        method[rest] = number
    return Settled(
        unknowns=unknowns, settled=settled, last_step=last, steps=steps, tried=tuple(tried), method=method
    )


def _restricted(equations: Equations, rows: NDArray[np.intp]) -> Equations:
    return Equations(
        system=equations.system,
        curved=[
            (group, {name: v if v.shape[0] == 1 else v[rows] for name, v in parameters.items()})
            for group, parameters in equations.curved
        ],
        base=equations.base if equations.base.shape[0] == 1 else equations.base[rows],
        base_cells=equations.base_cells,
        constant=equations.constant[rows],
        samples=len(rows),
    )


def _solved_empty(samples: int) -> Settled:
    return Settled(
        unknowns=np.zeros((samples, 0)),
        settled=np.ones(samples, dtype=bool),
        last_step=np.zeros((samples, 0)),
        steps=np.zeros(samples, dtype=np.intp),
        tried=(METHODS[0][0],),
        method=np.zeros(samples, dtype=np.intp),
    )


def solve_batch(system: System, table: Table, *, samples: int, start: Array | None = None) -> Settled:
    """Find the operating point of every sample.

    Parameters
    ----------
    system : System
        From `assemble`.
    table : mapping of (reference, parameter) to ndarray of shape (B,) or (1,)
        Parameters of all parts.
    samples : int
        B.
    start : ndarray of shape (B, N) or (1, N), optional
        First guess; all zero without it.

    Returns
    -------
    Settled
        Samples that did not settle are marked, never hidden.
    """
    size = system.size
    if not size:  # every net is a reference: nothing to find
        return _solved_empty(samples)
    width = size * size if size <= DENSE_SIZE else 8 * size
    chunk = max(1, min(samples, CHUNK_BYTES // (8 * width)))
    cores = os.cpu_count() or 1
    if samples > cores and samples <= chunk * cores and samples * width > 20_000:
        chunk = -(-samples // cores)
    slices = [slice(first, min(first + chunk, samples)) for first in range(0, samples, chunk)]

    def run(rows: slice) -> Settled:
        own = start if start is None or start.shape[0] == 1 else start[rows]
        return _solve_chunk(system, table, rows, rows.stop - rows.start, own)

    if len(slices) == 1:
        return run(slices[0])
    with ThreadPoolExecutor(max_workers=cores) as pool:
        pieces = list(pool.map(run, slices))
    tried = max((piece.tried for piece in pieces), key=len)
    return Settled(
        unknowns=np.concatenate([piece.unknowns for piece in pieces]),
        settled=np.concatenate([piece.settled for piece in pieces]),
        last_step=np.concatenate([piece.last_step for piece in pieces]),
        steps=np.concatenate([piece.steps for piece in pieces]),
        tried=tried,
        method=np.concatenate([piece.method for piece in pieces]),
    )
