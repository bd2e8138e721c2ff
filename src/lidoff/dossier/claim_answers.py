"""What claims ask of the solved circuit: at rest, or over one period where a supply or a pin changes with time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from lidoff.circuit import Circuit, PeriodicSpread, Situation, figures
from lidoff.dossier.asking import answer, spread_quantity
from lidoff.dossier.periods import Periods, rest_is_silent, values_of
from lidoff.dossier.solving import Solved
from lidoff.dossier.wiring import retarget
from lidoff.errors import UnknownName
from lidoff.evidence import FromSolution, InPart, OverPeriod, Solve, Target
from lidoff.hazards import alternating_supplies
from lidoff.quantities import Quantity, standard_from_limits

__all__ = ["answers_of"]

FOLLOWED_TO = 1e-3
"""Share of the effective value to which a figure of a followed period is known, by circuits with a closed form."""


def answers_of(
    circuit: Circuit,
    situations: Sequence[Situation],
    solved: Solved,
    names: Mapping[str, str],
    periods: Periods,
) -> Solve:
    """Answer what claims ask of a circuit.

    Parameters
    ----------
    circuit : Circuit
        As solved.
    situations : sequence of Situation
        Of the dossier.
    solved : Solved
        Their operating points.
    names : mapping of str to str
        Standing names of nets that wires join.
    periods : callable (Situation) → PeriodicSpread
        See `periods_of`.

    Returns
    -------
    callable (FromSolution) → Quantity or OverPeriod
        Over a period where a connected supply or a pin changes with time and no stand-in speaks for it; raises a `LidoffError`
        where the situation was not solved, no period is found, or the target is not in the circuit.
    """
    known = {one.name: one for one in situations}

    def answers(source: FromSolution) -> Quantity | OverPeriod:
        if solved.spreading is None:
            raise UnknownName("no circuit was solved")
        if source.situation not in solved.place:
            raise UnknownName(solved.not_solved(source.situation))
        target, situation = retarget(source.target, names), known[source.situation]
        if rest_is_silent(circuit, situation, target):
            return _over_period(circuit, situation, periods(situation), target)
        quantity, _ = answer(solved.spreading, solved.place[source.situation], target)
        return quantity

    return answers


def _over_period(circuit: Circuit, situation: Situation, waves: PeriodicSpread, target: Target) -> OverPeriod:
    ask = values_of(circuit, target)
    mean = spread_quantity(waves.of(lambda wave: figures(wave.times, ask(wave)).average), 0, target.unit)
    effective = spread_quantity(waves.of(lambda wave: figures(wave.times, ask(wave)).rms), 0, target.unit)
    known_to = FOLLOWED_TO * effective.value
    is_power = isinstance(target, InPart) and target.what == "power"
    return OverPeriod(
        mean=_known_to(mean, FOLLOWED_TO * abs(mean.value) if is_power else known_to),
        effective=None if is_power else _known_to(effective, known_to),
        pulsed=not alternating_supplies(circuit, situation),
    )


def _known_to(quantity: Quantity, limit: float) -> Quantity:
    """Quantity with the error of following a period besides the spread of the parts."""
    own = standard_from_limits(limit)
    return replace(quantity, uncertainty=(quantity.uncertainty**2 + own**2) ** 0.5)
