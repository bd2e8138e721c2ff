"""How long a drawing takes: 30 parts, 100 parts, and how the time grows up to 200.

Processor time, the median over several random circuits of a size, so that neither a busy machine nor one lucky circuit tells.
The floor is one dense solve of 400 unknowns by LAPACK in the same run, so that a slow machine slows both. What is promised,
half a second for 30 parts and three for 100 on the project's machine kind, stands beside it in seconds.
"""

from __future__ import annotations

import math
import time
from statistics import median

import numpy as np

from benchmarks.measurement import Measurement
from benchmarks.plausible import plausible_circuit
from lidoff.circuit import Circuit
from lidoff.schematic import Drawing, DrawingOptions, draw

PROMISED = {30: 0.5, 100: 3.0}
"""Seconds promised for so many parts."""
EXPONENT = 1.5
"""Highest power with which the time may grow."""


SEEDS = (1, 2, 3, 4, 5)
"""Of the random circuits of each size."""


def circuit_of(parts: int, seed: int = 1) -> Circuit:
    """Random circuit of exactly so many parts, or a few less where the last piece would not fit."""
    for pieces in range(parts // 4 + 2, 0, -1):
        circuit = plausible_circuit(seed, pieces)
        if len(circuit.parts) <= parts:
            return circuit
    return plausible_circuit(seed, 1)


def _seconds(circuit: Circuit, before: Drawing | None = None) -> float:
    start = time.process_time()
    draw(circuit, options=DrawingOptions(abbreviate=False), before=before)
    return time.process_time() - start


def _floor() -> float:
    matrix = np.random.default_rng(1).normal(size=(400, 400)) + 40.0 * np.eye(400)
    taken = []
    for _ in range(9):
        start = time.process_time()
        np.linalg.solve(matrix, matrix[0])
        taken.append(time.process_time() - start)
    return sorted(taken)[4]


def measure() -> list[Measurement]:
    """Time of a drawing by its size, its growth, and of an edit that keeps what stood."""
    draw(circuit_of(12))  # imports and caches
    floor = _floor()
    sizes = (30, 60, 100, 200)
    circuits = {n: [circuit_of(n, seed) for seed in SEEDS] for n in sizes}
    taken = {n: [_seconds(circuit) for circuit in circuits[n]] for n in sizes}
    seconds = {n: median(taken[n]) for n in sizes}
    parts = {n: median(len(circuit.parts) for circuit in circuits[n]) for n in sizes}
    logs = np.log([[parts[n], seconds[n]] for n in sizes])
    power = float(np.polyfit(logs[:, 0], logs[:, 1], 1)[0])
    before = [draw(circuit, options=DrawingOptions(abbreviate=False)) for circuit in circuits[60]]
    edit = median(_seconds(circuit, earlier) for circuit, earlier in zip(circuits[60], before, strict=True))
    found = [
        Measurement(
            name=f"drawing of {n} parts over a dense solve of 400 unknowns",
            ratio=seconds[n] / floor,
            seconds={
                "drawing": seconds[n],
                "floor": floor,
                **({"promised": PROMISED[n]} if n in PROMISED else {}),
            },
            details={"parts": float(parts[n]), "slowest": max(taken[n])},
        )
        for n in sizes
    ]
    found.extend(
        Measurement(
            name=f"drawing of {n} parts over its promise",
            ratio=seconds[n] / promised,
            limit=1.0,
            seconds={"drawing": seconds[n]},
        )
        for n, promised in PROMISED.items()
    )
    found.append(
        Measurement(
            name="power with which drawing time grows, over its promise", ratio=power / EXPONENT, limit=1.0,
            details={"power": power},
        )
    )  # fmt: skip
    found.append(
        Measurement(
            name="redrawing 60 parts after an edit over drawing them anew",
            ratio=edit / seconds[60],
            limit=0.5,
            seconds={"edit": edit, "anew": seconds[60]},
        )
    )
    assert all(math.isfinite(one.ratio) for one in found)
    return found
