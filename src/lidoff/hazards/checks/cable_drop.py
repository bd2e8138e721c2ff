"""How much of the supply's voltage its cable loses."""

from __future__ import annotations

from functools import partial

from lidoff.circuit import Part, Solution, Waveforms
from lidoff.circuit.kind import Array
from lidoff.evidence import titled
from lidoff.hazards.check import Hazard, HazardCheck, at_most
from lidoff.hazards.limits import FROM_MEMORY, limit_table
from lidoff.hazards.loads import Load, loads_of
from lidoff.hazards.subject import Subject
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS"]

ENDS = ("near_plus", "near_minus", "far_plus", "far_minus")


def _look(subject: Subject) -> tuple[Hazard, ...]:
    found = (_drop(subject, part) for part in subject.circuit.parts if set(ENDS) <= set(part.pins))
    return tuple(hazard for hazard in found if hazard is not None)


def _across(nets: tuple[str, str], solved: Solution | Waveforms) -> Array:
    return solved.voltage(nets[0]) - solved.voltage(nets[1])


def _lost(part: Part, solved: Solution | Waveforms) -> Array:
    near, far = _ends(part)
    return _across(near, solved) - _across(far, solved)


def _current(reference: str, solved: Solution | Waveforms) -> Array:
    return solved.current(reference)


def _ends(part: Part) -> tuple[tuple[str, str], tuple[str, str]]:
    near_plus, near_minus, far_plus, far_minus = (part.pins[pin] for pin in ENDS)
    return (near_plus, near_minus), (far_plus, far_minus)


def _drop(subject: Subject, part: Part) -> Hazard | None:
    losses = loads_of(subject, partial(_lost, part), "V")
    if not losses:
        return None
    worst = max(losses, key=lambda load: load.value.value)
    near = _in(worst, loads_of(subject, partial(_across, _ends(part)[0]), "V"))
    current = _in(worst, loads_of(subject, partial(_current, part.reference), "A"))
    if near.value.value <= 0.0:
        return None
    table = limit_table("cable_drop")
    usb = table.entries["usb_from"] <= near.value.value <= table.entries["usb_to"]
    share = table.entries["share"]
    limit = Quantity(2.0 * table.entries["usb_conductor"] if usb else share * near.value.value, "V")
    says = (
        "both conductors of a USB 2.0 cable together"
        if usb
        else f"{100 * share:.0f} % of the voltage at its near end"
    )
    outcome = at_most(worst.value, limit)
    left = near.value.value - worst.value.value
    return Hazard(
        check="cable drop",
        title=f"cable {part.reference} loses {'too much' if outcome == 'beyond the limit' else 'some'} voltage",
        outcome=outcome,
        severity="note",
        what=f"{part.reference} loses {format_quantity(worst.value)} of {format_quantity(near.value)} at "
        f"{format_quantity(current.value)} ({worst.seen} in {titled(worst.situation)}); "
        f"{format_quantity(Quantity(left, 'V'), digits=3)} are left at its far end, and "
        f"{format_quantity(Quantity(worst.value.value * current.value.value, 'W'), digits=2)} warm the cable.",
        value=worst.value,
        limit=limit,
        limit_says=says,
        source=table.words if usb else f"common practice, no source ({FROM_MEMORY})",
        from_memory=True,
        assumed=worst.assumed,
        parts=(part.reference,),
        situations=(worst.situation,),
        remedy="a shorter or thicker cable loses less",
    )


def _in(worst: Load, loads: tuple[Load, ...]) -> Load:
    return next(load for load in loads if load.situation == worst.situation)


MEMBERS = (
    HazardCheck(
        name="cable drop",
        title="Loss in cables",
        look=_look,
        says="How much voltage each two-conductor cable loses at its highest current.",
        source="USB 2.0, 7.2.2, from memory; else 5 %, common practice, no source",
        not_checked=("heat of a cable that lies coiled or covered", "plugs that wear"),
    ),
)
