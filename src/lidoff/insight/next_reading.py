"""What to measure next: every reading that could be taken, by how much it is expected to tell for its effort and risk.

What the analyst wants to know is which explanation of the readings so far holds, and, where quantities are named, how large
these are. The first counts in bits (see `lidoff.insight.worth`); of the second, halving the uncertainty of the quantity that is
narrowed most counts as one bit, as it does for a normal distribution.

Readings on a circuit at a dangerous voltage are proposed only where no reading without power or at a low voltage tells at least
half as much; how many were left out is told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from lidoff.circuit.kind import Array
from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence import Instrument
from lidoff.insight.candidates import HANDHELD, Candidate, candidates_of
from lidoff.insight.knowledge import MODEL_SHARE
from lidoff.insight.likelihood import FLOORS
from lidoff.insight.outlook import Outlook, outlook_of
from lidoff.insight.slips import SlipRanking
from lidoff.insight.watched import DeadTest, PoweredTarget, Watched
from lidoff.insight.worth import expected_bits, narrowing
from lidoff.quantities import standard_from_limits

__all__ = ["NextReading", "NextReadings", "Outcome", "Wanted", "rank_readings", "weighed_outlook"]

MOST_EXPLANATIONS = 12
LEAST_BITS = 0.02
"""Expected information below which a reading is not worth taking [bit]; our choice."""
KNOWN = 0.02
"""Relative standard uncertainty below which a quantity counts as known; our choice."""
SERVES = 1 / 3
"""Share of a live reading's information from which a harmless one serves, since a few of them may be taken; our choice."""
CLEAR = 2.0
"""Standard uncertainties by which two foreseen values must differ to be told as two outcomes; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A quantity that the analyst wants to know better.

    Attributes
    ----------
    title : str
        In words.
    target : PoweredTarget
        What it is.
    situation : str
        Where.
    """

    title: str
    target: PoweredTarget
    situation: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a reading would show, and which explanations that speaks for.

    Attributes
    ----------
    value, deviation : float
        Expected, with the standard uncertainty of what would be shown; in the reading's unit.
    sign : float
        Probability of a beep or of "over range" instead.
    explanations : tuple of str
        Titles, the most probable first.
    probability : float
        Of this outcome.
    """

    value: float
    deviation: float
    sign: float
    explanations: tuple[str, ...]
    probability: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NextReading:
    """One reading worth taking.

    Attributes
    ----------
    candidate : Candidate
        What and where.
    bits : float
        Expected information in all.
    about_slips : float
        Of it, about which explanation holds [bit].
    narrows : str
        Quantity that it narrows most; empty where it narrows none.
    narrowed_to : float
        Standard uncertainty of that quantity afterwards over that before.
    outcomes : tuple of Outcome
        The most probable first.
    """

    candidate: Candidate
    bits: float
    about_slips: float
    narrows: str
    narrowed_to: float
    outcomes: tuple[Outcome, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NextReadings:
    """Readings worth taking, ranked.

    Attributes
    ----------
    readings : tuple of NextReading
        The best first.
    live_left_out : int
        Readings on a live circuit that were left out since a harmless one serves.
    undecided : float
        What is open about the explanations [bit]: their entropy.
    looked_at : int
        Number of readings that were weighed.
    """

    readings: tuple[NextReading, ...]
    live_left_out: int
    undecided: float
    looked_at: int


def rank_readings(
    ranking: SlipRanking,
    *,
    wanted: Sequence[Wanted] = (),
    instruments: Sequence[Instrument] = (),
    candidates: Sequence[Candidate] | None = None,
) -> NextReadings:
    """Rank the readings that could be taken.

    Parameters
    ----------
    ranking : SlipRanking
        Explanations of the readings so far.
    wanted : sequence of Wanted, optional
        Quantities to know better.
    instruments : sequence of Instrument, optional
        Of the dossier, the most used first; a usual hand-held meter where none measures what is asked.
    candidates : sequence of Candidate, optional
        Readings to choose from; all that could be taken if not given.

    Returns
    -------
    NextReadings
        Without those that tell next to nothing; of those that touch the same, or part the explanations alike, the best one.
    """
    scene = ranking.scene
    explanations = [one for one in ranking.explanations if one.kind != "unlisted"][:MOST_EXPLANATIONS]
    if candidates is None:
        ohms = next(
            (one.input_ohms for one in instruments if one.input_ohms is not None), HANDHELD.input_ohms
        )
        candidates = candidates_of(
            scene.circuit, scene.situations, scene.watched, explanations, input_ohms=ohms
        )
    if not candidates or not explanations:
        return NextReadings(readings=(), live_left_out=0, undecided=0.0, looked_at=0)
    asked = [
        Watched(name=one.title, target=one.target, situation=one.situation, value=1.0, deviation=0.0)
        for one in wanted
    ]
    outlook = outlook_of(scene, explanations, [*(one.watched for one in candidates), *asked])
    count = len(candidates)
    noise = _noise(outlook, instruments)
    total = np.sqrt(outlook.spreads**2 + noise**2)
    about_slips = weighed_outlook(outlook, total)[:count]
    ratios = _ratios(outlook, noise, count)
    about_wanted = -np.log2(np.maximum(ratios, 1e-3)).max(axis=0, initial=0.0)
    bits = np.where(outlook.settled[:count], about_slips + about_wanted, 0.0)
    order = np.argsort([-bit / one.cost for bit, one in zip(bits, candidates, strict=True)], kind="stable")
    harmless = max((bit for bit, one in zip(bits, candidates, strict=True) if not one.live), default=0.0)
    found: list[NextReading] = []
    left_out = 0
    told: set[object] = set()
    for k in order:
        if bits[k] < LEAST_BITS:
            continue
        if candidates[k].live and harmless >= SERVES * bits[k]:
            left_out += 1
            continue
        if _about(candidates[k]) in told:
            continue
        outcomes = _outcomes(outlook, k, total[:, k])
        parts = frozenset(outcome.explanations for outcome in outcomes)
        if parts in told:
            continue
        told |= {_about(candidates[k]), *([parts] if len(parts) > 1 else [])}
        best = int(ratios[:, k].argmin()) if len(wanted) else -1
        found.append(
            NextReading(
                candidate=candidates[k],
                bits=float(bits[k]),
                about_slips=float(about_slips[k]),
                narrows=wanted[best].title if best >= 0 and ratios[best, k] < 0.95 else "",
                narrowed_to=float(ratios[best, k]) if best >= 0 else 1.0,
                outcomes=outcomes,
            )
        )
    open_bits = -sum(w * np.log2(w) for w in outlook.weights if w > 0.0)
    return NextReadings(
        readings=tuple(found), live_left_out=left_out, undecided=float(open_bits), looked_at=count
    )


def _about(candidate: Candidate) -> object:
    """What a candidate touches: others that touch the same, in another situation or on another range, tell the like."""
    target = candidate.watched.target
    return frozenset((target.red, target.black)) if isinstance(target, DeadTest) else target


def weighed_outlook(outlook: Outlook, total: Array) -> Array:
    """Bits that each reading is expected to tell about the explanations.

    Parameters
    ----------
    outlook : Outlook
        What each explanation foresees.
    total : ndarray of shape (K, C)
        Standard uncertainty of what would be shown.

    Returns
    -------
    ndarray of shape (C,)
    """
    beeps = [
        isinstance(one.target, DeadTest) and one.target.range_name == "continuity" for one in outlook.watched
    ]
    means = np.where(beeps, 0.0, outlook.means)
    deviations = np.where(beeps, 1.0, np.maximum(total, 1e-12))
    return expected_bits(outlook.weights, means, deviations, outlook.signs)


def _noise(outlook: Outlook, instruments: Sequence[Instrument]) -> Array:
    """Standard uncertainty (K, C) by instrument and by the equations themselves."""
    largest = np.abs(outlook.means).max(axis=0)
    meters = np.array(
        [_meter(one, float(size), instruments) for one, size in zip(outlook.watched, largest, strict=True)]
    )
    floors = np.array([FLOORS.get(one.target.unit, 0.0) for one in outlook.watched])
    noise: Array = np.sqrt(meters**2 + floors**2 + (MODEL_SHARE * outlook.means) ** 2)
    return noise


MEASURED: Mapping[str, str] = {"V": "voltage dc", "A": "current dc", "Ω": "resistance"}


def _meter(one: Watched, size: float, instruments: Sequence[Instrument]) -> float:
    measures = MEASURED.get(one.target.unit)
    if measures is None:
        return 0.0
    for instrument in (*instruments, HANDHELD):
        try:
            span = instrument.range_for(measures, size)
        except (UnknownName, ImpossibleValue):
            continue  # this one does not measure it, or not as much
        half = span.limits.half_width(size, span.step or 0.0, full_scale=span.full_scale)
        return standard_from_limits(half)
    return 0.01 * size


def _ratios(outlook: Outlook, noise: Array, count: int) -> Array:
    """Uncertainty of each wanted quantity after each reading over that before (Q, C)."""
    quantities = slice(count, len(outlook.watched))
    found = []
    for row, tied in enumerate(outlook.tied):
        variances = np.diag(tied)
        found.append(
            narrowing(
                variances[quantities, None],
                tied[quantities, :count],
                variances[:count] + noise[row, :count] ** 2,
            )
        )
    mean: Array = np.einsum("k,kqc->qc", outlook.weights, np.stack(found))
    sizes = np.abs(outlook.weights @ outlook.means)[quantities]
    spreads = (outlook.weights @ outlook.spreads)[quantities]
    floors = np.array([FLOORS.get(one.target.unit, 0.0) for one in outlook.watched[quantities]])
    open_still = (spreads > KNOWN * sizes) & (sizes > floors)
    return np.where(open_still[:, None], mean, 1.0)


def _outcomes(outlook: Outlook, place: int, total: Array) -> tuple[Outcome, ...]:
    """Explanations by what they foresee of one reading, those that foresee the same together."""
    groups: list[list[int]] = []
    for k in np.argsort(-outlook.weights):
        home = next((group for group in groups if _alike(outlook, place, total, group[0], int(k))), None)
        if home is None:
            groups.append([int(k)])
        else:
            home.append(int(k))
    return tuple(
        Outcome(
            value=float(outlook.means[group[0], place]),
            deviation=float(total[group[0]]),
            sign=float(outlook.signs[group[0], place]),
            explanations=tuple(outlook.explanations[k].title for k in group),
            probability=float(outlook.weights[group].sum()),
        )
        for group in sorted(groups, key=lambda group: -float(outlook.weights[group].sum()))
    )


def _alike(outlook: Outlook, place: int, total: Array, one: int, other: int) -> bool:
    signs = outlook.signs[:, place]
    if abs(signs[one] - signs[other]) > 0.5:
        return False
    target = outlook.watched[place].target
    if min(signs[one], signs[other]) > 0.5 or (
        isinstance(target, DeadTest) and target.range_name == "continuity"
    ):
        return True
    apart = abs(outlook.means[one, place] - outlook.means[other, place])
    return bool(apart <= CLEAR * np.hypot(total[one], total[other]))
