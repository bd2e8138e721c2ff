"""Whether a cord of the mains is thick enough for the current that it carries."""

from __future__ import annotations

from functools import partial

from lidoff.circuit import Part, Solution, Waveforms, settings_of
from lidoff.circuit.kind import Array
from lidoff.evidence import titled
from lidoff.hazards.check import Hazard, HazardCheck, at_most
from lidoff.hazards.joins import dangerous_nets
from lidoff.hazards.limits import limit_table
from lidoff.hazards.loads import loads_of
from lidoff.hazards.subject import Subject
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS", "flex_current"]


def _look(subject: Subject) -> tuple[Hazard, ...]:
    mains = set(dangerous_nets(subject.circuit))
    # Only a cable tells its cross-section as a part that the dossier joins to the mains.
    cords = [
        part
        for part in subject.circuit.parts
        if "near_plus" in part.pins and "cross_section" in part.values and mains & set(part.pins.values())
    ]
    found = (_thin(subject, part) for part in cords)
    return tuple(hazard for hazard in found if hazard is not None)


def flex_current(cross_section: float, length: float) -> float:
    """Highest current of a cord of the mains by its cross-section.

    Parameters
    ----------
    cross_section, length : float
        Of each conductor [mm²], and of the cord [m].

    Returns
    -------
    float
        [A]

    Examples
    --------
    >>> flex_current(0.5, 1.2), flex_current(0.75, 1.2), flex_current(0.75, 3.0)
    (3.0, 10.0, 6.0)
    """
    table = limit_table("flexes").entries
    # A nominal cross-section comes a little under its name.
    rows = [row for row in table["rows"] if row["cross_section"] <= 1.02 * cross_section]
    key = "short_current" if length <= table["short"] else "current"
    most: float = rows[-1][key] if rows else table["least"]
    return most


def _thin(subject: Subject, part: Part) -> Hazard | None:
    """A cord of the mains against the current that its cross-section may carry."""
    loads = loads_of(subject, partial(_current, part.reference), "A")
    if not loads:
        return None
    worst = max(loads, key=lambda load: load.value.value)
    numbers, table = settings_of(part), limit_table("flexes")
    section = 1e6 * numbers["cross_section"]
    limit = Quantity(flex_current(section, numbers["length"]), "A")
    outcome = at_most(worst.value, limit)
    return Hazard(
        check="cord current",
        title=f"cord {part.reference} {'too thin for' if outcome == 'beyond the limit' else 'and'} its current",
        outcome=outcome,
        severity="caution",
        what=f"{part.reference} carries {format_quantity(worst.value)} ({worst.seen} in {titled(worst.situation)}); a cord of "
        f"the mains with {section:.2g} mm² in each conductor, {numbers['length']:.2g} m long, may carry "
        f"{format_quantity(limit)}.",
        value=worst.value,
        limit=limit,
        limit_says=f"cord of the mains of {section:.2g} mm²",
        source=table.words,
        from_memory=True,
        assumed=worst.assumed,
        parts=(part.reference,),
        situations=(worst.situation,),
        remedy="a cord that carries more than it may gets hot, most of all coiled up or covered; a thicker one belongs there",
    )


def _current(reference: str, solved: Solution | Waveforms) -> Array:
    return solved.current(reference)


MEMBERS = (
    HazardCheck(
        name="cord current",
        title="Current in cords",
        look=_look,
        says="Whether each cord of the mains may carry its highest current by its cross-section.",
        source="IEC 60335-1, Table 11, from memory",
        cautions=("heat",),
        not_checked=("cords whose cross-section is not told", "heat of a cord that lies coiled or covered"),
    ),
)
