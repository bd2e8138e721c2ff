"""What a fault does beyond heat: to the fuses in the way, to cells, and to what can be touched."""

from __future__ import annotations

from collections.abc import Iterator

from lidoff.circuit import Circuit, Solution, settings_of
from lidoff.hazards.fuses import fuse_at
from lidoff.hazards.subject import Subject
from lidoff.hazards.watching import is_cell, is_fuse

__all__ = ["WORSE", "cells_told", "fuses_told", "live_nets"]

WORSE = 1.1  # an overload counts as an effect where it is so much above that of the whole circuit


def fuses_told(
    circuit: Circuit, solution: Solution, sample: int, failing: str, *, scale: float
) -> Iterator[str]:
    """What each fuse does; `scale` turns a crest into an effective value."""
    for part in circuit.parts:
        if not is_fuse(part) or part.reference == failing:
            continue
        numbers = settings_of(part)
        current = scale * abs(float(solution.current(part.reference)[sample]))
        what = fuse_at(numbers, current)
        if what:
            yield f"{part.reference} {what}"


def cells_told(circuit: Circuit, solution: Solution, sample: int, whole: int, failing: str) -> str:
    """What a cell sees beyond its rating; a short of the cell itself is told among the cells."""
    for part in circuit.parts:
        if not is_cell(part) or part.reference == failing:
            continue
        numbers = settings_of(part)
        current = float(solution.current(part.reference)[sample])
        before = float(solution.current(part.reference)[whole])
        if abs(current) > numbers["current_rating"] and abs(current) > WORSE * abs(before):
            way = "takes" if current > 0.0 else "gives"
            share = abs(current) / numbers["current_rating"]
            return f"{part.reference} {way} {abs(current):.3g} A, {share:.1f} times its rating"
    return ""


def live_nets(subject: Subject, solution: Solution, sample: int, limit: float) -> tuple[str, ...]:
    """Nets within reach that stand above a limit [V], with their voltage."""
    return tuple(
        f"{subject.touchable(net)} at {abs(float(solution.voltage(net)[sample])):.0f} V"
        for net in subject.accessible
        if net in solution.system.references and abs(float(solution.voltage(net)[sample])) > limit
    )
