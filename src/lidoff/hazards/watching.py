"""The loads that are watched while a circuit fails."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from lidoff.circuit import Circuit, Part, Solution, Waveforms, kind_of, settings_of
from lidoff.circuit.kind import Array
from lidoff.circuit.path import has_path
from lidoff.hazards.bodies import rating_of_body
from lidoff.hazards.fault_effect import Overload

__all__ = ["Watch", "chemistry_of", "is_cell", "is_fuse", "watched_loads"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """One load that is watched in all samples.

    Attributes
    ----------
    part : Part
    rating : str
        Parameter that holds its limit.
    unit : str
        Of load and limit.
    told : bool
        Whether the dossier tells the limit.
    limit : float
    ask : callable (Solution or Waveforms) → ndarray of shape (S,)
        The load in every sample, or at every instant, signed.
    """

    part: Part
    rating: str
    unit: str
    told: bool
    limit: float
    ask: Callable[[Solution | Waveforms], Array]

    def sizes(self, solution: Solution) -> Array:
        """Load in every sample, without sign."""
        return np.abs(self.ask(solution))

    def overload(self, load: float) -> Overload:
        """What a load beyond the limit is told as."""
        return Overload(
            reference=self.part.reference,
            rating=self.rating,
            load=load,
            limit=self.limit,
            unit=self.unit,
            told=self.told,
        )


def watched_loads(circuit: Circuit) -> tuple[Watch, ...]:
    """Loads that tell of harm: power where a part has a rating for it, else the current, of a capacitor the voltage.

    Parameters
    ----------
    circuit : Circuit

    Returns
    -------
    tuple of Watch
        One a part; fuses and cells are told apart and left out.
    """
    found = []
    for part in circuit.parts:
        kind = kind_of(part)
        numbers = settings_of(part)
        ratings = {rating.of: rating for rating in kind.ratings if rating.name in numbers}
        rating = ratings.get("power") or ratings.get("current") or ratings.get("contact current")
        if rating is None and "capacitance" in numbers:
            rating = ratings.get("voltage")
        if is_fuse(part) or is_cell(part):
            continue  # told apart
        ask = None if rating is None else _load(part, rating.of)
        if rating is None or ask is None:
            continue
        told = rating.name in part.values
        body = None if told else rating_of_body(part, rating.name)
        found.append(
            Watch(
                part=part,
                rating=rating.name,
                unit=rating.unit,
                told=told,
                limit=numbers[rating.name] if body is None else body.value,
                ask=ask,
            )
        )
    return tuple(found)


def is_fuse(part: Part) -> bool:
    """Whether the part opens by itself when too much passes."""
    parameters = kind_of(part).parameters_of(part)
    return "trip_current" in parameters or ("state" in parameters and "blown" in parameters["state"].words)


def is_cell(part: Part) -> bool:
    """Whether the part is a cell or battery."""
    return {"capacity", "current_rating"} <= set(kind_of(part).parameters_of(part))


def chemistry_of(part: Part) -> str:
    """What a cell is made of, as a situation without settings of its own has it; empty for other parts."""
    if not is_cell(part):
        return ""
    words = kind_of(part).parameters_of(part)["chemistry"].words
    code = settings_of(part)["chemistry"]
    return next(word for word, number in words.items() if number == code)


def _load(part: Part, of: str) -> Callable[[Solution | Waveforms], Array] | None:
    """What a rating limits; None where the part's pins in use do not show it."""
    reference = part.reference
    if of == "power":
        return lambda solution: solution.power(reference)
    if of == "contact current":
        pins = [pin for _, pin in kind_of(part).contacts(part)]
        return partial(_most_in, reference, pins) if pins else None
    if not has_path(part):
        return None
    if of == "current":
        return lambda solution: solution.current(reference)
    return lambda solution: solution.part_voltage(reference)


def _most_in(reference: str, pins: Sequence[str], solution: Solution | Waveforms) -> Array:
    """Current of the contact that bears most, without sign."""
    sizes: Array = np.max([np.abs(solution.pin_current(reference, pin)) for pin in pins], axis=0)
    return sizes
