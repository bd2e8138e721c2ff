"""Taking the purely linear unknowns out of a batch before Newton's method runs.

Unknowns that no curved law touches follow the others by a fixed linear map. They are eliminated once a sample (Schur
complement),
so that each Newton step solves only for the nets where something curved is connected.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array
from lidoff.circuit.solve.assemble import Matrices, System, dense_of

__all__ = ["Reduction", "reduced"]

LEAST_SAMPLES = 16  # below, setting up costs more than the smaller solves save
LEAST_SHARE = 0.3  # of the unknowns that must go for it to be worth while
WORST_CONDITION = 1e13  # of the eliminated block, in the first sample


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reduction:
    """Smaller equations, and the way back.

    Attributes
    ----------
    system : System
        With the touched unknowns only.
    base : ndarray of shape (B, M·M)
    constant : ndarray of shape (B, M)
    expand : callable (B', M), rows → (B', N)
        All unknowns from the touched ones, for chosen samples.
    kept : ndarray of int, shape (M,)
        Positions of the touched unknowns.
    """

    system: System
    base: Array
    constant: Array
    expand: Callable[[Array], Array]
    kept: NDArray[np.intp]


def _touched(system: System) -> NDArray[np.bool_]:
    matrices = system.curved_matrices
    ports = np.abs(dense_of(matrices.ports)[:-1]).sum(axis=1) > 0.0
    outputs = np.abs(dense_of(matrices.outputs)).sum(axis=0) > 0.0
    return np.asarray(ports | outputs, dtype=np.bool_)


def reduced(system: System, base: Array, constant: Array, samples: int) -> Reduction | None:
    """Eliminate what is only linear, if that is worth while and well conditioned.

    Parameters
    ----------
    system : System
        Solved densely.
    base : ndarray of shape (B, N·N) or (1, N·N)
        Constant part of the Jacobian.
    constant : ndarray of shape (B, N)
        Constant right-hand side.
    samples : int
        B.

    Returns
    -------
    Reduction or None
    """
    if samples < LEAST_SAMPLES or not system.curved:
        return None
    size = system.size
    full = base.reshape(-1, size, size)
    keep = _touched(system)
    # A branch current stays when the nets of its constraint stay: its row would have nothing to stand on.
    pattern = np.abs(full[0]) > 0.0
    for row in np.flatnonzero(~system.is_voltage & ~keep):
        others = pattern[row].copy()
        others[row] = False
        keep[row] = bool(keep[others].all()) and full[0][row, row] == 0.0
    out = np.flatnonzero(~keep)
    if len(out) < LEAST_SHARE * size or np.linalg.cond(full[0][np.ix_(out, out)]) > WORST_CONDITION:
        return None
    stay = np.flatnonzero(keep)
    return _schur(system, full, constant, samples, stay.astype(np.intp), out.astype(np.intp))


def _schur(
    system: System,
    full: Array,
    constant: Array,
    samples: int,
    stay: NDArray[np.intp],
    out: NDArray[np.intp],
) -> Reduction | None:
    depth = max(full.shape[0], 1)
    to_stay = full[:, out[:, None], stay]
    if depth == 1:
        right = np.concatenate([to_stay[0], constant[:, out].T], axis=1)
        solved = np.linalg.solve(full[0][np.ix_(out, out)], right)
        follow, offset = solved[None, :, : len(stay)], solved[:, len(stay) :].T
    else:
        right = np.concatenate([to_stay, constant[:, out, None]], axis=2)
        try:
            solved = np.linalg.solve(full[:, out[:, None], out], right)
        except np.linalg.LinAlgError:
            return None
        follow, offset = solved[:, :, :-1], solved[:, :, -1]
    cross = full[:, stay[:, None], out]
    base = full[:, stay[:, None], stay] - cross @ follow
    shift = (cross @ offset[:, :, None])[:, :, 0] if depth > 1 else offset @ cross[0].T
    small = constant[:, stay] - shift

    def expand(x: Array) -> Array:
        whole = np.empty((samples, system.size))
        whole[:, stay] = x
        whole[:, out] = offset - ((follow @ x[:, :, None])[:, :, 0] if depth > 1 else x @ follow[0].T)
        return whole

    return Reduction(
        system=_smaller(system, stay),
        base=np.ascontiguousarray(base).reshape(depth, -1),
        constant=small,
        expand=expand,
        kept=stay,
    )


def _smaller(system: System, stay: NDArray[np.intp]) -> System:
    size, small = system.size, len(stay)
    place = np.full(size, -1, dtype=np.intp)
    place[stay] = np.arange(small)
    matrices = system.curved_matrices
    rows, columns = np.divmod(matrices.cells, size)
    ports = dense_of(matrices.ports)
    return replace(
        system,
        variables=tuple(system.variables[index] for index in stay),
        is_voltage=system.is_voltage[stay],
        curved_matrices=Matrices(
            ports=np.concatenate([ports[stay], ports[-1:]]),
            outputs=dense_of(matrices.outputs)[:, stay],
            entries=matrices.entries,
            cells=(place[rows] * small + place[columns]).astype(np.intp),
            pair_rows=dense_of(matrices.pair_rows)[:, stay],
            pair_port=matrices.pair_port,
        ),
    )
