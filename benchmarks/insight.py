"""Reasoning over readings: all slips of a circuit of forty parts, and the next reading, against as many plain solves."""

from __future__ import annotations

import time
from collections.abc import Callable

from benchmarks.measurement import Measurement
from lidoff.circuit import operating_point
from lidoff.insight import rank_readings, rank_slips
from tests.slipped.bench import bench_of, readings_of, usual_readings
from tests.slipped.gadgets import Gadget, all_gadgets

__all__ = ["measure"]

SLIPS_SECONDS = 5.0
"""Promised for all slips of a circuit of about forty parts [s]."""
NEXT_SECONDS = 2.0
"""Promised for the next reading, its explanations at hand [s]."""
SOLVES = 40
"""Plain solves whose mean is the floor."""
ROUNDS = 3


def _best(work: Callable[[], object]) -> float:
    """Shortest of a few runs [s]: what stands in the way of others is not counted."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def _gadget() -> Gadget:
    return next(one for one in all_gadgets() if one.name == "crumb-vacuum")


def measure() -> list[Measurement]:
    """Slips and next readings of the largest demo, with its readings taken anew.

    Returns
    -------
    list of Measurement
        For each, its time over the time promised, and beside it how many plain solves of one wiring would take as long.
    """
    import random

    gadget = _gadget()
    draw = random.Random("insight")
    watched = readings_of(bench_of(gadget, None, "insight"), gadget, usual_readings(gadget, draw))
    situations = list(gadget.situations)
    plain = (
        _best(lambda: [operating_point(gadget.circuit, situations=situations) for _ in range(SOLVES)])
        / SOLVES
    )
    ranking = rank_slips(gadget.circuit, situations, watched)
    slips = _best(lambda: rank_slips(gadget.circuit, situations, watched))
    following = _best(lambda: rank_readings(ranking))
    details = {
        "parts": float(len(gadget.circuit.parts)),
        "nets": float(len(gadget.circuit.nets)),
        "readings": float(len(watched)),
        "slips": float(ranking.looked_at),
    }
    return [
        Measurement(
            name="all slips of forty parts, seconds over those promised",
            ratio=slips / SLIPS_SECONDS,
            limit=1.0,
            seconds={"ours": slips, "one plain solve": plain},
            details={**details, "plain solves in that time": slips / plain},
        ),
        Measurement(
            name="next reading of forty parts, seconds over those promised",
            ratio=following / NEXT_SECONDS,
            limit=1.0,
            seconds={"ours": following, "one plain solve": plain},
            details={"plain solves in that time": following / plain},
        ),
        Measurement(
            name="all slips as one batch, over solving each slip plainly",
            ratio=slips / (ranking.looked_at * plain),
            limit=0.2,
            seconds={"ours": slips, "one by one": ranking.looked_at * plain},
        ),
    ]
