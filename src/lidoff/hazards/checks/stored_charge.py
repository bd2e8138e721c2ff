"""What capacitors still hold after the plug is pulled."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from lidoff.circuit import Circuit, Part, Situation, Solution, kind_of, settings_of
from lidoff.errors import LidoffError
from lidoff.evidence import titled
from lidoff.hazards.bleeders import Bleeder, bleeders_across
from lidoff.hazards.check import Hazard, HazardCheck, at_most
from lidoff.hazards.falling import Fall, asleep, bleeder_for, drawing_parts, fall_of, when_fallen
from lidoff.hazards.limits import FROM_MEMORY, limit_table
from lidoff.hazards.subject import Subject, is_unpluggable
from lidoff.hazards.words import listed
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS"]

NOTHING = 1e-3  # [V] voltages below are told as none


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """What one capacitor holds at the worst moment to pull the plug."""

    part: Part
    capacitance: float
    voltage: Quantity
    situation: Situation
    mains: bool
    others: Mapping[str, float]
    before: Mapping[str, float]

    @property
    def size(self) -> Quantity:
        """Voltage without its sign."""
        return Quantity(abs(self.voltage.value), "V", self.voltage.uncertainty)


def _look(subject: Subject) -> tuple[Hazard, ...]:
    capacitors = [
        part
        for part in subject.circuit.parts
        if {"capacitance", "voltage_rating"} <= set(kind_of(part).parameters_of(part))
    ]
    if not capacitors or not any(is_unpluggable(part) for part in subject.circuit.parts):
        return ()
    held: dict[str, _Held] = {}
    for one in _moments(subject, capacitors):
        known = held.get(one.part.reference)
        if known is None or one.size.value > known.size.value:
            held[one.part.reference] = one
    high = [one for one in held.values() if one.size.value + one.size.expanded > _row(one)["voltage"]]
    low = [one for one in held.values() if one not in high]
    return (
        *_untold(subject),
        *_unfixed(subject, capacitors),
        *(_judged(subject.circuit, one) for one in high),
        *_low(low),
    )


def _untold(subject: Subject) -> Iterator[Hazard]:
    for repeating in subject.repeating:
        if repeating.waveforms is None:
            yield Hazard(
                check="stored charge",
                title=f"charge left after unplugging in {titled(repeating.situation.name)}",
                outcome="cannot tell",
                severity="caution",
                what=f"No waveform was found for {titled(repeating.situation.name)} ({repeating.why}), so the voltages at the "
                "moment of unplugging are not known.",
                situations=(repeating.situation.name, *repeating.stands_for),
                remedy="treat every capacitor as charged, and measure",
            )


def _unfixed(subject: Subject, capacitors: Sequence[Part]) -> Iterator[Hazard]:
    """Capacitors at a net that nothing fixes, where the highest voltage of the circuit is over the limit."""
    limit = Quantity(limit_table("capacitor_discharge").entries["steady"]["voltage"], "V")
    found = [
        (part.reference, name, loose)
        for part in capacitors
        for name, loose in subject.unfixed(partial(Solution.part_voltage, reference=part.reference)).items()
        if not subject.alternates(subject.situations[name]) and loose.most.value > limit.value
    ]
    if not found:
        return
    names = tuple(dict.fromkeys(reference for reference, _, _ in found))
    nets = tuple(sorted({net for _, _, loose in found for net in loose.nets}))
    _, worst, highest = max(found, key=lambda one: one[2].most.value)
    yield Hazard(
        check="stored charge",
        title=f"charge on {listed(names)}",
        outcome="cannot tell",
        severity="caution",
        what=f"Nothing fixes {listed(nets)} in {titled(worst)}, so what {listed(names)} "
        f"hold{'' if len(names) > 1 else 's'} is not known; it may be up to {format_quantity(highest.most)}.",
        limit=limit,
        limit_says="voltage at any time",
        parts=names,
        nets=nets,
        situations=tuple(dict.fromkeys(name for _, name, _ in found)),
        remedy="treat each as charged, and measure",
    )


def _moments(subject: Subject, capacitors: list[Part]) -> Iterator[_Held]:
    """What each capacitor holds: at rest, or at the crest of what repeats."""
    at_rest = {
        part.reference: subject.at_rest(partial(Solution.part_voltage, reference=part.reference), "V")
        for part in capacitors
    }
    for name, situation in subject.situations.items():
        if subject.alternates(situation):
            continue
        others = {reference: told[name].value for reference, told in at_rest.items() if name in told}
        for part in capacitors:
            if name in at_rest[part.reference]:
                yield _held(
                    part,
                    situation,
                    at_rest[part.reference][name],
                    others,
                    _at_rest(subject, name),
                    mains=False,
                )
    for repeating in subject.repeating:
        if repeating.waveforms is None:
            continue
        spread = subject.supply_spread(repeating.situation)
        volts = {part.reference: repeating.waveforms.part_voltage(part.reference) for part in capacitors}
        for part in capacitors:
            crest = int(np.argmax(np.abs(volts[part.reference])))
            others = {reference: float(values[crest]) for reference, values in volts.items()}
            value = others[part.reference]
            yield _held(
                part,
                repeating.situation,
                Quantity(value, "V", abs(value) * spread),
                others,
                repeating.waveforms.potentials_at(crest),
                mains=subject.fed_alternating(repeating.situation),
            )


def _at_rest(subject: Subject, name: str) -> Mapping[str, float]:
    assert subject.spreading is not None  # or nothing would be known at rest
    return subject.spreading.solution.potentials_at(subject.place[name])


def _held(
    part: Part,
    situation: Situation,
    voltage: Quantity,
    others: Mapping[str, float],
    before: Mapping[str, float],
    *,
    mains: bool,
) -> _Held:
    capacitance = settings_of(part, situation.settings.get(part.reference))["capacitance"]
    return _Held(
        part=part,
        capacitance=capacitance,
        voltage=voltage,
        situation=situation,
        mains=mains,
        others=others,
        before=before,
    )


def _row(held: _Held) -> Mapping[str, Any]:
    entries = limit_table("capacitor_discharge").entries
    row: Mapping[str, Any] = entries["mains" if held.mains else "steady"]
    return row


def _holds(held: _Held) -> str:
    value = held.size.value
    if value < NOTHING:
        return (
            f"{held.part.reference} ({format_quantity(Quantity(held.capacitance, 'F'))}) holds next to nothing in "
            f"{titled(held.situation.name)}"
        )
    energy = Quantity(0.5 * held.capacitance * value**2, "J")
    charge = Quantity(held.capacitance * value, "C")
    return (
        f"{held.part.reference} ({format_quantity(Quantity(held.capacitance, 'F'))}) holds up to "
        f"{format_quantity(held.size)} in {titled(held.situation.name)}: {format_quantity(energy, digits=2)}, "
        f"{format_quantity(charge, digits=2)}"
    )


def _low(low: list[_Held]) -> Iterator[Hazard]:
    """One answer for all capacitors that never reach their limit."""
    for mains in (True, False):
        those = sorted((one for one in low if one.mains is mains), key=lambda one: -one.size.value)
        if not those:
            continue
        row, names = _row(those[0]), tuple(one.part.reference for one in those)
        yield Hazard(
            check="stored charge",
            title=f"charge on {', '.join(names)}",
            outcome="within the limit",
            severity="caution",
            what=f"{_holds(those[0])}; that is below {row['voltage']:g} V from the start"
            + (f", as are {', '.join(names[1:])}." if len(names) > 1 else "."),
            value=those[0].size,
            limit=Quantity(row["voltage"], "V"),
            limit_says="voltage at any time",
            source=f"{row['source']} ({FROM_MEMORY})",
            from_memory=True,
            parts=names,
            situations=tuple(dict.fromkeys(one.situation.name for one in those)),
        )


def _judged(circuit: Circuit, held: _Held) -> Hazard:
    """A capacitor whose voltage is above the limit while plugged in."""
    reference, row = held.part.reference, _row(held)
    limit, after, start = Quantity(row["voltage"], "V"), float(row["after"]), held.size
    least = format_quantity(Quantity(row["from_capacitance"], "F"))
    answer = Hazard(
        check="stored charge",
        title=f"charge on {reference} after unplugging",
        outcome="cannot tell",
        severity="fault" if held.mains else "caution",
        what="",
        limit=limit,
        limit_says=f"voltage {after:g} s after unplugging, from {least} up",
        source=f"{row['source']} ({FROM_MEMORY})",
        from_memory=True,
        parts=(reference,),
        situations=(held.situation.name,),
    )
    try:
        falling = _fall(circuit, held, after)
    except LidoffError as error:
        return replace(
            answer,
            what=f"{_holds(held)}. How it falls could not be followed: {error.what}.",
            remedy="treat it as charged, and measure",
        )
    left = _left(falling, start)
    small = held.capacitance < row["from_capacitance"]
    outcome = "within the limit" if small else at_most(left, limit)
    if outcome == "within the limit" and not small:
        drawing = drawing_parts(circuit)
        sleeping = _sleeping(circuit, held, after) if drawing else None
        if sleeping is not None and at_most(_left(sleeping, start), limit) != "within the limit":
            return _while_awake(answer, held, drawing, falling, sleeping)
    needed = bleeder_for(start.value + start.expanded, limit.value, after, held.capacitance)
    across = bleeders_across(circuit, held.part, held.situation)
    what = (
        f"{_holds(held)}. {after:g} s after unplugging it {_still(left)}; it falls to "
        f"{format_quantity(limit)} {when_fallen(falling, limit.value)}. "
    )
    what += (
        f"{_discharged_by(across)}{_without(circuit, held, across, row)}."
        if across
        else "No resistor lies across it."
    )
    what += f" {_charge_left(held, left)}"
    if small:
        what += f" Below {least} the rule asks nothing."
    beyond = outcome == "beyond the limit"
    cure = (
        f"; a resistor of at most {format_quantity(Quantity(needed, 'Ω'), digits=2)} across it would do it in {after:g} s "
        "(R = t / (C·ln(V₀/V)))"
    )
    return replace(
        answer,
        title=f"{reference} keeps its charge after unplugging" if beyond else answer.title,
        outcome=outcome,
        what=what,
        value=left,
        assumed=(
            "unplugged at the worst moment",
            "nothing from outside touches it, neither hand nor meter",
            "parts at their nominal values",
        ),
        remedy="discharge it through a resistor before touching, and check with a meter"
        + (cure if beyond else ""),
    )


def _left(falling: Fall, start: Quantity) -> Quantity:
    """What is left at the end; what is next to nothing is none, as digits of it would come from the solver alone."""
    end = falling.end if falling.end >= NOTHING else 0.0
    return Quantity(end, "V", end * start.uncertainty / start.value)


def _still(left: Quantity) -> str:
    return f"still has {format_quantity(left)}" if left.value else "has next to nothing"


def _sleeping(circuit: Circuit, held: _Held, until: float) -> Fall | None:
    """How it falls when nothing draws a current of its own; None where that cannot be followed."""
    bare, situation = asleep(circuit, held.situation)
    try:
        return _fall(bare, replace(held, situation=situation), until)
    except LidoffError:
        return None


def _while_awake(answer: Hazard, held: _Held, drawing: Sequence[str], awake: Fall, sleeping: Fall) -> Hazard:
    """A capacitor that is emptied only as long as chips or boxes go on drawing."""
    row, name = _row(held), held.part.reference
    limit, after = Quantity(row["voltage"], "V"), float(row["after"])
    left = _left(sleeping, held.size)
    return replace(
        answer,
        title=f"{name} may keep its charge after unplugging",
        what=f"{_holds(held)}. As long as {listed(drawing)} go{'' if len(drawing) > 1 else 'es'} on drawing current, it falls "
        f"to {format_quantity(limit)} {when_fallen(awake, limit.value)}; a chip that stops before, as most do once their "
        f"supply is too low, leaves it charged: without any, it {_still(left)} {after:g} s after unplugging, and falls to "
        f"{format_quantity(limit)} {when_fallen(sleeping, limit.value)}.",
        value=left,
        parts=(name, *drawing),
        assumed=(
            "unplugged at the worst moment",
            "nothing from outside touches it, neither hand nor meter",
            "parts at their nominal values",
        ),
        remedy="treat it as charged: discharge it through a resistor before touching, and check with a meter; the voltage over "
        "it after unplugging, measured, would tell",
    )


def _fall(circuit: Circuit, held: _Held, until: float) -> Fall:
    return fall_of(
        circuit,
        held.part.reference,
        held.situation,
        until,
        limit=float(_row(held)["voltage"]),
        start=held.others,
        around=held.before,
    )


def _discharged_by(across: Sequence[Bleeder]) -> str:
    """What discharges it, in words."""
    several = len(across) > 1 or len(across[0].parts) > 1
    return f"{' and '.join(way.words for way in across)} across it discharge{'' if several else 's'} it"


def _without(circuit: Circuit, held: _Held, across: Sequence[Bleeder], row: Mapping[str, Any]) -> str:
    """How long it would keep its charge without the resistors across it, in words."""
    names = {reference for way in across for reference in way.parts}
    bare = replace(circuit, parts=tuple(part for part in circuit.parts if part.reference not in names))
    try:
        falling = _fall(bare, held, float(row["after"]))
    except LidoffError:
        return ""
    limit = float(row["voltage"])
    return f"; without {'them' if len(names) > 1 else 'it'}, it would fall that far {when_fallen(falling, limit)}"


def _charge_left(held: _Held, left_over: Quantity) -> str:
    """Charge after the stretch that was followed, beside what another standard lets a touched part hold."""
    if not left_over.value:
        return "Next to no charge is left then."
    row = limit_table("capacitor_discharge").entries["charge"]
    left = Quantity(held.capacitance * left_over.value, "C", held.capacitance * left_over.uncertainty)
    most = Quantity(row["charge"], "C")
    than = {
        "within the limit": "less than",
        "beyond the limit": "more than",
        "cannot tell": "which may be more or less than",
    }[at_most(left, most)]
    told = format_quantity(left, digits=None if left.uncertainty else 2)
    return (
        f"{_row(held)['after']:g} s after unplugging the charge left is {told}, {than} the {format_quantity(most)} that "
        f"{row['source']} allows {row['after']:g} s after unplugging ({row['seen']})."
    )


MEMBERS = (
    HazardCheck(
        name="stored charge",
        title="Stored charge",
        look=_look,
        says="How much voltage, energy and charge each capacitor keeps after unplugging, and for how long.",
        source="IEC 60335-1, 22.5; IEC 62368-1:2018, 5.5.2.2; hand sum t = R·C·ln(V₀/V)",
        cautions=("stored charge",),
        not_checked=(
            "which capacitors can be touched from outside",
            "recovery of charge in the dielectric",
            "capacitors that a single fault cuts off from what discharges them",
        ),
    ),
)
