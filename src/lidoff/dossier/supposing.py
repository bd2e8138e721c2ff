"""What the claims would come to if the circuit were another: each reading moved by as much as its prediction moves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lidoff.circuit import Circuit, Situation
from lidoff.dossier.alternating import where_alternating
from lidoff.dossier.analysis import Analysis
from lidoff.dossier.asking import answer
from lidoff.dossier.claim_answers import answers_of
from lidoff.dossier.meter_load import meter_shifts, without_meters
from lidoff.dossier.over_time import is_over_time, predicted_over_time
from lidoff.dossier.periods import Periods, periods_of
from lidoff.dossier.solving import Solved, solve_situations
from lidoff.dossier.wiring import joined_nets, situations_of
from lidoff.errors import LidoffError, UnknownName
from lidoff.evidence import ClaimResult, Measured, NamedQuantity, judge
from lidoff.quantities import Quantity

__all__ = ["Supposed", "supposed_claims"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Supposed:
    """Claims and readings as they would be.

    Attributes
    ----------
    claims : tuple of ClaimResult
        In the order of the dossier.
    readings : mapping of str to (Quantity, Quantity or None)
        Of each reading that the change moves: as read, and as it would be; None where the changed circuit does not tell.
    """

    claims: tuple[ClaimResult, ...]
    readings: Mapping[str, tuple[Quantity, Quantity | None]]


@dataclass(frozen=True, slots=True)
class _Side:
    """One of the two circuits, solved."""

    circuit: Circuit
    situations: Sequence[Situation]
    solved: Solved
    periods: Periods


def supposed_claims(analysis: Analysis, changed: Circuit) -> Supposed:
    """Judge the claims anew as if the circuit were changed.

    A reading of the circuit is taken to move by as much as the change moves its prediction, so that what the model gets wrong
    of the real circuit does not count twice; its uncertainty stays. What was read beside the circuit, and what was tried,
    stays as it is: it tells of the real device.

    Parameters
    ----------
    analysis : Analysis
        Of the real circuit.
    changed : Circuit
        The other one, with the same names.

    Returns
    -------
    Supposed
        A claim that rests on what the changed circuit does not tell cannot be told.
    """
    dossier, names = analysis.dossier, joined_nets(analysis.dossier.wires, analysis.dossier.ground)
    situations = situations_of(dossier)
    real = solve_situations(analysis.circuit, situations)
    known = {part.reference for part in changed.parts}
    among = [_among(known, one) for one in situations]
    other = solve_situations(changed, among)
    real_side = _Side(analysis.circuit, situations, real, periods_of(analysis.circuit))
    other_side = _Side(changed, among, other, periods_of(changed))
    unloaded = _unloaded(analysis, real, situations)
    moved: dict[str, tuple[Quantity, Quantity | None]] = {}
    measured: dict[str, Measured] = {}
    for one in unloaded:
        new = _moved(one, real_side, other_side)
        if new is not None:
            measured[one.name] = new
        if new is None or new.quantity.value != one.quantity.value:
            moved[one.name] = one.quantity, None if new is None else new.quantity
    trials = {trial.name: trial for trial in dossier.trials}
    alternates = where_alternating(changed, situations, names)
    answers = answers_of(changed, among, other, names, other_side.periods)
    claims = tuple(
        judge(
            claim,
            measured,
            answers,
            trials=trials,
            alternates=alternates,
        )
        for claim in dossier.claims
    )
    return Supposed(claims=claims, readings=moved)


def _among(parts: set[str], situation: Situation) -> Situation:
    """Situation with settings of these parts alone."""
    return replace(situation, settings={part: it for part, it in situation.settings.items() if part in parts})


def _unloaded(analysis: Analysis, real: Solved, situations: Sequence[Situation]) -> tuple[Measured, ...]:
    """Readings as they would be if no meter had loaded the circuit."""
    settled = {one.name: one for one in situations if one.name in real.place}
    where = {
        one.name: settled[name] for one in analysis.readings if (name := _situation_of(real, one)) in settled
    }
    instruments = {instrument.name: instrument for instrument in analysis.dossier.instruments}
    shifts = meter_shifts(analysis.circuit, where, analysis.readings, instruments)
    return without_meters(analysis.readings, shifts, analysis.comparisons)


def _moved(one: Measured, real: _Side, other: _Side) -> Measured | None:
    """Reading as it would be; None where the changed circuit does not tell."""
    target = one.reading.target
    if isinstance(target, NamedQuantity):
        return one
    name, unit = _situation_of(real.solved, one), one.quantity.unit
    try:
        before = _answered(real, name, one).value_in(unit)
    except LidoffError:
        return one  # the real circuit does not tell it either: it stands as read
    try:
        after = _answered(other, name, one).value_in(unit)
    except LidoffError:
        return None
    return replace(one, quantity=replace(one.quantity, value=one.quantity.value + (after - before)))


def _answered(side: _Side, name: str, one: Measured) -> Quantity:
    solved, situation = side.solved, next((it for it in side.situations if it.name == name), None)
    if solved.spreading is None or name not in solved.place or situation is None:
        raise UnknownName(f"the situation {name!r} was not solved")
    if is_over_time(side.circuit, situation, one):
        return predicted_over_time(side.circuit, situation, side.periods, one)
    quantity, _ = answer(solved.spreading, solved.place[name], one.reading.target)
    return quantity


def _situation_of(solved: Solved, one: Measured) -> str:
    """Situation of a reading; one that names none belongs to the only one."""
    return one.reading.situation or (solved.results[0].name if len(solved.results) == 1 else "")
