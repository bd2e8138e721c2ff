"""The one function that runs everything on a dossier."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from lidoff.circuit import Circuit, Spreading, WiringFault, check_circuit, situation_table, strongest
from lidoff.dossier.alternating import where_alternating
from lidoff.dossier.analysis import Analysis, Check
from lidoff.dossier.asking import answer
from lidoff.dossier.board_findings import board_checks, board_findings, measured_distances
from lidoff.dossier.checks import checks_of
from lidoff.dossier.claim_answers import answers_of
from lidoff.dossier.dead_readings import compared_without_power
from lidoff.dossier.entries import Dossier
from lidoff.dossier.findings import (
    claim_findings,
    comparison_findings,
    gravest_first,
    reading_findings,
    situation_findings,
    wiring_findings,
)
from lidoff.dossier.log_readings import log_findings, measured_readings
from lidoff.dossier.logs import logged_of
from lidoff.dossier.meter_load import meter_shifts, spreadings_with_meters, without_meters
from lidoff.dossier.over_time import compared_over_time
from lidoff.dossier.periods import keeps_an_average, periods_of, shows_an_instant
from lidoff.dossier.photo_files import photo_findings
from lidoff.dossier.solving import Solved, solve_situations
from lidoff.dossier.sparing import spared
from lidoff.dossier.understanding import understood
from lidoff.dossier.wiring import circuit_of, joined_nets, retarget, situations_of
from lidoff.errors import LidoffError, UnknownName
from lidoff.evidence import (
    Comparison,
    Measured,
    NamedQuantity,
    Uncompared,
    WithoutPower,
    compare,
    judge,
    prose_with_titles,
)
from lidoff.hazards import (
    Subject,
    Surface,
    danger_findings,
    dangers_of,
    fault_tints,
    hazard_findings,
    look_for_hazards,
)
from lidoff.insight import recognise, stock_of, watched_of, with_wide_tolerances

__all__ = ["Progress", "analyse"]

Progress = Callable[[str, float], None]
"""Called with what is being done and the share done, from 0 to 1."""


def analyse(dossier: Dossier, *, progress: Progress | None = None) -> Analysis:
    """Solve every situation, compare every reading, judge every claim, and say what was found.

    Parameters
    ----------
    dossier : Dossier
        As loaded.
    progress : callable (text, share), optional
        Told of each step before it starts.

    Returns
    -------
    Analysis
        A situation that does not settle is a finding in it, not an error.

    Raises
    ------
    ImpossibleValue, UnknownName
        The dossier was changed since it was loaded and now says something impossible.
    """

    def tell(text: str, share: float) -> None:
        if progress is not None:
            progress(text, share)

    tell("reading the circuit", 0.0)
    names = joined_nets(dossier.wires, dossier.ground)
    circuit = circuit_of(dossier)
    situations = situations_of(dossier)
    wiring = _wiring(circuit, dossier)
    tell("solving the situations", 0.1)
    solved = solve_situations(circuit, situations)
    tell("comparing the readings", 0.7)
    instruments = {instrument.name: instrument for instrument in dossier.instruments}
    logs = logged_of(dossier.logs)
    readings, not_taken = measured_readings(
        [replace(reading, target=retarget(reading.target, names)) for reading in dossier.readings],
        instruments,
        logs,
    )
    settled = {one.name: one for one in situations if one.name in solved.place}
    where = {one.name: settled[name] for one in readings if (name := _situation_of(solved, one)) in settled}
    periods = periods_of(circuit)
    followed = compared_over_time(
        circuit, where, readings, () if solved.spreading is None else solved.spreading.parameters, periods
    )
    resting = tuple(one for one in readings if one.name not in followed.names)
    shifts = meter_shifts(circuit, where, resting, instruments)
    loaded = spreadings_with_meters(circuit, where, resting, instruments, shifts)
    powered, uncompared = _compared(solved, resting, shifts, loaded)
    single = solved.results[0].name if len(solved.results) == 1 else ""
    powered = with_wide_tolerances(
        circuit,
        tuple(settled.values()),
        powered,
        watched_of(circuit, resting, instruments, single),
    )
    dead, without, foreseen = compared_without_power(circuit, situations, readings, instruments)
    at_rest = (*powered, *dead)
    comparisons = _in_order(readings, (*at_rest, *followed.comparisons))
    uncompared = (*uncompared, *without, *followed.uncompared)
    tell("judging the claims", 0.85)
    by_name = {one.name: one for one in without_meters(readings, shifts, comparisons)}
    tried = {trial.name: trial for trial in dossier.trials}
    alternates = where_alternating(circuit, situations, names)
    answers = answers_of(circuit, situations, solved, names, periods)
    claims = tuple(
        judge(
            claim,
            by_name,
            answers,
            trials=tried,
            alternates=alternates,
        )
        for claim in dossier.claims
    )
    # Of what does not rest, as of what alternates, an operating point shows nothing that lasts.
    instants = [
        one.name for one in situations if one.name not in solved.place or shows_an_instant(circuit, one)
    ]
    reasoned = understood(
        solved,
        powered,
        single,
        dead,
        foreseen,
        followed.seen,
        loaded,
        instants,
    )
    tell("looking for hazards", 0.9)
    distances, unmeasured = measured_distances(dossier)
    subject = _subject(replace(dossier, distances=distances), circuit, solved, names, readings)
    hazards, stresses = look_for_hazards(subject), subject.stresses
    dangers = dangers_of(circuit, lights=dossier.lights, lasers=dossier.lasers, hazards=hazards)
    tell("recognising the blocks", 0.95)
    blocks = recognise(
        circuit,
        solved.solution,
        comparisons=at_rest,
        spreading=solved.spreading,
        waveforms={
            one.situation.name: one.waveforms for one in subject.repeating if one.waveforms is not None
        },
        alternating=instants,
    )
    titles = {one.name: one.title for one in dossier.situations}
    averages = not subject.repeating or any(
        one.waveforms is None or keeps_an_average(one.waveforms) for one in subject.repeating
    )
    findings = gravest_first(
        prose_with_titles(one, titles)
        for one in (
            *wiring_findings(wiring),
            *board_findings(dossier),
            *unmeasured,
            *photo_findings(dossier.unusable_photos),
            *situation_findings(circuit, solved, averages=averages),
            *hazard_findings(hazards),
            *danger_findings(dangers, dossier.cautions),
            *claim_findings(claims),
            *comparison_findings(comparisons, uncompared),
            *reading_findings(readings),
            *not_taken,
            *log_findings(logs),
        )
    )
    checks: tuple[Check, ...] = (
        *checks_of(dossier, circuit, solved, comparisons, claims, stresses, wiring),
        *board_checks(dossier),
    )
    tell("done", 1.0)
    return Analysis(
        dossier=dossier,
        circuit=circuit,
        situations=solved.results,
        solution=solved.solution,
        spreading=solved.spreading,
        readings=readings,
        logs=logs,
        comparisons=comparisons,
        uncompared=uncompared,
        claims=claims,
        stresses=stresses,
        hazards=hazards,
        repeating=subject.repeating,
        fault_tints=fault_tints(subject.fault_effects),
        blocks=blocks,
        economies=spared(circuit, blocks, stresses, solved.solution, readings, dossier.cells),
        stock=stock_of(circuit, {one.reference: one.stock_line for one in dossier.parts if one.stock_line}),
        findings=findings,
        wiring=wiring,
        checks=checks,
        misfit=reasoned.misfit,
        budgets=reasoned.budgets,
    )


def _subject(
    dossier: Dossier,
    circuit: Circuit,
    solved: Solved,
    names: Mapping[str, str],
    readings: Sequence[Measured],
) -> Subject:
    """What the hazard checks look at."""
    touched: dict[str, tuple[str, ...]] = {}
    for net in dossier.accessible:
        joined = names.get(net, net)
        touched[joined] = (*touched.get(joined, ()), net)
    return Subject(
        circuit=circuit,
        situations={one.name: one.situation for one in solved.results if one.name in solved.place},
        place=solved.place,
        spreading=solved.spreading,
        distances=tuple(
            replace(one, between=tuple(names.get(net, net) for net in one.between))
            for one in dossier.distances
        ),
        lights=dossier.lights,
        lasers=dossier.lasers,
        surfaces=_surfaces(dossier, readings),
        cells=dossier.cells,
        accessible=tuple(touched),
        touched=touched,
        protection_class=dossier.protection_class,
        words=(*dossier.notes, *(part.does for part in dossier.parts), *dossier.cautions),
    )


def _surfaces(dossier: Dossier, readings: Sequence[Measured]) -> tuple[Surface, ...]:
    """Surfaces with the temperature of the reading that they name, where it is one."""
    shown = {one.name: one.quantity for one in readings}
    return tuple(
        replace(one, temperature=str(quantity))
        if (quantity := shown.get(one.reading)) is not None and quantity.unit == "°C"
        else one
        for one in dossier.surfaces
    )


def _wiring(circuit: Circuit, dossier: Dossier) -> tuple[WiringFault, ...]:
    """Faults of the graph with every situation's settings, each told once."""
    if not circuit.parts:
        return ()
    situations = situations_of(dossier)
    return check_circuit(circuit, situation_table(circuit, situations))


def _compared(
    solved: Solved,
    readings: tuple[Measured, ...],
    shifts: Mapping[str, float],
    loaded: Mapping[str, Spreading],
) -> tuple[tuple[Comparison, ...], tuple[Uncompared, ...]]:
    """Readings beside their predictions, and those in the circuit that have none."""
    comparisons: list[Comparison] = []
    uncompared: list[Uncompared] = []
    for one in readings:
        if isinstance(one.reading.target, NamedQuantity | WithoutPower):
            continue  # the one is not in the circuit, the other not solved with power
        if one.doubts:
            uncompared.append(
                Uncompared(measured=one, why=f"it is not to be relied on: {'; '.join(one.doubts)}")
            )
            continue
        try:
            comparisons.append(_comparison(solved, one, shifts.get(one.name), loaded.get(one.name)))
        except LidoffError as error:
            uncompared.append(Uncompared(measured=one, why=error.what))
    return tuple(comparisons), tuple(uncompared)


def _in_order(readings: Sequence[Measured], comparisons: Sequence[Comparison]) -> tuple[Comparison, ...]:
    """Comparisons of the powered circuit in the order of the readings, then those without power."""
    place = {one.name: number for number, one in enumerate(readings)}
    return tuple(
        sorted(
            comparisons,
            key=lambda one: (isinstance(one.measured.reading.target, WithoutPower), place[one.reading]),
        )
    )


def _comparison(solved: Solved, one: Measured, shift: float | None, loaded: Spreading | None) -> Comparison:
    index = _sample(solved, _situation_of(solved, one))
    if solved.spreading is None:
        raise UnknownName("nothing was solved")
    predicted, prediction = answer(solved.spreading, index, one.reading.target)
    causes = strongest(prediction, solved.spreading.parameters, index)
    if loaded is not None:
        predicted, prediction = answer(loaded, 0, one.reading.target)
        causes = strongest(prediction, loaded.parameters, 0)
    elif shift is not None:
        predicted = replace(predicted, value=predicted.value + shift)
    return compare(one, predicted, causes=causes, loaded=shift is not None)


def _situation_of(solved: Solved, one: Measured) -> str:
    """Situation of a reading; one that names none belongs to the only one."""
    return one.reading.situation or (solved.results[0].name if len(solved.results) == 1 else "")


def _sample(solved: Solved, name: str) -> int:
    """Sample of a situation."""
    if name not in solved.place:
        raise UnknownName(solved.not_solved(name) if name else "the reading is in no situation")
    return solved.place[name]
