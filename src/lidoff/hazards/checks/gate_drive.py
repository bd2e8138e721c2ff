"""Whether a MOSFET that is switched on gets the gate voltage at which its resistance is told."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from lidoff.circuit import Part, Solution, Waveforms, kind_of, settings_of
from lidoff.circuit.kind import Array
from lidoff.evidence import titled
from lidoff.hazards.check import Hazard, HazardCheck, at_least
from lidoff.hazards.loads import Load, loads_of
from lidoff.hazards.subject import Subject
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS"]

CONDUCTS = 0.01
"""Share of its current rating from which a transistor counts as switched on; common practice, no source."""


def _look(subject: Subject) -> tuple[Hazard, ...]:
    found = (_drive(subject, part) for part in subject.circuit.parts if _has_gate(part))
    return tuple(hazard for hazard in found if hazard is not None)


def _has_gate(part: Part) -> bool:
    named = {"gate_drive", "threshold", "current_rating"} <= set(kind_of(part).parameters_of(part))
    return named and {"gate", "drain", "source"} <= set(part.pins)


def _between(one: str, other: str, solved: Solution | Waveforms) -> Array:
    return solved.voltage(one) - solved.voltage(other)


def _current(reference: str, solved: Solution | Waveforms) -> Array:
    return solved.current(reference)


def _power(reference: str, solved: Solution | Waveforms) -> Array:
    return solved.power(reference)


def _drive(subject: Subject, part: Part) -> Hazard | None:
    """The weakest drive among the situations in which the transistor conducts."""
    numbers = settings_of(part)
    least = CONDUCTS * numbers["current_rating"]
    currents = {
        one.situation: one
        for one in loads_of(subject, partial(_current, part.reference), "A")
        if one.value.value >= least
    }
    gate = partial(_between, part.pins["gate"], part.pins["source"])
    drives = [one for one in loads_of(subject, gate, "V", "highest") if one.situation in currents]
    if not drives:
        return None
    weakest = min(drives, key=lambda one: one.value.value)
    heat = {one.situation: one for one in loads_of(subject, partial(_power, part.reference), "W", "mean")}
    return _held(part, numbers, weakest, currents[weakest.situation], heat[weakest.situation])


def _held(part: Part, numbers: Mapping[str, float], drive: Load, current: Load, heat: Load) -> Hazard:
    told, threshold = numbers["gate_drive"], numbers["threshold"]
    limit = Quantity(told, "V")
    outcome = at_least(drive.value, limit)
    headroom = drive.value.value - threshold
    what = (
        f"{part.reference} passes {format_quantity(current.value)} in {titled(drive.situation)} with "
        f"{format_quantity(drive.value)} between gate and source, and turns {format_quantity(heat.value)} into heat; its "
        f"resistance is told at {format_quantity(limit)}"
    )
    if outcome != "within the limit" and headroom > 0.0:
        # The channel deep in its ohmic region: r in proportion to 1 / (v_gs − v_t).
        factor = (told - threshold) / headroom
        what += f". At the lower drive it is about {factor:.1f} times as high, which the heat above takes in"
    title = f"gate drive of {part.reference}"
    return Hazard(
        check="gate drive",
        title=f"{title} below what its resistance is told at" if outcome == "beyond the limit" else title,
        outcome=outcome,
        severity="note",
        what=f"{what}.",
        value=drive.value,
        limit=limit,
        limit_says="gate-source voltage at which the on-resistance is told",
        source="told in the dossier, from print or data sheet"
        if "gate_drive" in part.values
        else "typical for a small switching MOSFET; common practice, no source",
        from_memory="gate_drive" not in part.values,
        assumed=("switched on and off, not held half open", *drive.assumed),
        parts=(part.reference,),
        situations=(drive.situation,),
        remedy="look whether its data sheet tells a resistance at this drive; a type made for a lower drive would run cooler",
    )


MEMBERS = (
    HazardCheck(
        name="gate drive",
        title="Gate drive",
        look=_look,
        says="Whether a MOSFET that conducts gets the gate voltage at which its on-resistance is told.",
        source="the part's own data; square law for the loss below it",
        not_checked=(
            "losses while it switches",
            "gates that float for a moment, and charge coupled in from the drain",
        ),
    ),
)
