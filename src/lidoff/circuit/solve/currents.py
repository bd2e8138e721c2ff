"""Currents into the pins of all parts, from the unknowns of a solved circuit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from lidoff.circuit.kind import Array, Law
from lidoff.circuit.netlist import Circuit, Pin
from lidoff.circuit.solve.assemble import Group, Placed, System, Table

__all__ = ["group_ports", "pin_currents"]


def pin_currents(
    circuit: Circuit,
    system: System,
    table: Table,
    unknowns: Array,
    *,
    rates: Array | None = None,
    times: Array | None = None,
) -> Mapping[Pin, Array]:
    """Currents from the nets into the pins.

    Parameters
    ----------
    circuit : Circuit
    system : System
    table : mapping
        Parameters of all parts.
    unknowns : ndarray of shape (B, N)
        Samples, or instants.
    rates : ndarray of shape (B, N), optional
        Rates of change, for the currents that charge what stores.
    times : ndarray of shape (B,), optional
        Instants of the samples [s]; zero without it.

    Returns
    -------
    mapping of Pin to ndarray of shape (B,)
        [A].
    """
    count = len(unknowns)
    currents = {Pin(part.reference, pin): np.zeros(count) for part in circuit.parts for pin in part.pins}
    blank = np.zeros((count, 1))
    x = np.concatenate([unknowns, blank], axis=1)
    moving = None if rates is None else np.concatenate([rates, blank], axis=1)
    for group in (*system.linear, *system.curved):
        parameters = dict(group.parameters(table, slice(None)))
        parameters["time"] = np.zeros((1, 1)) if times is None else times[:, None]
        law = group.law
        values = law.respond(group_ports(group, system, x), parameters).values
        _add(law, group.placed, law.rows, values, currents)
        if law.store is not None and moving is not None:
            values = law.store(group_ports(group, system, moving), parameters).values
            _add(law, group.placed, law.store_rows, values, currents)
    return currents


def group_ports(group: Group, system: System, source: Array) -> tuple[Array, ...]:
    """Ports of a group, each of shape (B, K), from unknowns (B, N + 1) whose last column is the reference's 0 V."""
    places = [dict(zip(group.law.variables, placed.variables, strict=True)) for placed in group.placed]
    ports = []
    for port in group.law.ports:
        total = np.zeros((len(source), len(places)))
        for name, weight in port.items():
            total += weight * source[:, [system.position[place[name]] for place in places]]
        ports.append(total)
    return tuple(ports)


def _add(
    law: Law,
    placed: Sequence[Placed],
    rows: Sequence[Mapping[str, float]],
    values: Sequence[Array],
    currents: Mapping[Pin, Array],
) -> None:
    for row, response in zip(rows, values, strict=True):
        for k, one in enumerate(placed):
            for name, weight in row.items():
                if name not in law.terminals:
                    continue
                join = one.element.joins[law.terminals.index(name)]
                if not join.startswith("~"):
                    pin = currents[Pin(one.part.reference, join)]
                    pin += weight * response[:, min(k, response.shape[1] - 1)]
