"""What the entries of a dossier say about each other: kinds, pins, units, names."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from functools import partial
from typing import Protocol

from lidoff.circuit import Circuit, all_kinds, check_pins, settings_of
from lidoff.dossier.entries import Dossier, PartEntry, SituationEntry
from lidoff.dossier.tables import PART
from lidoff.dossier.wiring import bare_part, parameters_of, part_of, setting_of, situation_of, target_fault
from lidoff.errors import UnknownName, nearest_name
from lidoff.evidence import (
    AcrossPart,
    Claim,
    FromReading,
    FromSolution,
    FromStatement,
    InPart,
    Instrument,
    IntoPin,
    NetVoltage,
    Range,
    Reading,
    Target,
    claim_kind_of,
    measure,
    read_text,
)
from lidoff.hazards import DISTANCE_UNITS, LIGHT_UNITS, Distance, Light
from lidoff.quantities import Quantity

__all__ = ["verify_dossier"]

Path = tuple[str | int, ...]


class Collector(Protocol):
    """Takes faults by key."""

    def add(self, path: Path, what: str, remedy: str = "") -> None:
        """Note a fault."""

    def attempt(self, path: Path, function: Callable[[], object]) -> object | None:
        """Result of a function, or None after noting its error."""


def verify_dossier(dossier: Dossier, faults: Collector, broken: Collection[Path] = ()) -> None:
    """Note every fault that a dossier's entries make with each other.

    Parameters
    ----------
    dossier : Dossier
        What was read.
    faults : Collector
        Takes the faults.
    broken : collection of paths, optional
        Entries left out because they are not of their form; names that they would have made known are not missed.
    """
    for part in dossier.parts:
        _verify_part(part, faults)
    parts = {part.reference: part for part in dossier.parts}
    for situation in dossier.situations:
        _verify_situation(situation, parts, faults, broken)
    doubtful = set(broken)
    for instrument in dossier.instruments:
        if not _verify_instrument(instrument, faults):
            doubtful.add(("instruments", instrument.name))
    for reading in dossier.readings:
        _verify_reading(reading, dossier, faults, doubtful)
    for claim in dossier.claims:
        _verify_claim(claim, dossier, faults, broken)
    situations = [situation.name for situation in dossier.situations]
    for trial in dossier.trials:
        _known(trial.situation, situations, "situation", ("trials", trial.name, "situation"), faults, broken)
        if trial.duration:
            faults.attempt(("trials", trial.name, "duration"), partial(read_text, trial.duration, "s"))
    boards = [board.name for board in dossier.boards]
    for part in dossier.parts:
        _known(part.board, boards, "board", ("parts", part.reference, "board"), faults, broken)
    for number, photo in enumerate(dossier.photos):
        _known(photo.board, boards, "board", ("photos", number, "board"), faults, broken)
        if photo.file.startswith(("/", "\\")) or ".." in photo.file.replace("\\", "/").split("/"):
            faults.add(
                ("photos", number, "file"),
                f"the photo {photo.file!r} lies outside the folder",
                "copy it into photos/ and name it from there",
            )
    nets = _nets(dossier)
    for net in dossier.rails:
        _known(net, nets, "net", ("rails", net), faults, broken)
    for distance in dossier.distances:
        _verify_distance(distance, nets, faults, broken)
    for light in dossier.lights:
        _verify_light(light, [part.reference for part in dossier.parts], faults, broken)
    for wire in dossier.wires:
        if len(set(wire.joins)) < 2:
            faults.add(
                ("wires", wire.name, "joins"),
                "the wire joins a net to itself",
                "name the nets at its two ends",
            )


def _verify_distance(
    distance: Distance, nets: Collection[str], faults: Collector, broken: Collection[Path]
) -> None:
    path: Path = ("distances", distance.name)
    if len(set(distance.between)) != 2 or len(distance.between) != 2:
        faults.add((*path, "between"), "a distance lies between two nets", "name two different nets")
    for net in distance.between:
        if not distance.working_voltage:
            _known(net, nets, "net", (*path, "between"), faults, broken)
    if not (distance.creepage or distance.clearance):
        faults.add(
            path, "the distance tells neither creepage nor clearance", 'add creepage = "2 mm ± 0.2 mm"'
        )
    for key in DISTANCE_UNITS:
        _above_zero((*path, key), partial(distance.read, key), faults)


def _verify_light(light: Light, parts: Collection[str], faults: Collector, broken: Collection[Path]) -> None:
    path: Path = ("light", light.name)
    for reference in light.parts:
        _known(reference, parts, "part", (*path, "parts"), faults, broken)
    for key in LIGHT_UNITS:
        _above_zero((*path, key), partial(light.read, key), faults)


def _above_zero(path: Path, read: Callable[[], Quantity | None], faults: Collector) -> None:
    """Note a text that cannot be read, or a quantity that is not above zero."""
    quantity = faults.attempt(path, read)
    if isinstance(quantity, Quantity) and quantity.value <= 0.0:
        faults.add(path, f"{path[-1]} is {quantity}", "give a value above zero")


def _nets(dossier: Dossier) -> set[str]:
    nets = {net for part in dossier.parts for net in part.pins.values()}
    return nets | {net for wire in dossier.wires for net in wire.joins}


def _verify_instrument(instrument: Instrument, faults: Collector) -> bool:
    """Note what cannot be read of an instrument; whether its accuracy can."""
    path: Path = ("instruments", instrument.name)
    faults.attempt((*path, "input_resistance"), partial(_input_ohms, instrument))
    checked = [
        faults.attempt((*path, "ranges", number), partial(_checked_range, span))
        for number, span in enumerate(instrument.ranges)
    ]
    return None not in checked


def _checked_range(span: Range) -> Range:
    span.check()
    return span


def _input_ohms(instrument: Instrument) -> float | None:
    return instrument.input_ohms


_SECTION = {
    "board": "boards",
    "instrument": "instruments",
    "net": "parts",
    "part": "parts",
    "reading": "readings",
    "situation": "situations",
}


def _known(
    name: str,
    known: Collection[str],
    what: str,
    path: Path,
    faults: Collector,
    broken: Collection[Path],
) -> bool:
    """Whether a name is empty or known; notes a fault where it is neither."""
    if not name or name in known:
        return not name or name in known
    section = _SECTION[what]
    if (section,) in broken or (section, name) in broken or (what == "net" and _any_of(section, broken)):
        return False  # the entry is there, and its own fault is told already
    error = UnknownName(f"there is no {what} {name!r}", name=name, known=known)
    faults.add(path, error.what, error.remedy or f"add it under [{section}]")
    return False


def _any_of(section: str, broken: Collection[Path]) -> bool:
    return any(path[:1] == (section,) for path in broken)


def _verify_part(entry: PartEntry, faults: Collector) -> None:
    path: Path = ("parts", entry.reference)
    kinds = all_kinds()
    if entry.kind not in kinds:
        error = UnknownName(f"unknown kind {entry.kind!r}", name=entry.kind, known=kinds)
        faults.add((*path, "kind"), error.what, error.remedy)
        return
    for fault in check_pins(Circuit(parts=(bare_part(entry),))):
        if fault.name == "unknown pin":
            faults.add((*path, "pins"), fault.what, fault.remedy)
    parameters = parameters_of(entry)
    readable = True
    for name, text in entry.values.items():
        if name not in parameters:
            words = [field.name for field in PART.fields]
            near = nearest_name(name, [*parameters, *words])
            known = f"its parameters: {', '.join(parameters)}"
            faults.add(
                (*path, name),
                f"{entry.reference} ({entry.kind}) has no parameter {name!r}",
                f"did you mean {near!r}? ({known})" if near else known,
            )
            readable = False
        elif faults.attempt((*path, name), partial(setting_of, text, parameters[name])) is None:
            readable = False
    if readable:
        faults.attempt(path, partial(_all_settings, entry))


def _all_settings(entry: PartEntry) -> object:
    return settings_of(part_of(entry))


def _verify_situation(
    entry: SituationEntry, parts: dict[str, PartEntry], faults: Collector, broken: Collection[Path]
) -> None:
    path: Path = ("situations", entry.name, "set")
    for reference, texts in entry.settings.items():
        if not _known(reference, parts, "part", (*path, reference), faults, broken):
            continue
        if parts[reference].kind not in all_kinds():
            continue
        for name, text in texts.items():
            single = replace(entry, settings={reference: {name: text}})
            faults.attempt((*path, reference, name), partial(situation_of, single, parts))


def _verify_reading(reading: Reading, dossier: Dossier, faults: Collector, broken: Collection[Path]) -> None:
    path: Path = ("readings", reading.name)
    situations = [situation.name for situation in dossier.situations]
    _known(reading.situation, situations, "situation", (*path, "situation"), faults, broken)
    _verify_target(reading.target, dossier, path, faults, broken)
    instruments = {instrument.name: instrument for instrument in dossier.instruments}
    if reading.target.unit and not reading.situation and len(situations) > 1:
        faults.add(
            path,
            f"the reading {reading.name!r} is in no situation",
            f"add situation = … (known: {', '.join(situations)})",
        )
    known = _known(reading.instrument, instruments, "instrument", (*path, "instrument"), faults, broken)
    if not known or ("instruments", reading.instrument) in broken:
        reading = replace(reading, instrument="")
    faults.attempt((*path, "shown"), partial(measure, reading, instruments))


def _verify_target(
    target: Target, dossier: Dossier, path: Path, faults: Collector, broken: Collection[Path]
) -> None:
    """Note a target that is not in the circuit, where there is one."""
    fault = target_fault(target, dossier) if dossier.parts and not _any_of("parts", broken) else None
    if fault is not None:
        faults.add((*path, _target_key(target)), fault.what, fault.remedy)


def _target_key(target: Target) -> str:
    """Key that names a target in the file."""
    if isinstance(target, NetVoltage):
        return "voltage"
    if isinstance(target, AcrossPart):
        return "across"
    if isinstance(target, IntoPin):
        return "current"
    return target.what if isinstance(target, InPart) else "quantity"


def _verify_claim(claim: Claim, dossier: Dossier, faults: Collector, broken: Collection[Path]) -> None:
    path: Path = ("claims", claim.name)
    if faults.attempt((*path, "kind"), partial(claim_kind_of, claim)) is None:
        return
    kind = claim_kind_of(claim)
    if faults.attempt((*path, "value"), partial(read_text, claim.value, kind.unit)) is not None:
        plain = replace(claim, inputs={})
        faults.attempt((*path, "tolerance" if claim.tolerance else "value"), partial(_checked, plain))
    readings = [reading.name for reading in dossier.readings]
    situations = [situation.name for situation in dossier.situations]
    units = {role.name: role.unit for way in kind.ways for role in way.inputs}
    for role, source in claim.inputs.items():
        at = (*path, "from", role)
        if role not in units:
            error = UnknownName(f"a claim of {kind.title} has no input {role!r}", name=role, known=units)
            faults.add(at, error.what, error.remedy)
        if isinstance(source, FromReading):
            _known(source.reading, readings, "reading", at, faults, broken)
        elif isinstance(source, FromStatement):
            faults.attempt((*at, "value"), partial(read_text, source.value, units.get(role, "")))
        elif isinstance(source, FromSolution):
            _known(source.situation, situations, "situation", (*at, "situation"), faults, broken)
            _verify_target(source.target, dossier, at, faults, broken)


def _checked(claim: Claim) -> Claim:
    claim.check()
    return claim
