"""Which slips would explain a dossier's readings, and which reading would tell most, as values and in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace

from lidoff.circuit import Circuit, Situation, kind_of
from lidoff.circuit.path import has_path
from lidoff.dossier.analyse import Progress
from lidoff.dossier.entries import Dossier
from lidoff.dossier.log_readings import measured_readings
from lidoff.dossier.logs import logged_of
from lidoff.dossier.over_time import is_over_time
from lidoff.dossier.proposals import (
    Proposal,
    next_summary,
    proposal_json,
    reading_proposal,
    slip_proposal,
    slip_summary,
)
from lidoff.dossier.solving import restless_among
from lidoff.dossier.wiring import circuit_of, joined_nets, retarget, situations_of
from lidoff.errors import ImpossibleValue
from lidoff.evidence import (
    FromSolution,
    InPart,
    Instrument,
    NamedQuantity,
    WithoutPower,
    titled,
    with_titles,
)
from lidoff.insight import (
    DeadTest,
    FitAsTraced,
    NextReadings,
    PoweredTarget,
    SlipRanking,
    Wanted,
    Watched,
    families_of,
    fit_as_traced,
    is_driven,
    rank_readings,
    rank_slips,
    reading_cautions,
    watched_of,
)

__all__ = ["Reasoned", "fit_of", "next_readings_of", "proposals_json", "slips_of"]

LEAST_TOLD = 0.005
"""Probability below which an explanation is not told."""
LEAST_BITS = 0.02
MOST_SLIPS = 10
MOST_READINGS = 8
MOST_TESTS = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reasoned:
    """What came out, in words and as values.

    Attributes
    ----------
    summary : tuple of str
        In a few sentences.
    slips : tuple of Proposal
        Explanations, the most probable first; empty where readings were asked for.
    readings : tuple of Proposal
        Readings to take; beside slips, those that would tell them apart.
    cautions : tuple of str
        What to mind before taking any of them.
    ranking : SlipRanking
        The explanations as values.
    next_readings : NextReadings
        The readings as values.
    """

    summary: tuple[str, ...]
    slips: tuple[Proposal, ...]
    readings: tuple[Proposal, ...]
    cautions: tuple[str, ...]
    ranking: SlipRanking
    next_readings: NextReadings


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Bench:
    """What a dossier brings to the reasoning."""

    circuit: Circuit
    situations: tuple[Situation, ...]
    instruments: tuple[Instrument, ...]
    ranking: SlipRanking
    left_out: tuple[str, ...]

    @property
    def not_weighed(self) -> tuple[str, ...]:
        """Sentence on the readings that were not weighed, if there are any."""
        if not self.left_out:
            return ()
        names = ", ".join(name.replace("_", " ") for name in self.left_out)
        return (f"Not weighed, as slips are tried at rest and these are of what changes with time: {names}.",)

    @property
    def titles(self) -> Mapping[str, str]:
        """Titles of the situations by name."""
        return {one.name: one.title for one in self.situations if one.title}


def slips_of(dossier: Dossier, *, progress: Progress | None = None) -> Reasoned:
    """Which slips of tracing or reading would explain a dossier's readings, and what would tell them apart.

    Parameters
    ----------
    dossier : Dossier
        As loaded.
    progress : callable (text, share), optional
        Told of each step before it starts.

    Returns
    -------
    Reasoned

    Raises
    ------
    ImpossibleValue
        The dossier has no circuit, or no reading of it.
    """
    bench = _bench(dossier, progress)
    if not bench.ranking.readings and bench.left_out:
        raise ImpossibleValue(
            "every reading of the circuit is of what changes with time, and slips are tried at rest",
            remedy="read steady voltages, or resistances without power: lidoff next tells which would tell most",
        )
    if not bench.ranking.readings:
        raise ImpossibleValue(
            "no reading is about the circuit",
            remedy="take some: lidoff next tells which would tell most",
        )
    _tell(progress, "looking for what would tell them apart", 0.8)
    tests = rank_readings(bench.ranking, instruments=bench.instruments)
    told = [one for one in bench.ranking.explanations if one.probability >= LEAST_TOLD]
    seen = [one for one in told if one.is_seen or one.kind == "none"]
    _tell(progress, "done", 1.0)
    return Reasoned(
        summary=(*slip_summary(bench.ranking, told), *bench.not_weighed),
        slips=tuple(
            slip_proposal(one, bench.ranking) for one in families_of(bench.circuit, seen)[:MOST_SLIPS]
        ),
        readings=tuple(
            reading_proposal(one, bench.circuit, bench.titles) for one in tests.readings[:MOST_TESTS]
        ),
        cautions=reading_cautions([one.candidate for one in tests.readings[:MOST_TESTS]]),
        ranking=bench.ranking,
        next_readings=tests,
    )


def next_readings_of(dossier: Dossier, *, progress: Progress | None = None) -> Reasoned:
    """Which readings would tell most about a dossier's circuit, for their effort and risk.

    Parameters
    ----------
    dossier : Dossier
        As loaded; it may hold no readings yet.
    progress : callable (text, share), optional
        Told of each step before it starts.

    Returns
    -------
    Reasoned
        Its slips are empty.

    Raises
    ------
    ImpossibleValue
        The dossier has no circuit.
    """
    bench = _bench(dossier, progress)
    _tell(progress, "weighing what could be read", 0.6)
    found = rank_readings(bench.ranking, wanted=_wanted(dossier, bench), instruments=bench.instruments)
    _tell(progress, "done", 1.0)
    return Reasoned(
        summary=(*next_summary(bench.ranking, found), *bench.not_weighed),
        slips=(),
        readings=tuple(
            reading_proposal(one, bench.circuit, bench.titles) for one in found.readings[:MOST_READINGS]
        ),
        cautions=reading_cautions([one.candidate for one in found.readings[:MOST_READINGS]]),
        ranking=bench.ranking,
        next_readings=found,
    )


def proposals_json(reasoned: Reasoned) -> dict[str, object]:
    """What was reasoned, for programs and pages.

    Parameters
    ----------
    reasoned : Reasoned
        From either function.

    Returns
    -------
    dict
        ``summary``, ``slips``, ``readings`` and ``cautions``.
    """
    return {
        "summary": list(reasoned.summary),
        "slips": [proposal_json(one) for one in reasoned.slips],
        "readings": [proposal_json(one) for one in reasoned.readings],
        "cautions": list(reasoned.cautions),
    }


def _tell(progress: Progress | None, text: str, share: float) -> None:
    if progress is not None:
        progress(text, share)


def fit_of(dossier: Dossier) -> FitAsTraced:
    """How well a dossier's circuit as traced fits all its readings, by the χ² from which `slips_of` counts.

    Parameters
    ----------
    dossier : Dossier
        As loaded.

    Returns
    -------
    FitAsTraced

    Raises
    ------
    ImpossibleValue
        The dossier has no circuit.
    """
    held = _held(dossier)
    return fit_as_traced(held.circuit, held.situations, held.watched)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Held:
    """A dossier's circuit, and all that was read of it."""

    circuit: Circuit
    situations: tuple[Situation, ...]
    instruments: tuple[Instrument, ...]
    watched: tuple[Watched, ...]
    left_out: tuple[str, ...]


def _held(dossier: Dossier) -> _Held:
    circuit = circuit_of(dossier)
    if not circuit.parts:
        raise ImpossibleValue("the dossier has no circuit yet", remedy="trace a board, or type its parts")
    situations = situations_of(dossier)
    names = joined_nets(dossier.wires, dossier.ground)
    instruments = {instrument.name: instrument for instrument in dossier.instruments}
    readings, _ = measured_readings(
        [
            replace(reading, target=retarget(reading.target, names))
            for reading in dossier.readings
            if not isinstance(reading.target, NamedQuantity)
        ],
        instruments,
        logged_of(dossier.logs),
    )
    single = situations[0].name if len(situations) == 1 else ""
    by_name = {one.name: one for one in situations}
    # Every slip is tried on the circuit at rest, which tells nothing of what changes with time.
    restless = restless_among(circuit, situations)
    left_out = tuple(
        one.name
        for one in readings
        if (situation := by_name.get(one.reading.situation or single)) is not None
        and (
            is_over_time(circuit, situation, one)
            or (situation.name in restless and not isinstance(one.reading.target, WithoutPower))
        )
    )
    resting = [one for one in readings if one.name not in left_out]
    powered = watched_of(circuit, resting, instruments, single)
    used = Counter(one.reading.instrument for one in readings)
    return _Held(
        circuit=circuit,
        situations=tuple(one for one in situations if one.name not in restless) or situations,
        instruments=tuple(sorted(dossier.instruments, key=lambda one: -used[one.name])),
        watched=(*powered, *_beeps(dossier, circuit)),
        left_out=left_out,
    )


def _bench(dossier: Dossier, progress: Progress | None) -> _Bench:
    _tell(progress, "reading the circuit", 0.0)
    held = _held(dossier)
    _tell(progress, "trying every slip", 0.1)
    return _Bench(
        circuit=held.circuit,
        situations=held.situations,
        instruments=held.instruments,
        ranking=rank_slips(held.circuit, held.situations, held.watched, pairs=True),
        left_out=held.left_out,
    )


def _beeps(dossier: Dossier, circuit: Circuit) -> tuple[Watched, ...]:
    """Beeps of all boards between pads of the circuit."""
    pads = {str(pin) for pins in circuit.nets.values() for pin in pins}
    return tuple(
        Watched(
            name=f"beep {one.first} to {one.second}",
            target=DeadTest(red=one.first, black=one.second, range_name="continuity"),
            situation="",
            value=float(one.joined),
            deviation=0.0,
        )
        for board in dossier.traced
        for one in board.beeps
        if {one.first, one.second} <= pads
    )


def _wanted(dossier: Dossier, bench: _Bench) -> tuple[Wanted, ...]:
    """What each supply delivers, and what claims ask of the circuit."""
    driven = {one.name: one for one in bench.situations if is_driven(bench.circuit, one)}
    found: dict[tuple[PoweredTarget, str], str] = {
        (InPart(reference=part.reference, what="current"), name): (
            f"the current of {part.reference} in {titled(name)}"
        )
        for name in driven
        for part in bench.circuit.parts
        if kind_of(part).supplies and has_path(part)
    }
    names = joined_nets(dossier.wires, dossier.ground)
    for claim in dossier.claims:
        for source in claim.inputs.values():
            if isinstance(source, FromSolution) and source.situation in driven:
                target = retarget(source.target, names)
                if not isinstance(target, NamedQuantity | WithoutPower):
                    found[target, source.situation] = f"the {target} in {titled(source.situation)}"
    return tuple(
        Wanted(title=with_titles(title, bench.titles), target=target, situation=name)
        for (target, name), title in found.items()
    )
