"""Lasers: the class as printed, what it means, and the cautions; no class is found here."""

from __future__ import annotations

from lidoff.hazards.check import Hazard, HazardCheck, at_most
from lidoff.hazards.limits import limit_table
from lidoff.hazards.subject import Subject
from lidoff.hazards.told import Laser
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS"]

VISIBLE = (400e-9, 700e-9)  # [m] where the eye blinks


def _look(subject: Subject) -> tuple[Hazard, ...]:
    return tuple(_answer(laser) for laser in subject.lasers)


def _answer(laser: Laser) -> Hazard:
    table = limit_table("laser_classes")
    printed = laser.laser_class
    named = "no class is printed" if printed == "not printed" else f"class {printed} is printed"
    what = f"On {laser.name.replace('_', ' ')} {named}: it {table.entries['meaning'][printed]}"
    power, wavelength = laser.read("power"), laser.read("wavelength")
    most = table.entries["most"].get(printed)
    unseen = wavelength is not None and not VISIBLE[0] <= wavelength.value <= VISIBLE[1]
    held = None if power is None or most is None or unseen else at_most(power, Quantity(most, "W"))
    over = held == "beyond the limit"
    unsure = held == "cannot tell"
    if wavelength is not None:
        what += f". It shines at {format_quantity(wavelength)}"
        what += ", which is not seen, so that nobody blinks" if unseen else ""
    if power is not None:
        what += f". {format_quantity(power)} are told"
        if over or unsure:
            what += f", {'more' if over else 'perhaps more'} than the {format_quantity(Quantity(most, 'W'))} of that class"
    return Hazard(
        check="lasers",
        title=f"laser {laser.name.replace('_', ' ')} "
        + (
            "stronger than the class printed"
            if over
            else "perhaps stronger than the class printed"
            if unsure
            else f"({named})"
        ),
        outcome="beyond the limit" if over else "cannot tell",
        severity="fault" if over or unsure else "caution",
        what=f"{what}.",
        value=power if over or unsure else None,
        limit=Quantity(most, "W") if over or unsure else None,
        limit_says="continuous visible power of the class printed" if over or unsure else "",
        source=table.words,
        from_memory=True,
        assumed=("the class as printed, which is often wrong on cheap gadgets",),
        parts=laser.parts,
        remedy="do not look into it nor point it at anyone; have its power measured by those who are equipped for it",
    )


MEMBERS = (
    HazardCheck(
        name="lasers",
        title="Lasers",
        look=_look,
        says="What the printed class of each told laser means; cautions only, no class is found.",
        source="IEC 60825-1:2014, in short, from memory",
        cautions=("laser",),
        not_checked=(
            "the class itself, which follows from power, wavelength, beam and time",
            "infrared left over from lasers that double their frequency",
            "pulses",
        ),
    ),
)
