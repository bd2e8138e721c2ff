"""What an analysis adds for understanding: all readings against the circuit together, and the budgets of the main loops."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from lidoff.circuit import Spreading
from lidoff.dossier.dead_readings import seen_without_power
from lidoff.dossier.solving import Solved
from lidoff.evidence import Comparison
from lidoff.insight import Budget, Foreseen, Misfit, Seen, main_budgets, misfit_of, seen_of

__all__ = ["Understood", "understood"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Understood:
    """What all readings and the solved circuit say together.

    Attributes
    ----------
    misfit : Misfit or None
        None where nothing was solved.
    budgets : tuple of Budget
        Of every solved situation.
    """

    misfit: Misfit | None
    budgets: tuple[Budget, ...]


def understood(
    solved: Solved,
    comparisons: Sequence[Comparison],
    single: str,
    dead: Sequence[Comparison] = (),
    foreseen: Mapping[str, Foreseen] | None = None,
    followed: Sequence[Seen] = (),
    loaded: Mapping[str, Spreading] | None = None,
    instants: Collection[str] = (),
) -> Understood:
    """Misfit of all readings, and the main budgets.

    Parameters
    ----------
    solved : Solved
        The situations.
    comparisons : sequence of Comparison
        Readings beside their predictions.
    single : str
        Situation of the readings that name none; empty where there are several.
    dead : sequence of Comparison, optional
        Readings without power beside their predictions.
    foreseen : mapping of str to Foreseen, optional
        Predictions of these, by the reading's name.
    followed : sequence of Seen, optional
        Readings beside one period.
    loaded : mapping of str to Spreading, optional
        By the reading's name: its situation solved with its meter, where that changes much.
    instants : collection of str, optional
        Situations of which the operating point shows one instant only, and which therefore have no budget.

    Returns
    -------
    Understood
        The budgets are narrowed by the readings unless these contradict the circuit as traced.
    """
    if solved.spreading is None:
        return Understood(misfit=None, budgets=())
    seen = (
        *_seen(solved, comparisons, single, loaded or {}),
        *seen_without_power(solved.spreading, dead, foreseen or {}),
        *followed,
    )
    misfit = misfit_of(solved.spreading, seen)
    knowledge = None if misfit.doubted or not misfit.readings else misfit.knowledge
    places: Mapping[str, int] = solved.place
    return Understood(
        misfit=misfit,
        budgets=tuple(
            budget
            for name, place in places.items()
            if name not in instants
            for budget in main_budgets(solved.spreading, place, knowledge=knowledge)
        ),
    )


def _seen(
    solved: Solved, comparisons: Sequence[Comparison], single: str, loaded: Mapping[str, Spreading]
) -> tuple[Seen, ...]:
    if solved.spreading is None:
        return ()
    names = [one.measured.reading.situation or single for one in comparisons]
    return seen_of(solved.spreading, comparisons, [solved.place[name] for name in names], loaded)
