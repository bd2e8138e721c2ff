"""Where one sparse factorisation becomes faster than one dense solve, for circuits as they come."""

from __future__ import annotations

import numpy as np

from benchmarks.measurement import Measurement, interleaved_medians
from benchmarks.plausible import resistive_sheet
from lidoff.circuit.solve import newton
from lidoff.circuit.solve.assemble import assemble, table_of
from lidoff.circuit.solve.homotopy import solve_batch

__all__ = ["measure"]


def measure() -> list[Measurement]:
    """Sparse over dense by the number of unknowns; nothing is promised, the crossing sets `DENSE_SIZE`."""
    found = []
    kept = newton.DENSE_SIZE
    try:
        for side in (5, 7, 9, 11, 13, 16, 20):
            circuit = resistive_sheet(side, side)
            system, table = assemble(circuit), table_of(circuit)

            def run(limit: int, system=system, table=table) -> object:  # type: ignore[no-untyped-def]
                newton.DENSE_SIZE = limit
                return solve_batch(system, table, samples=1)

            seconds = interleaved_medians({"sparse": lambda: run(0), "dense": lambda: run(10_000)}, rounds=21)
            found.append(
                Measurement(
                    name=f"sparse over dense at {system.size} unknowns",
                    ratio=seconds["sparse"] / seconds["dense"],
                    seconds=seconds,
                    details={"unknowns": float(np.int64(system.size))},
                )
            )
    finally:
        newton.DENSE_SIZE = kept
    return found
