"""Operating points of a batch: chunks on threads, and what is tried when Newton's method alone does not settle.

The samples are cut into chunks that stay in the processor's cache; chunks run on as many threads as there are cores, since the
linear solver and the array functions free the interpreter.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array
from lidoff.circuit.solve import newton as chunk_search
from lidoff.circuit.solve.assemble import System, Table
from lidoff.circuit.solve.newton import Equations, Push, equations_of, newton
from lidoff.circuit.solve.reduce import reduced

__all__ = ["Settled", "solve_batch"]

CHUNK_BYTES = 8_000_000


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
    width = size * size if size <= chunk_search.DENSE_SIZE else 8 * size
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
