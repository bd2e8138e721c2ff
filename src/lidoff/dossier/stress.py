"""Every part's load beside its simple ratings, in every situation at rest."""

from __future__ import annotations

from collections.abc import Callable

from lidoff.circuit import Circuit, Part, Prediction, Rating, Situation, Solution, kind_of, settings_of
from lidoff.circuit.kind import Array
from lidoff.dossier.analysis import Stress
from lidoff.dossier.asking import spread_quantity
from lidoff.dossier.solving import Solved
from lidoff.quantities import Quantity

__all__ = ["stresses_of"]


def stresses_of(circuit: Circuit, solved: Solved) -> tuple[Stress, ...]:
    """Highest load of each part on each rating.

    Parameters
    ----------
    circuit : Circuit
    solved : Solved
        Its situations.

    Returns
    -------
    tuple of Stress
        The nearest to its limit first. Ratings that an operating point cannot show are left out.
    """
    if solved.spreading is None:
        return ()
    found: list[Stress] = []
    situations = {result.name: result.situation for result in solved.results}
    for part in circuit.parts:
        for rating in kind_of(part).ratings:
            ask = _load(part, rating)
            if ask is None:
                continue
            prediction = solved.spreading.of(ask)
            loads = [
                stress
                for name, index in solved.place.items()
                if (stress := _stress(part, rating, situations[name], prediction, index)) is not None
            ]
            if loads:
                found.append(max(loads, key=lambda stress: stress.share))
    return tuple(sorted(found, key=lambda stress: (-stress.share, stress.reference, stress.rating)))


def _stress(
    part: Part, rating: Rating, situation: Situation, prediction: Prediction, index: int
) -> Stress | None:
    settings = settings_of(part, situation.settings.get(part.reference))
    if rating.name not in settings:
        return None
    load = spread_quantity(prediction, index, rating.unit)
    size = max(load.value, 0.0) if rating.of == "reverse voltage" else abs(load.value)
    return Stress(
        reference=part.reference,
        situation=situation.name,
        rating=rating.name,
        load=Quantity(size, load.unit, load.uncertainty),
        limit=Quantity(settings[rating.name], rating.unit),
        told=rating.name in part.values,
    )


def _load(part: Part, rating: Rating) -> Callable[[Solution], Array] | None:
    """What a rating limits, as a number of every sample; None where an operating point does not show it."""
    reference = part.reference
    path = kind_of(part).path
    has_path = len(path) == 2 and all(pin in part.pins for pin in path)
    if rating.of == "power":
        return lambda solution: solution.power(reference)
    if rating.of == "current" and has_path:
        return lambda solution: solution.current(reference)
    if rating.of == "voltage" and has_path:
        return lambda solution: solution.part_voltage(reference)
    if rating.of == "reverse voltage" and has_path:
        return lambda solution: -solution.part_voltage(reference)
    first, dash, second = rating.of.partition("-")
    if dash and first in part.pins and second in part.pins:
        one, other = part.pins[first], part.pins[second]
        return lambda solution: solution.voltage(one) - solution.voltage(other)
    return None
