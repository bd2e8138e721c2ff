"""What rests on nets whose voltage nothing fixes, such as the middle of two capacitors in series or an open gate."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from lidoff.circuit.kind import Array
from lidoff.circuit.netlist import Part, Situation
from lidoff.circuit.operating import operating_point
from lidoff.circuit.path import path_of
from lidoff.circuit.solution import Solution
from lidoff.errors import LidoffError

__all__ = ["bridges_islands", "rests_on_loose"]

PULL = 1e9
"""Resistance over which loose nets are pulled elsewhere [Ω]: much beside what ties any net, little beside what ties none."""
MOVED = 1e-2
"""Share of a number from which it counts as moved; our choice."""
FAINT = 1e-6
"""Change, in the kept unit, that never counts: a pull by tens of volts drives tens of nanoamperes."""


def bridges_islands(solution: Solution, reference: str) -> bool:
    """Whether the two ends of a part's main path lie in islands that nothing joins at rest, so that nothing fixes its voltage.

    Parameters
    ----------
    solution : Solution
    reference : str
        Of the part.

    Returns
    -------
    bool
        False for a part without a main path.
    """
    if not solution.has_path(reference):
        return False
    part = solution.circuit.part(reference)
    first, second = (solution.system.references[part.pins[pin]] for pin in path_of(part))
    return first != second


def rests_on_loose(solution: Solution, index: int, ask: Callable[[Solution], Array]) -> bool:
    """Whether a number of an operating point would be another if the nets that nothing fixes lay elsewhere.

    Parameters
    ----------
    solution : Solution
    index : int
        Which of its samples.
    ask : callable (Solution) → ndarray of shape (B,)
        Takes the number out of a solution.

    Returns
    -------
    bool
        False where every net is fixed. Else the loose nets are pulled beyond all others, and the circuit is solved anew; True
        as well where it does not settle then.
    """
    if not solution.undetermined[index]:
        return False
    pulled = _pulled(solution, index)
    if pulled is None:
        return True
    before, after = float(ask(solution)[index]), float(ask(pulled)[0])
    return not abs(after - before) <= FAINT + MOVED * abs(before)


@lru_cache(maxsize=16)  # many readings of one situation ask for the same
def _pulled(solution: Solution, index: int) -> Solution | None:
    """The sample with its loose nets pulled up; None where that does not settle."""
    circuit, loose = solution.circuit, solution.undetermined[index]
    fixed = [abs(float(solution.voltage(net)[index])) for net in circuit.nets if net not in loose]
    volts = 1.0 + max(fixed, default=0.0)
    pulls = [
        Part(
            reference=f"pull of {net}",
            kind="dc_supply",
            pins={"plus": net, "minus": circuit.ground},
            values={"voltage": volts, "resistance": PULL},
        )
        for net in sorted(loose)
    ]
    settings: dict[str, dict[str, float]] = {}
    for (reference, name), values in solution.table.items():
        settings.setdefault(reference, {})[name] = float(values[index if len(values) > 1 else 0])
    situation = Situation(name=solution.labels[index], settings=settings)
    try:
        found = operating_point(circuit.with_parts(pulls), situations=(situation,))
    except LidoffError:
        return None
    return found if found.settled[0] else None
