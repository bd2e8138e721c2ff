"""Whether a heater has anything that stops it when its bimetal switch welds."""

from __future__ import annotations

from lidoff.hazards import Hazard, HazardCheck, Subject


def _look(subject: Subject) -> tuple[Hazard, ...]:
    switches = [part for part in subject.circuit.parts if part.kind == "bimetal_switch"]
    stops = [part for part in subject.circuit.parts if part.kind in ("fuse", "thermal_fuse")]
    if not switches or stops:
        return ()
    return (
        Hazard(
            check="welded_thermostat",
            title=f"nothing stops the heater when {switches[0].reference} welds",
            outcome="beyond the limit",
            severity="fault",
            what="A bimetal switch whose contacts weld stays closed, and no fuse was found.",
            parts=(switches[0].reference,),
            remedy="look for a thermal fuse that was not traced; do not leave it on unwatched",
        ),
    )


MEMBERS = (
    HazardCheck(
        name="welded_thermostat",
        title="Thermostat that welds",
        look=_look,
        says="Whether a fuse remains when the contacts of a bimetal switch weld.",
        source="common practice, no source",
        not_checked=("how hot the heater gets",),
    ),
)
