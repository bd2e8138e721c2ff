"""Laws that can be taken out of the circuit sample by sample, for faults."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np

from lidoff.circuit.kind import Array, Law, Parameters, Ports, Response

__all__ = ["ALIVE", "interruptible"]

ALIVE = "alive"


@cache
def interruptible(law: Law) -> Law:
    """Return the law with a further parameter ``alive``: 1 as it is, 0 as if it were not there.

    A dead law carries no current; its own unknowns, such as a branch current, are held at zero.

    Parameters
    ----------
    law : Law

    Returns
    -------
    Law
        The same object for the same law.
    """
    own: tuple[Mapping[str, float], ...] = tuple({unknown: 1.0} for unknown in law.unknowns)
    ports = (*law.ports, *own)
    idle = {
        output: len(law.ports) + law.unknowns.index(next(iter(row)))
        for output, row in enumerate(law.rows)
        if len(row) == 1 and next(iter(row)) in law.unknowns
    }
    pairs = (*law.pairs, *idle.items())

    def respond(values: Ports, p: Parameters) -> Response:
        inner = law.respond(values[: len(law.ports)], p)
        alive = p[ALIVE] + np.zeros_like(values[0])
        results: list[Array] = []
        for output, result in enumerate(inner.values):
            rest = (1.0 - alive) * values[idle[output]] if output in idle else 0.0
            results.append(alive * result + rest)
        slopes = [alive * slope for slope in inner.slopes]
        slopes.extend(1.0 - alive for _ in idle)
        return Response(tuple(results), tuple(slopes))

    def limit(new: Ports, old: Ports, p: Parameters) -> Ports:
        count = len(law.ports)
        if law.limit is None:
            return new
        return (*law.limit(new[:count], old[:count], p), *new[count:])

    return Law(
        name=f"{law.name}, interruptible",
        terminals=law.terminals,
        unknowns=law.unknowns,
        ports=ports,
        rows=law.rows,
        pairs=pairs,
        respond=respond,
        linear=law.linear,
        timed=law.timed,
        limit=limit if law.limit is not None else None,
    )
