"""How long it takes to recognise blocks, against the promise of 150 ms at 50 parts, and how that grows."""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable
from functools import partial

from benchmarks.composites import composites
from benchmarks.measurement import Measurement
from lidoff.circuit import Circuit, all_kinds
from lidoff.insight import all_blocks, contrast, recognise, unnamed_parts

__all__ = ["measure"]

PROMISE = 0.150
"""Longest time at 50 parts [s]."""
PARTS = 50
SIZES = (25, 50, 100, 200)
STEEPEST = 2.0
"""Highest power of the number of parts with which the time may grow."""
ROUNDS = 7


def _of_size(parts: int, seed: int) -> Circuit:
    """A board of examples with so many parts, give or take one example."""
    together = 2
    while True:
        circuit = composites(number=1, together=together, seed=seed)[0].circuit
        if len(circuit.parts) >= parts:
            return circuit
        together += 1


def _median(work: Callable[[], object]) -> float:
    work()
    times = []
    for _ in range(ROUNDS):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def _exponent(seconds: dict[int, float]) -> float:
    """Slope of log time over log size, by least squares."""
    points = [(math.log(size), math.log(value)) for size, value in seconds.items()]
    middle = [sum(axis) / len(points) for axis in zip(*points, strict=True)]
    over = math.fsum((x - middle[0]) * (y - middle[1]) for x, y in points)
    return over / math.fsum((x - middle[0]) ** 2 for x, _ in points)


def measure() -> list[Measurement]:
    """Recognition, guesses and comparison."""
    all_kinds(), all_blocks()
    boards = {size: _of_size(size, seed=11) for size in SIZES}
    seconds = {len(board.parts): _median(partial(recognise, board)) for board in boards.values()}
    worst = max(_median(partial(recognise, board)) for board in (_of_size(PARTS, seed) for seed in range(5)))
    fifty = boards[PARTS]
    others = {
        "chips without a name": _median(lambda: unnamed_parts(fifty)),
        "comparing with itself": _median(lambda: contrast(fifty, fifty)),
    }
    exponent = _exponent(seconds)
    return [
        Measurement(
            name=f"recognise blocks of {PARTS} parts, worst of five boards, over {PROMISE * 1e3:.0f} ms",
            ratio=worst / PROMISE,
            limit=1.0,
            seconds={f"{size} parts": value for size, value in seconds.items()} | {"worst of five": worst},
            details={"kinds of block": float(len(all_blocks()))},
        ),
        Measurement(
            name=f"growth of recognition with the number of parts, over the power {STEEPEST:g}",
            ratio=exponent / STEEPEST,
            limit=1.0,
            details={"exponent": exponent},
        ),
        Measurement(
            name=f"guess and compare {PARTS} parts, over recognition",
            ratio=sum(others.values()) / seconds[len(fifty.parts)],
            seconds=others,
        ),
    ]
