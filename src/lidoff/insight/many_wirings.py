"""Operating points of many wirings of the same parts, as one batch: Newton's method with the junction limits of the laws.

The way is that of `lidoff.circuit.solve.newton`, with one difference: where a node is gathered from and added to is an index
of the sample. Samples start from the circuit as traced, which most variants lie near to; the few that do not settle start
again from rest, and those that still do not by conductance stepping.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array, Parameters
from lidoff.circuit.solve.assemble import Group, IndexedTable
from lidoff.circuit.solve.linear import solve_stack
from lidoff.circuit.solve.newton import limited_ports, responses
from lidoff.insight.torn import Index, Torn

__all__ = ["Linearised", "Rest", "linearised", "rows_of", "solve_wirings"]

FIRST_STEPS, MOST_STEPS = 10, 40
SETTLED_PORT = 1e-5
"""Largest last move of a curved law's port [V]; the next one would be its square over some ten millivolts."""
LEAST_CONDUCTANCE = 1e-12
"""From every net to the ground, as in the solver proper [S]."""
ANCHOR = 1e-8
"""From one net of each island without ground to the ground, so that it does not drift [S]."""
LEAKS = (1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-8, 0.0)
"""Conductances from every net to the ground [S] by which samples that settle in no other way are led to their point."""
CHUNK = 256
"""Samples solved together: a stack of dense matrices that stays near the processor."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rest:
    """Operating points.

    Attributes
    ----------
    unknowns : ndarray of shape (B, N + 1)
        Net voltages against the ground [V] and laws' unknowns; the last is the ground.
    settled : ndarray of bool, shape (B,)
        Which were found.
    """

    unknowns: Array
    settled: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Linearised:
    """The equations of a batch at its operating points.

    Attributes
    ----------
    jacobian : ndarray of shape (B, N, N)
        Of the equations to the unknowns.
    values, slopes : tuple of two ndarrays
        Responses (B, outputs) and their slopes (B, pairs), of the linear and the curved groups.
    nodes : ndarray of shape (B, M)
        Voltage or value at each node.
    """

    jacobian: Array
    values: tuple[Array, Array]
    slopes: tuple[Array, Array]
    nodes: Array


def solve_wirings(
    torn: Torn,
    wirings: Index,
    table: IndexedTable,
    start: Array | None = None,
    owners: Index | None = None,
    vital: NDArray[np.bool_] | None = None,
) -> Rest:
    """Find the operating point of every sample.

    Parameters
    ----------
    torn : Torn
        The parts.
    wirings : ndarray of int, shape (B, M)
        Unknown of each node.
    table : IndexedTable
        Parameters, of shape (B,) or (1,).
    start : ndarray of shape (B, N + 1), optional
        First guess; rest without it.
    owners : ndarray of int, shape (B,), optional
        What each sample belongs to; each stands by itself if not given.
    vital : ndarray of bool, shape (B,), optional
        Samples without which their owner is of no use. The first of an owner's that is hard is tried before the others, and
        all of them are given up with it.

    Returns
    -------
    Rest
        Samples that did not settle are marked.
    """
    first = np.zeros((len(wirings), torn.size + 1)) if start is None else start
    x, settled, ports = _in_chunks(torn, wirings, table, first, FIRST_STEPS)
    lost: Index = np.zeros(0, dtype=np.intp)
    for going in _rounds(np.flatnonzero(~settled), owners, vital):
        kept = going if owners is None else going[~np.isin(owners[going], lost)]
        if len(kept):
            own = (wirings[kept], rows_of(table, kept))
            x[kept], settled[kept] = _hard(torn, *own, x[kept], ports[kept], again=start is not None)
        if owners is not None:
            lost = owners[kept[~settled[kept]]]
    return Rest(unknowns=x, settled=settled)


def _rounds(hard: Index, owners: Index | None, vital: NDArray[np.bool_] | None) -> list[Index]:
    """Hard samples in the order in which they are tried: one vital sample of each owner, then the others."""
    if owners is None or vital is None:
        return [hard]
    needed = hard[vital[hard]]
    first = needed[np.unique(owners[needed], return_index=True)[1]]
    return [first, np.setdiff1d(hard, first)]


def _hard(
    torn: Torn, wirings: Index, table: IndexedTable, x: Array, ports: Array, *, again: bool
) -> tuple[Array, NDArray[np.bool_]]:
    """Samples that take longer: on from where they are, from rest where that is another start, and by leaks."""
    # The few that take longer go on together, since a step costs hardly more for many than for one.
    x, settled, _ = _in_chunks(torn, wirings, table, x, MOST_STEPS - FIRST_STEPS, ports)
    left = np.flatnonzero(~settled)
    if len(left) and again:
        fresh = np.zeros((len(left), torn.size + 1))
        own = rows_of(table, left)
        x[left], settled[left], _ = _in_chunks(torn, wirings[left], own, fresh, MOST_STEPS)
    left = np.flatnonzero(~settled)
    if len(left):
        x[left], settled[left] = _with_less_and_less_leak(torn, wirings[left], rows_of(table, left))
    return x, settled


def linearised(torn: Torn, wirings: Index, table: IndexedTable, unknowns: Array) -> Linearised:
    """Equations of some samples at given unknowns, shapes as in `solve_wirings`."""
    parameters = _parameters(torn, table)
    nodes = np.take_along_axis(unknowns, wirings, axis=1)
    told = [responses(parameters[k], nodes @ torn.ports[k]) for k in (0, 1)]
    spots = [_spots(torn, wirings, k) for k in (0, 1)]
    jacobian = _base(torn, len(wirings))
    for k in (0, 1):
        _add(jacobian, spots[k], told[k][1], torn, k)
    size = torn.size
    return Linearised(
        jacobian=jacobian.reshape(-1, size + 1, size + 1)[:, :size, :size],
        values=(told[0][0], told[1][0]),
        slopes=(told[0][1], told[1][1]),
        nodes=nodes,
    )


def rows_of(table: IndexedTable, rows: Index) -> IndexedTable:
    """Table of chosen samples; the table itself where no entry differs between samples."""
    varying = {key: values[rows] for key, values in table.items() if len(values) > 1}
    return table.with_entries(varying) if varying else table


def _in_chunks(
    torn: Torn, wirings: Index, table: IndexedTable, start: Array, steps: int, ports: Array | None = None
) -> tuple[Array, NDArray[np.bool_], Array]:
    """What `_newton` finds, many samples in chunks on all processors."""
    count = len(wirings)

    def one(rows: slice) -> tuple[Array, NDArray[np.bool_], Array]:
        own = table if count <= CHUNK else rows_of(table, np.arange(rows.start, rows.stop))
        from_ports = None if ports is None else ports[rows]
        return _newton(torn, wirings[rows], own, start[rows], steps=steps, ports=from_ports)

    slices = [slice(first, min(first + CHUNK, count)) for first in range(0, count, CHUNK)]
    if len(slices) == 1:
        return one(slices[0])
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        pieces = list(pool.map(one, slices))
    return (
        np.concatenate([piece[0] for piece in pieces]),
        np.concatenate([piece[1] for piece in pieces]),
        np.concatenate([piece[2] for piece in pieces]),
    )


def _parameters(
    torn: Torn, table: IndexedTable
) -> tuple[list[tuple[Group, Parameters]], list[tuple[Group, Parameters]]]:
    def of(groups: Sequence[Group]) -> list[tuple[Group, Parameters]]:
        return [(group, {**table.derived(group), "time": np.zeros((1, 1))}) for group in groups]

    return of(torn.linear), of(torn.curved)


def _base(torn: Torn, count: int, leak: float = 0.0) -> Array:
    """Jacobian (B, (N + 1)²) with the least conductances alone, and a leak from every net."""
    width = torn.size + 1
    jacobian = np.zeros((count, width * width))
    voltages = np.array(sorted(set(torn.nets.values()) - {torn.size}), dtype=np.intp)
    jacobian[:, voltages * (width + 1)] += LEAST_CONDUCTANCE + leak
    jacobian[:, torn.anchors * (width + 1)] += ANCHOR
    return jacobian


def _spots(torn: Torn, wirings: Index, which: int) -> Index:
    """Flat place (B·E,) of each entry of the Jacobian in the whole batch."""
    _, row, column = torn.entries[which]
    width = torn.size + 1
    flat = wirings[:, row] * width + wirings[:, column]
    flat += (np.arange(len(wirings)) * width * width)[:, None]
    return flat.ravel()


def _add(jacobian: Array, spots: Index, slopes: Array, torn: Torn, which: int) -> None:
    if not len(spots):
        return
    weighted = slopes[:, torn.entries[which][0]] * torn.weights[which]
    jacobian += np.bincount(spots, weighted.ravel(), minlength=jacobian.size).reshape(jacobian.shape)


def _gathered(wirings: Index, flows: Array, width: int) -> Array:
    """Sums (B, N + 1) at the unknowns of what flows at the nodes (B, M)."""
    places = wirings + (np.arange(len(wirings)) * width)[:, None]
    total = np.bincount(places.ravel(), flows.ravel(), minlength=len(wirings) * width)
    return np.asarray(total.reshape(len(wirings), width), dtype=np.float64)


def _with_less_and_less_leak(
    torn: Torn, wirings: Index, table: IndexedTable
) -> tuple[Array, NDArray[np.bool_]]:
    """Operating points by conductance stepping: every net leaks to the ground, less at each step, and lastly not at all."""
    x = np.zeros((len(wirings), torn.size + 1))
    going = np.arange(len(wirings))
    for leak in LEAKS:
        found, settled, _ = _newton(torn, wirings[going], rows_of(table, going), x[going], leak=leak)
        going = going[settled]
        x[going] = found[settled]
        if not len(going):
            break
    arrived = np.zeros(len(wirings), dtype=bool)
    arrived[going] = True
    return x, arrived


def _newton(
    torn: Torn,
    wirings: Index,
    table: IndexedTable,
    start: Array,
    *,
    leak: float = 0.0,
    steps: int = MOST_STEPS,
    ports: Array | None = None,
) -> tuple[Array, NDArray[np.bool_], Array]:
    """Unknowns after some steps, which of them are settled, and the ports of the curved laws to go on from."""
    count, size, width = len(wirings), torn.size, torn.size + 1
    linear, curved = _parameters(torn, table)
    rest = np.zeros((count, torn.ports[0].shape[1]))
    offset, slope = responses(linear, rest)
    fixed = _base(torn, count, leak)
    _add(fixed, _spots(torn, wirings, 0), slope, torn, 0)
    # A floating unknown of its own, such as a net that no variant made, is held where it is.
    diagonal = np.arange(size) * (width + 1)
    used = np.zeros((count, width), dtype=bool)
    np.put_along_axis(used, wirings, True, axis=1)
    fixed[:, diagonal] += np.where(used[:, :size], 0.0, 1.0)
    constant = -_gathered(wirings, offset @ torn.rows[0], width)
    x = start.copy()
    result, settled = x.copy(), np.zeros(count, dtype=bool)
    if not torn.curved:
        result[:, :size] = solve_stack(fixed.reshape(-1, width, width)[:, :size, :size], constant[:, :size])
        found = np.asarray(np.isfinite(result).all(axis=1), dtype=np.bool_)
        return result, found, np.zeros((count, torn.ports[1].shape[1]))
    active = np.arange(count)
    spots = _spots(torn, wirings, 1)
    if ports is None:
        ports = np.take_along_axis(x, wirings, axis=1) @ torn.ports[1]
    left = ports.copy()
    for _ in range(steps):
        values, slopes = responses(curved, ports)
        jacobian = fixed.copy()
        _add(jacobian, spots, slopes, torn, 1)
        pull = np.zeros_like(values)
        products = slopes * ports[:, torn.pair_port[1]]
        np.add.at(pull.T, torn.pair_output[1], products.T)
        right = constant + _gathered(wirings, (pull - values) @ torn.rows[1], width)
        new = np.zeros_like(x)
        new[:, :size] = solve_stack(jacobian.reshape(-1, width, width)[:, :size, :size], right[:, :size])
        finite = np.asarray(np.isfinite(new).all(axis=1), dtype=np.bool_)
        if not finite.all():
            new = np.where(finite[:, None], new, x)
        wished = np.take_along_axis(new, wirings, axis=1) @ torn.ports[1]
        allowed = limited_ports(curved, wished, ports)
        reach = SETTLED_PORT * (1.0 + np.abs(wished))
        still = np.maximum(np.abs(wished - ports), np.abs(wished - allowed)) <= reach
        done = finite & np.asarray(still.all(axis=1), dtype=np.bool_)
        x, ports = new, allowed
        result[active], left[active] = x, ports
        if done.any():
            settled[active[done]] = True
            keep = np.logical_not(done)
            if not keep.any():
                break
            active, x, ports, wirings = active[keep], x[keep], ports[keep], wirings[keep]
            fixed, constant = fixed[keep], constant[keep]
            curved = [(group, _kept(parameters, keep)) for group, parameters in curved]
            spots = _spots(torn, wirings, 1)
    return result, settled, left


def _kept(parameters: Parameters, keep: NDArray[np.bool_]) -> Parameters:
    return {name: values if values.shape[0] == 1 else values[keep] for name, values in parameters.items()}
