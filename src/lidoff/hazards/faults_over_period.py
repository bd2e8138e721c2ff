"""Faults behind capacitors and windings, followed over a period: a supply that stands still at its crest does not show them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lidoff.circuit import Circuit, Fault, Part, Situation, Waveforms, figures, settings_of
from lidoff.hazards.fault_effect import FaultEffect
from lidoff.hazards.fault_reach import WORSE
from lidoff.hazards.fuses import fuse_at
from lidoff.hazards.subject import Subject, found_repeating
from lidoff.hazards.watching import Watch, is_fuse, watched_loads

__all__ = ["seen_over_period"]

MOST_PERIODS = 6
"""So many faulty circuits are followed over a period, those of the parts that take most power first."""
BRIDGE = "bridge that fails"
BRIDGED = 1e-3  # [Ω] a solder bridge or a part alloyed through; common practice, no source


def seen_over_period(
    subject: Subject, faults: Sequence[Fault], effects: Sequence[FaultEffect], blind: Sequence[str]
) -> list[FaultEffect]:
    """Effects of faults with those that the crest does not show replaced by what a period shows.

    Parameters
    ----------
    subject : Subject
    faults : sequence of Fault
    effects : sequence of FaultEffect
        One a fault, in the same order.
    blind : sequence of str
        Situations that the crest does not show.

    Returns
    -------
    list of FaultEffect
        In the same order. Numbers that only the crest gave for a blind situation, and no period confirmed, are withdrawn.
    """
    repeating = next(
        (one for one in subject.repeating if one.waveforms is not None and one.situation.name in blind),
        None,
    )
    if repeating is None or repeating.waveforms is None:
        return list(effects)
    whole = repeating.waveforms
    found = list(effects)
    flagged = {
        number
        for number, effect in enumerate(effects)
        # What carries current at the crest carries it in truth, as when the capacitor in the way has failed itself.
        if effect.crest
        and effect.situation in blind
        and effect.overloads
        and all(one.unit == "V" for one in effect.overloads)
    }
    for count, group in enumerate(_groups(faults, effects, flagged, whole)):
        first, seen = faults[group[0]], None
        if count < MOST_PERIODS:
            faulty = _with_fault(subject.circuit, first)
            told = repeating.situation
            left = {part.reference for part in faulty.parts}
            settings = {name: values for name, values in told.settings.items() if name in left}
            waves = found_repeating(faulty, [replace(told, settings=settings)]).waveforms
            seen = None if waves is None else _effect(subject, first, repeating.situation, whole, waves)
        for number in group:
            effect = effects[number]
            if seen is not None and (number in flagged or seen.weight > effect.weight):
                # Parts that fail alike do to each other what they do to the rest; none is told of its own failure.
                rest = tuple(one for one in seen.overloads if one.reference != effect.reference)
                found[number] = replace(
                    seen, title=effect.title, reference=effect.reference, joins=effect.joins, overloads=rest
                )
            elif seen is None and number in flagged:
                found[number] = replace(effect, overloads=(), fuses=(), settled=False, crest=False, ample=())
    return found


def _groups(
    faults: Sequence[Fault],
    effects: Sequence[FaultEffect],
    flagged: set[int],
    whole: Waveforms,
) -> Iterator[list[int]]:
    """Faults that do the same, those of parts that take most power first: breaks in one row, bridges with one effect."""
    rows: dict[object, list[int]] = {}
    power: dict[object, float] = {}
    for number, fault in enumerate(faults):
        if fault.sort == "open" and whole.has_path(fault.reference):
            current = figures(whole.times, whole.current(fault.reference)).rms
            key: object = f"{current:.4g} A"
            power[key] = power.get(key, 0.0) + max(whole.power_figures(fault.reference).real, 0.0)
        elif number in flagged:
            key = tuple((one.reference, f"{one.load:.3g}") for one in effects[number].overloads)
        else:
            continue
        rows.setdefault(key, []).append(number)
    total = sum(power.values()) or 1.0
    worth = {
        key: power.get(key, 0.0) / total + any(number in flagged for number in numbers)
        for key, numbers in rows.items()
    }
    yield from (rows[key] for key in sorted(rows, key=lambda one: -worth[one]) if worth[key] > 0.01)


def _with_fault(circuit: Circuit, fault: Fault) -> Circuit:
    """The circuit as it stands with the fault, as a circuit of its own."""
    if fault.sort == "open":
        return replace(
            circuit, parts=tuple(part for part in circuit.parts if part.reference != fault.reference)
        )
    pins = circuit.part(fault.reference).pins
    joined = Part(
        reference=BRIDGE,
        kind="resistor",
        pins={"1": pins[fault.pins[0]], "2": pins[fault.pins[1]]},
        values={"resistance": BRIDGED},
    )
    return replace(circuit, parts=(*circuit.parts, joined))


def _effect(
    subject: Subject, fault: Fault, situation: Situation, whole: Waveforms, waves: Waveforms
) -> FaultEffect:
    overloads = []
    for watch in watched_loads(subject.circuit):
        if watch.part.reference == fault.reference:
            continue
        load = _load(watch, waves)
        if load > watch.limit and load > WORSE * _load(watch, whole):
            overloads.append(watch.overload(load))
    return FaultEffect(
        title=fault.title,
        reference=fault.reference,
        situation=situation.name,
        overloads=tuple(sorted(overloads, key=lambda one: -one.share)),
        fuses=tuple(_fuses(subject.circuit, fault, waves)),
        period=True,
    )


def _load(watch: Watch, waves: Waveforms) -> float:
    """Mean power, effective current or highest voltage over a period."""
    told = figures(waves.times, watch.ask(waves))
    return {"W": abs(told.average), "A": told.rms, "V": max(abs(told.highest), abs(told.lowest))}[watch.unit]


def _fuses(circuit: Circuit, fault: Fault, waves: Waveforms) -> Iterator[str]:
    for part in circuit.parts:
        if is_fuse(part) and part.reference != fault.reference:
            what = fuse_at(settings_of(part), figures(waves.times, waves.current(part.reference)).rms)
            if what:
                yield f"{part.reference} {what}"
