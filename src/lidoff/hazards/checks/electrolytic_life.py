"""How long wet electrolytic capacitors last, by the rule of ten kelvin."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import Part, Solution, Waveforms, figures, kind_of, settings_of
from lidoff.circuit.kind import Array
from lidoff.evidence import titled
from lidoff.hazards.check import Hazard, HazardCheck, at_least
from lidoff.hazards.limits import limit_table
from lidoff.hazards.subject import Subject
from lidoff.hazards.thermal import air_around
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS", "life_at"]

HOUR = 3600.0  # [s]


def life_at(life: float, rated: float, core: float) -> float:
    """Life of an electrolytic capacitor at a temperature, by the rule of ten kelvin.

    Parameters
    ----------
    life : float
        At the rated temperature [h].
    rated, core : float
        Rated temperature, and that of its core [°C].

    Returns
    -------
    float
        L·2^((T_rated − T)/10) [h], no more than six doublings.

    Examples
    --------
    >>> life_at(2000.0, 105.0, 65.0)
    32000.0
    """
    table = limit_table("electrolytic_life").entries
    doublings = min((rated - core) / table["doubling"], table["most_doublings"])
    result: float = life * 2.0**doublings
    return result


def _look(subject: Subject) -> tuple[Hazard, ...]:
    if subject.spreading is None or not subject.situations:
        return ()
    parts = [part for part in subject.circuit.parts if _is_wet(part)]
    return tuple(_held(subject, part) for part in parts)


def _is_wet(part: Part) -> bool:
    return any(rating.of == "ripple current" for rating in kind_of(part).ratings)


def _current(reference: str, solved: Solution | Waveforms) -> Array:
    return solved.current(reference)


def _ripple(subject: Subject, part: Part) -> tuple[float, str]:
    """Highest effective ripple current [A] and the situation; nothing ripples at rest."""
    found = [(0.0, "")]
    for repeating in subject.repeating:
        if repeating.waveforms is not None:
            told = figures(repeating.waveforms.times, _current(part.reference, repeating.waveforms))
            found.append((told.alternating, repeating.situation.name))
    return max(found)


def _long(hours: float) -> str:
    years = hours / 8766.0
    return f"{years:.0f} years" if years >= 3.0 else f"{100.0 * round(hours / 100.0):.0f} h"


def _held(subject: Subject, part: Part) -> Hazard:
    table = limit_table("electrolytic_life")
    numbers, entries = settings_of(part), table.entries
    life = numbers["rated_life"] / HOUR if "rated_life" in part.values else entries["rated_life"]
    rated = (
        numbers["rated_temperature"] if "rated_temperature" in part.values else entries["rated_temperature"]
    )
    ripple, situation = _ripple(subject, part)
    air, around = air_around(subject, part.reference)
    core = air.value + entries["self_heating"] * (ripple / numbers["ripple_rating"]) ** 2
    hours = life_at(life, rated, core)
    # Doubling each ten kelvin turns the air's kelvins into shares of the life.
    spread = hours * air.uncertainty * np.log(2.0) / entries["doubling"]
    found = Quantity(hours * HOUR, "s", float(spread) * HOUR)
    limit = Quantity(entries["least"] * HOUR, "s")
    untold = [
        words
        for key, words in (
            ("rated_life", f"a rated life of {entries['rated_life']:.0f} h"),
            ("rated_temperature", f"made for {entries['rated_temperature']:.0f} °C"),
            (
                "ripple_rating",
                f"a ripple rating of {format_quantity(Quantity(numbers['ripple_rating'], 'A'))}",
            ),
        )
        if key not in part.values
    ]
    carried = (
        f"carries {format_quantity(Quantity(ripple, 'A'), digits=2)} of ripple in {titled(situation)}, of a rating of "
        f"{format_quantity(Quantity(numbers['ripple_rating'], 'A'))}"
        if situation
        else "carries no ripple that was seen, as nothing changes with time"
    )
    return Hazard(
        check="electrolytic life",
        title=f"life of {part.reference}",
        outcome=at_least(found, limit),
        severity="note",
        what=f"{part.reference} {carried}; with its core at {core:.0f} °C the rule of ten kelvin gives it about "
        f"{_long(hours)} of running.",
        value=found,
        limit=limit,
        limit_says="a year without a pause",
        source=table.words,
        from_memory=True,
        assumed=(f"{around} at {format_quantity(air)}", *untold),
        parts=(part.reference,),
        situations=(situation,) if situation else (),
        remedy="feel or measure how warm it gets; a type for 105 °C with a longer rated life lasts",
    )


MEMBERS = (
    HazardCheck(
        name="electrolytic life",
        title="Life of electrolytic capacitors",
        look=_look,
        says="How long each electrolytic capacitor lasts by its rated life, its warmth and its ripple.",
        source="rule of ten kelvin; common practice, no source",
        not_checked=(
            "ripple of converters that switch faster than what was solved",
            "heat from neighbouring parts",
            "polymer types, which age by another rule",
        ),
    ),
)
