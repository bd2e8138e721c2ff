"""What supplies give after a fault where nobody told how much they can: a common one, and not thousands of amperes."""

from __future__ import annotations

from collections.abc import Mapping

from lidoff.circuit import Circuit, Part, Situation, Solution, kind_of

__all__ = ["AMPLE", "over_ample", "with_ample"]

AMPLE = 3.0
"""Current that a supply of which no resistance is told gives into a short [A]: as much as a common USB charger does (USB Type-C
without a marked cable, 3 A at 5 V, from memory)."""
TIMES = 3.0
"""It gives at least so many times what the whole circuit takes; our choice."""


def _is_bare(part: Part, situation: Situation) -> bool:
    """Whether it is a steady voltage of which no resistance is told, which solved by itself would give any current."""
    parameters = kind_of(part).parameters_of(part)
    told = {**part.values, **situation.settings.get(part.reference, {})}
    return (
        kind_of(part).supplies
        and {"voltage", "resistance", "connected"} <= set(parameters)
        and "frequency" not in parameters
        and "resistance" not in told
    )


def over_ample(
    circuit: Circuit, situation: Situation, solution: Solution, sample: int, whole: int
) -> Mapping[str, float]:
    """Supplies that would have to give more than any common one, with their most current [A].

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
        As solved.
    solution : Solution
    sample, whole : int
        Rows of the fault and of the whole circuit.

    Returns
    -------
    mapping of str to float
        By reference; empty where all can give what the fault takes.
    """
    found = {}
    for part in circuit.parts:
        if not _is_bare(part, situation):
            continue
        currents = solution.current(part.reference)
        most = max(AMPLE, TIMES * abs(float(currents[whole])))
        if abs(float(currents[sample])) > most:
            found[part.reference] = most
    return found


def with_ample(circuit: Circuit, situation: Situation, most: Mapping[str, float]) -> Situation:
    """Situation in which these supplies have the resistance that holds them to their most current in a short."""
    settings = {reference: dict(values) for reference, values in situation.settings.items()}
    for reference, amperes in most.items():
        own = settings.setdefault(reference, {})
        volts = own.get("voltage", circuit.part(reference).values.get("voltage", 0.0))
        own["resistance"] = abs(float(volts)) / amperes
    return Situation(name=situation.name, settings=settings, title=situation.title)
