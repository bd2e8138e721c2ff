"""How the equations change with a parameter, and with that any result with every parameter, by the adjoint.

With ``F(x, p) = 0`` solved and a result ``y(x)``, one solve ``(dF/dx)ᵀ λ = dy/dx`` gives ``dy/dp = −λᵀ dF/dp`` for every
parameter at once [1]_.

References
----------
.. [1] S. W. Director, R. A. Rohrer, "The generalized adjoint network and network sensitivities", IEEE Trans. Circuit Theory
   16(3), 318-323, 1969.
"""

from __future__ import annotations

import numpy as np

from lidoff.circuit.kind import Array
from lidoff.circuit.solve.assemble import Group, System, Table
from lidoff.circuit.solve.currents import group_ports

__all__ = ["jacobian_at", "table_slope"]

RELATIVE_MOVE = (
    1e-6  # the laws are smooth; central differences at this step agree with their slopes to about 1e-9
)
LEAST_MOVE = 1e-9


def table_slope(system: System, table: Table, unknowns: Array, key: tuple[str, str]) -> Array:
    """Derivative of the equations with respect to one parameter, at fixed unknowns.

    Parameters
    ----------
    system : System
    table : mapping
        Parameters of all parts.
    unknowns : ndarray of shape (B, N)
    key : (str, str)
        Reference and parameter.

    Returns
    -------
    ndarray of shape (B, N)
        dF/dp by central difference.
    """
    reference, _ = key
    value = np.asarray(table[key], dtype=float)
    move = np.maximum(RELATIVE_MOVE * np.abs(value), LEAST_MOVE)
    up = _part_flow(system, {**table, key: value + move}, unknowns, reference)
    down = _part_flow(system, {**table, key: value - move}, unknowns, reference)
    return np.asarray((up - down) / (2.0 * move[:, None]), dtype=np.float64)


def _part_flow(system: System, table: Table, unknowns: Array, reference: str) -> Array:
    """Contribution of one part's elements to F, shape (B, N)."""
    own = {key: values for key, values in table.items() if key[0] == reference}
    padded = np.concatenate([unknowns, np.zeros((len(unknowns), 1))], axis=1)
    total = np.zeros((len(unknowns), system.size + 1))
    for group in (*system.linear, *system.curved):
        placed = tuple(one for one in group.placed if one.part.reference == reference)
        if not placed:
            continue
        small = Group(law=group.law, placed=placed)
        parameters = dict(small.parameters(own, slice(None)))
        parameters["time"] = np.zeros((1, 1))
        places = [dict(zip(group.law.variables, one.variables, strict=True)) for one in placed]
        ports = group_ports(small, system, padded)
        for row, values in zip(group.law.rows, group.law.respond(ports, parameters).values, strict=True):
            for k, place in enumerate(places):
                for name, weight in row.items():
                    total[:, system.position[place[name]]] += weight * values[:, k]
    return np.asarray(total[:, :-1], dtype=np.float64)


def jacobian_at(system: System, table: Table, unknowns: Array) -> Array:
    """dF/dx at given unknowns, shape (B, N, N)."""
    from lidoff.circuit.solve.stepping import Tolerance, dynamics_of

    dynamics = dynamics_of(system, table, len(unknowns), Tolerance())
    return dynamics.slope_matrix(dynamics.ports(unknowns), 0.0)
