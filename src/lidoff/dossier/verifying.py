"""What the entries of a dossier say about each other: kinds, pins, units, names."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from functools import partial
from typing import Protocol

from lidoff.circuit import Circuit, all_kinds, can_be_left_out, check_pins, settings_of, with_article
from lidoff.dossier.entries import Dossier, PartEntry, SituationEntry
from lidoff.dossier.hazard_entries import verify_told
from lidoff.dossier.log_readings import verify_logs
from lidoff.dossier.tables import PART
from lidoff.dossier.wiring import bare_part, parameters_of, part_of, setting_of, situation_of, target_fault
from lidoff.errors import UnknownName, nearest_name
from lidoff.evidence import (
    AcrossPart,
    Claim,
    FromReading,
    FromSolution,
    FromStatement,
    FromTrial,
    InPart,
    Instrument,
    IntoPin,
    NetVoltage,
    Range,
    Reading,
    Target,
    Trial,
    WithoutPower,
    claim_kind_of,
    measure,
    read_text,
)

__all__ = ["verify_dossier"]

Path = tuple[str | int, ...]


class Collector(Protocol):
    """Takes faults by key."""

    def add(self, path: Path, what: str, remedy: str = "") -> None:
        """Note a fault."""

    def attempt(self, path: Path, function: Callable[[], object]) -> object | None:
        """Result of a function, or None after noting its error."""


def verify_dossier(
    dossier: Dossier, faults: Collector, broken: Collection[Path] = (), *, logs_looked_for: bool = False
) -> None:
    """Note every fault that a dossier's entries make with each other.

    Parameters
    ----------
    dossier : Dossier
        What was read.
    faults : Collector
        Takes the faults.
    broken : collection of paths, optional
        Entries left out because they are not of their form; names that they would have made known are not missed.
    logs_looked_for : bool, optional
        Whether files of logs were looked for, so that a missing one is a fault.
    """
    for part in dossier.parts:
        _verify_part(part, faults)
    parts = {part.reference: part for part in dossier.parts}
    for part in dossier.parts:
        _verify_stand_in(part, parts, faults, broken)
    for situation in dossier.situations:
        _verify_situation(situation, parts, faults, broken)
    doubtful = set(broken)
    for instrument in dossier.instruments:
        if not _verify_instrument(instrument, faults):
            doubtful.add(("instruments", instrument.name))
    for reading in dossier.readings:
        _verify_reading(reading, dossier, faults, doubtful)
    instruments = {one.name: one for one in dossier.instruments if ("instruments", one.name) not in doubtful}
    verify_logs(
        dossier.logs, dossier.readings, instruments, faults, looked_for=logs_looked_for, broken=doubtful
    )
    for claim in dossier.claims:
        _verify_claim(claim, dossier, faults, broken)
    situations = [situation.name for situation in dossier.situations]
    for trial in dossier.trials:
        _known(trial.situation, situations, "situation", ("trials", trial.name, "situation"), faults, broken)
        if trial.duration:
            faults.attempt(("trials", trial.name, "duration"), partial(read_text, trial.duration, "s"))
        if trial.worked:
            faults.attempt(("trials", trial.name, "worked"), partial(_counted, trial))
    for reference in dossier.drawing.keep_apart:
        _known(reference, parts, "part", ("drawing", "keep_apart"), faults, broken)
    for reference in dossier.drawing.pinned:
        _known(reference, parts, "part", ("drawing", "pinned", reference), faults, broken)
    for decision in dossier.decisions:
        if decision.says == "dismissed" and not decision.reason.strip():
            faults.add(
                ("decisions", decision.name), "a finding is dismissed without a reason", 'add reason = "…"'
            )
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
    names: Mapping[str, Collection[str]] = {
        "net": nets,
        "part": parts,
        "reading": [reading.name for reading in dossier.readings],
        "situation": situations,
    }
    verify_told(
        dossier, faults, lambda name, what, path: _known(name, names[what], what, path, faults, broken)
    )
    for wire in dossier.wires:
        if len(set(wire.joins)) < 2:
            faults.add(
                ("wires", wire.name, "joins"),
                "the wire joins a net to itself",
                "name the nets at its two ends",
            )


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
    "trial": "trials",
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
    if not entry.pins and not entry.board:
        faults.add(
            (*path, "pins"),
            f"{entry.reference} has no pins",
            "add pins = { … } with the net of each, or name the traced board that it sits on",
        )
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


def _verify_stand_in(
    entry: PartEntry, parts: Mapping[str, PartEntry], faults: Collector, broken: Collection[Path]
) -> None:
    """Note a stand-in that is no supply, or that stands for nothing that a situation could leave out in its place."""
    kinds = all_kinds()
    if not entry.stands_for or entry.kind not in kinds:
        return
    path: Path = ("parts", entry.reference, "stands_for")
    told = [_known(name, parts, "part", path, faults, broken) for name in entry.stands_for]
    if not can_be_left_out(bare_part(entry)):
        faults.add(
            path,
            f"{entry.reference} is {with_article(kinds[entry.kind].title)}, which cannot stand for other parts",
            "only a supply can, such as a dc_supply or a current_supply",
        )
    elif entry.reference in entry.stands_for:
        faults.add(path, f"{entry.reference} stands for itself", "name the parts in whose place it is put")
    elif all(told) and not any(
        parts[name].kind in kinds and can_be_left_out(bare_part(parts[name])) for name in entry.stands_for
    ):
        faults.add(
            path,
            f"{entry.reference} stands for no supply, so nothing would be left out while it feeds the circuit",
            "name the supply among the parts as well, such as the mains",
        )


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
    placed = bool(reading.target.unit) and not isinstance(reading.target, WithoutPower)
    if placed and not reading.situation and len(situations) > 1:
        faults.add(
            path,
            f"the reading {reading.name!r} is in no situation",
            f"add situation = … (known: {', '.join(situations)})",
        )
    known = _known(reading.instrument, instruments, "instrument", (*path, "instrument"), faults, broken)
    if not known or ("instruments", reading.instrument) in broken:
        reading = replace(reading, instrument="")
    others = {one.name: one for one in dossier.readings}
    if (
        _known(reading.read_with, others, "reading", (*path, "read_with"), faults, broken)
        and reading.read_with
    ):
        there, here = len(others[reading.read_with].shown), len(reading.shown)
        if there != here or here < 2 or reading.read_with == reading.name:
            faults.add(
                (*path, "read_with"),
                f"{reading.name!r} has {here} repeats and {reading.read_with!r} has {there}",
                "repeats that were read together are as many, and at least two",
            )
    if reading.taken is None:
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
    if isinstance(target, WithoutPower):
        return target.range_name
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
    if faults.attempt((*path, "value"), lambda: (claim.quantity,)) is not None:
        plain = replace(claim, inputs={})
        faults.attempt((*path, "tolerance" if claim.tolerance else "value"), partial(_checked, plain))
    trials = {trial.name: trial for trial in dossier.trials}
    for number, name in enumerate(claim.trials):
        _known(name, trials, "trial", (*path, "trials", number), faults, broken)
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
        elif isinstance(source, FromTrial):
            _known(source.trial, trials, "trial", (*at, "trial"), faults, broken)
            if source.trial in trials:
                faults.attempt((*at, "trial"), partial(_counted, trials[source.trial]))
        elif isinstance(source, FromStatement):
            faults.attempt((*at, "value"), partial(read_text, source.value, units.get(role, "")))
        elif isinstance(source, FromSolution):
            _known(source.situation, situations, "situation", (*at, "situation"), faults, broken)
            _verify_target(source.target, dossier, at, faults, broken)


def _counted(trial: Trial) -> tuple[int, int]:
    return trial.counted


def _checked(claim: Claim) -> Claim:
    claim.check()
    return claim
