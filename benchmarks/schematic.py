"""How long a drawing takes: 30 parts, 100 parts, and how the time grows up to 200.

The floor is one dense solve of 400 unknowns by LAPACK in the same run, so that a slow machine slows both. What is promised,
half a second for 30 parts and three for 100 on the project's machine kind, stands beside it in seconds.
"""

from __future__ import annotations

import math
import time

import numpy as np

from benchmarks.measurement import Measurement
from benchmarks.plausible import plausible_circuit
from lidoff.circuit import Circuit
from lidoff.schematic import DrawingOptions, draw

PROMISED = {30: 0.5, 100: 3.0}
"""Seconds promised for so many parts."""
EXPONENT = 1.5
"""Highest power with which the time may grow."""


def circuit_of(parts: int) -> Circuit:
    """Random circuit of exactly so many parts, or a few less where the last piece would not fit."""
    for pieces in range(parts // 4 + 2, 0, -1):
        circuit = plausible_circuit(1, pieces)
        if len(circuit.parts) <= parts:
            return circuit
    return plausible_circuit(1, 1)


def _seconds(circuit: Circuit, rounds: int = 3) -> float:
    options = DrawingOptions(abbreviate=False)
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        draw(circuit, options=options)
        taken.append(time.perf_counter() - start)
    return sorted(taken)[len(taken) // 2]


def _floor() -> float:
    matrix = np.random.default_rng(1).normal(size=(400, 400)) + 40.0 * np.eye(400)
    taken = []
    for _ in range(9):
        start = time.perf_counter()
        np.linalg.solve(matrix, matrix[0])
        taken.append(time.perf_counter() - start)
    return sorted(taken)[4]


def measure() -> list[Measurement]:
    """Time of a drawing by its size, its growth, and of an edit that keeps what stood."""
    draw(circuit_of(12))  # imports and caches
    floor = _floor()
    sizes = (30, 60, 100, 200)
    circuits = {n: circuit_of(n) for n in sizes}
    seconds = {n: _seconds(circuits[n]) for n in sizes}
    logs = np.log([[len(circuits[n].parts), seconds[n]] for n in sizes])
    power = float(np.polyfit(logs[:, 0], logs[:, 1], 1)[0])
    before = draw(circuits[60], options=DrawingOptions(abbreviate=False))
    start = time.perf_counter()
    draw(circuits[60], options=DrawingOptions(abbreviate=False), before=before)
    edit = time.perf_counter() - start
    found = [
        Measurement(
            name=f"drawing of {n} parts over a dense solve of 400 unknowns",
            ratio=seconds[n] / floor,
            seconds={
                "drawing": seconds[n],
                "floor": floor,
                **({"promised": PROMISED[n]} if n in PROMISED else {}),
            },
            details={"parts": float(len(circuits[n].parts))},
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
