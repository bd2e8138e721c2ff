"""Claims held against readings and the solved circuit: the sum, its uncertainty, the probability and the verdict."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lidoff.errors import LidoffError
from lidoff.evidence.alternating import (
    Alternates,
    alternating_inputs,
    apparent_power_of,
    of_apparent_power,
    steady,
)
from lidoff.evidence.bounds import bound_words, tested_limits, verdict_of_bound
from lidoff.evidence.claim import Claim, claim_kind_of, limits_of
from lidoff.evidence.claim_draws import PILOT, Drawn, drawn_sum, first_order_holds
from lidoff.evidence.claim_inputs import Input, Solve, correlations_of, input_of, missing_inputs
from lidoff.evidence.claim_kind import ClaimKind, Way
from lidoff.evidence.finding import Trial
from lidoff.evidence.reading import Measured, read_text
from lidoff.evidence.settling import closeness, would_tell
from lidoff.evidence.spanning import range_words, spanned
from lidoff.evidence.verdict import NOT_BORNE_OUT_TO, CannotTell, Noted, Verdict, verdict_from
from lidoff.evidence.written_sum import written_sum
from lidoff.quantities import (
    Quantity,
    format_quantity,
    probability_at_least,
    probability_between,
    propagate,
    sensitivities,
)

__all__ = ["ClaimResult", "Share", "judge"]

MANY = 30.0
"""Degrees of freedom from which a coverage factor of 2 does for 95 %: Student's t has 2.04 there (JCGM 100:2008, Table G.2)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """How much of a result's variance one input brings.

    Attributes
    ----------
    role : str
        Which input.
    source : str
        Where it came from, in words.
    quantity : Quantity
        Its value.
    fraction : float
        Of the variance, from 0 to 1; together 1, or all 0 where nothing is uncertain.
    """

    role: str
    source: str
    quantity: Quantity
    fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimResult:
    """One claim with what was found.

    Attributes
    ----------
    claim : Claim
        What is claimed.
    claimed : Quantity or None
        The claimed value; None where a word is claimed, or a mark that is only noted.
    low, high : float or None
        Limits that the true value must lie within for the claim to hold, in the claimed value's unit; None for no limit.
    found : Quantity or None
        What the readings say; None where they do not suffice.
    verdict : Verdict
        Borne out, not borne out, cannot tell, or noted.
    sum : str
        The sum as a person writes it, with the claim beside it.
    shares : tuple of Share
        What the uncertainty consists of, largest first.
    notes : tuple of str
        What was assumed.
    trials : tuple of Trial
        Trials that speak to it.
    """

    claim: Claim
    claimed: Quantity | None
    low: float | None
    high: float | None
    found: Quantity | None
    verdict: Verdict
    sum: str
    shares: tuple[Share, ...] = ()
    notes: tuple[str, ...] = ()
    trials: tuple[Trial, ...] = ()

    @property
    def printed(self) -> str:
        """What is claimed, as it is written."""
        return self.claim.printed

    @property
    def shown(self) -> str:
        """What was found, in the unit of what is claimed; a dash where nothing was."""
        return "–" if self.found is None else self.claim.shown(self.found)


def probability_within(found: Quantity, low: float | None, high: float | None) -> float:
    """Probability that the true value lies within limits, either of which may be missing."""
    if low is not None and high is not None:
        return probability_between(found, low, high)
    if low is not None:
        return probability_at_least(found, low)
    if high is not None:
        mirrored = Quantity(-found.value, found.unit, found.uncertainty, found.dof)
        return probability_at_least(mirrored, -high)
    return 1.0


def judge(
    claim: Claim,
    measured: Mapping[str, Measured],
    solve: Solve,
    *,
    trials: Mapping[str, Trial] | None = None,
    place: str = "the box",
    alternates: Alternates = steady,
) -> ClaimResult:
    """Hold a claim against what was read, tried and solved.

    Parameters
    ----------
    claim : Claim
        What is claimed.
    measured : mapping of str to Measured
        Evaluated readings by name.
    solve : callable (FromSolution) → Quantity or OverPeriod
        Answers what is asked of the solved circuit, see `Solve`; raises a `LidoffError` where it cannot.
    trials : mapping of str to Trial, optional
        By name.
    place : str, optional
        Where the claim stands, if it does not say itself.
    alternates : callable (Target, str) → bool, optional
        Tells what alternates in the circuit; nothing, if left out.

    Returns
    -------
    ClaimResult
        With the verdict. The uncertainty is propagated to first order; where draws from the inputs' distributions give
        another interval, the draws count, and a note says so.

    Raises
    ------
    ImpossibleValue, UnknownName
        The claim itself cannot be read, see `Claim.check`.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1 and 5.2 (propagation); JCGM 101:2008, 8 (its validation by draws); JCGM 106:2012, 7
       (conformance probability).
    """
    claim.check()
    kind = claim_kind_of(claim)
    low, high = limits_of(claim)
    where = claim.where or place
    stands = f"{where}{',' if ',' in where else ''} says {claim.printed}"
    tried = tuple(trials[name] for name in claim.trials if trials and name in trials)
    cautions = tuple(filter(None, (kind.cautions,)))

    def without_number(
        verdict: Verdict, why: str, *, told: str = "", notes: tuple[str, ...] = ()
    ) -> ClaimResult:
        return ClaimResult(
            claim=claim,
            claimed=claim.quantity,
            low=low,
            high=high,
            found=None,
            verdict=verdict,
            sum=told or f"{stands}; {why}",
            notes=(*notes, *cautions),
            trials=tried,
        )

    if kind.explains is not None:
        why = kind.explains(claim.value)
        return without_number(Noted(why=why), why)
    way = kind.way_for(frozenset(claim.inputs))
    if way is None:
        why, needs = missing_inputs(kind.nearest_way(frozenset(claim.inputs)), claim)
        if kind.unanswered and not claim.inputs:
            why = kind.unanswered
        return without_number(CannotTell(why=why, needs=(not claim.inputs and kind.tells) or needs), why)
    unit = claim.quantity.unit if claim.quantity is not None else kind.unit
    inputs: list[Input] = []
    for role in way.inputs:
        wanted = role.unit or (unit if way.is_plain else "")
        try:
            one = input_of(role, way, claim, measured, trials or {}, solve, wanted)
        except LidoffError as error:
            why = f"the {role.title} is not known: {error.what}"
            return without_number(CannotTell(why=why, needs=f"a reading of the {role.title}"), why)
        if one.measured is not None and one.measured.doubts:
            why = f"the {role.title} cannot be relied on: {'; '.join(one.measured.doubts)}"
            return without_number(
                CannotTell(
                    why=why,
                    needs=f"another reading of the {role.title}, by a meter that fits and with every repeat looked at",
                ),
                why,
            )
        inputs.append(one)
    if kind.spans:
        verdict, seen = spanned(claim, inputs, low, high)
        told = f"{seen}; {where}{',' if ',' in where else ''} says {range_words(claim, low, high, unit)}"
        return without_number(verdict, seen, told=told, notes=_of_the_way(way, kind))
    if way.steady and (changing := alternating_inputs(inputs, claim.inputs, alternates)):
        apparent = apparent_power_of(way, inputs)
        verdict, settled = of_apparent_power(apparent, inputs, changing, low, high)
        told = ""
        if apparent is not None:
            told = f"{written_sum(way, inputs, apparent, format_quantity)} of apparent power; {stands}"
        why = verdict.why if isinstance(verdict, CannotTell) else ""
        return without_number(verdict, why, told=told, notes=settled)
    try:
        found, probability, notes = _worked_out(way, inputs, unit, *tested_limits(way, low, high), claim)
    except LidoffError as error:
        return without_number(CannotTell(why=error.what, needs=error.remedy), error.what)
    if not kind.signed and probability_at_least(found, 0.0) <= NOT_BORNE_OUT_TO:
        told = f"{_written(way, inputs, found, claim)}; {stands}"
        why = f"the {kind.title} comes out as {claim.shown(found)}, and none lies below zero"
        return without_number(CannotTell(why=why, needs=_of_right_sign(inputs)), why, told=told, notes=notes)
    shares = _shares(way, inputs)
    verdict = verdict_from(
        probability,
        why=closeness(found, low, high, claim),
        needs=would_tell(way, inputs, found, low, high),
    )
    return ClaimResult(
        claim=claim,
        claimed=claim.quantity,
        low=low,
        high=high,
        found=found,
        verdict=verdict_of_bound(verdict, way, found, low, high, claim),
        sum=f"{_written(way, inputs, found, claim)}; {stands}",
        shares=shares,
        notes=(*_of_the_way(way, kind), *notes, *_of_other_words(claim, kind, found), *cautions),
        trials=tried,
    )


def _worked_out(
    way: Way, inputs: Sequence[Input], unit: str, low: float | None, high: float | None, claim: Claim
) -> tuple[Quantity, float, tuple[str, ...]]:
    """Result of a sum, the probability that it lies within the limits, and notes."""
    correlations, notes = correlations_of(inputs)
    if not way.is_plain:
        notes = (*notes, *_of_waveforms(inputs))
    notes = (*notes, *_of_signs(inputs))
    values = [one.quantity for one in inputs]
    loads = tuple(note for one in inputs if one.measured is not None for note in one.measured.notes)
    found = propagate(way.combine, values, unit=unit, correlations=correlations)
    loads = (*loads, *_about_few(found))
    if way.is_plain and inputs[0].tries is None:
        return found, probability_within(found, low, high), (*notes, *loads)
    if first_order_holds(found, drawn_sum(way.combine, inputs, unit=unit, count=PILOT), beyond_doubt=True):
        return found, probability_within(found, low, high), (*notes, *loads)
    drawn = drawn_sum(way.combine, inputs, unit=unit, dof=found.dof)
    if first_order_holds(found, drawn):
        return found, probability_within(found, low, high), (*notes, *loads)
    return drawn.quantity, drawn.within(low, high), (*notes, *loads, _about_draws(drawn, claim, inputs))


def _of_other_words(claim: Claim, kind: ClaimKind, found: Quantity) -> tuple[str, ...]:
    """Other words than the claimed one that the result answers to as well, where words exclude each other on boxes."""
    if kind.sense != "within":
        return ()
    also = []
    for word, band in kind.named.items():
        low, high = (read_text(text, kind.unit).value if text else None for text in (band.low, band.high))
        if (
            word.casefold() != claim.value.casefold()
            and probability_within(found, low, high) > NOT_BORNE_OUT_TO
        ):
            also.append(f"{word} ({band}; {band.source})")
    if not also:
        return ()
    return (
        f"Bands overlap: {claim.shown(found)} lies in {' and in '.join(also)} too, or may do so. That it is "
        f"{claim.value} does not mean that it is nothing else.",
    )


def _of_waveforms(inputs: Sequence[Input]) -> tuple[str, ...]:
    """Which figures of waveforms went into a sum."""
    return tuple(f"The {one.role.title} is {one.come_by}." for one in inputs if one.seen)


def _of_signs(inputs: Sequence[Input]) -> tuple[str, ...]:
    """Which inputs were counted the other way round."""
    return tuple(
        f"The {one.role.title} was below zero, {one.came_by}. The sign tells which way it was counted and not how much it is, "
        "so the amount was taken."
        for one in inputs
        if one.turned
    )


def _of_right_sign(inputs: Sequence[Input]) -> str:
    """What would tell where a sum comes out below zero."""
    below = [one.role.title for one in inputs if one.quantity.value < 0.0] or [
        one.role.title for one in inputs
    ]
    return f"another look at the {' and the '.join(below)}, sign and all"


def _about_draws(drawn: Drawn, claim: Claim, inputs: Sequence[Input]) -> str:
    """Why draws were made, and what they say."""
    # The ends of the interval deserve about the digits of the result.
    spread = 0.25 * drawn.quantity.uncertainty
    ends = " and ".join(
        claim.shown(Quantity(end, drawn.quantity.unit, spread), with_uncertainty=False)
        for end in (drawn.low, drawn.high)
    )
    why = (
        "The share of tries is no bell"
        if any(one.tries is not None for one in inputs)
        else "The result is no bell over the spread of its inputs"
    )
    return f"{why}, so it was drawn 100 000 times (JCGM 101): 95 % of the draws lie between {ends}."


def _about_few(found: Quantity) -> tuple[str, ...]:
    """What few repeats do to a result, where they do something."""
    if not found.uncertainty or found.dof >= MANY:
        return ()
    factor = found.expanded / found.uncertainty
    return (
        f"Few repeats leave {found.dof:.1f} effective degrees of freedom, so ± is {factor:.2f} standard uncertainties in place "
        "of 2, to hold about 95 % (JCGM 100:2008, G.4). The probability counts them too.",
    )


def _of_the_way(way: Way, kind: ClaimKind) -> tuple[str, ...]:
    """What is to be said of the way that was gone."""
    estimate = f"An estimate, not a measurement: {way.estimate}." if way.estimate else ""
    cautions = way.cautions if way.cautions != kind.cautions else ""
    return tuple(filter(None, (estimate, cautions)))


def _shares(way: Way, inputs: Sequence[Input]) -> tuple[Share, ...]:
    """Shares of the variance, inputs taken as independent, largest first."""
    values = [one.quantity for one in inputs]
    slopes = sensitivities(way.combine, values)
    variances = [(slope * value.uncertainty) ** 2 for slope, value in zip(slopes, values, strict=True)]
    total = math.fsum(variances)
    shares = [
        Share(
            role=one.role.name,
            source=one.source,
            quantity=one.quantity,
            fraction=variance / total if total else 0.0,
        )
        for one, variance in zip(inputs, variances, strict=True)
    ]
    return tuple(sorted(shares, key=lambda share: -share.fraction))


def _written(way: Way, inputs: Sequence[Input], found: Quantity, claim: Claim) -> str:
    """The sum as a person writes it."""
    if inputs[0].tries is not None and way.is_plain:
        worked, tries = inputs[0].tries
        return f"{worked} of {tries} tries worked, which makes {claim.shown(found)}"
    result = claim.shown(found)
    called = bound_words(way) or ("an estimate" if way.estimate else "")
    estimate = f" ({called})" if called else ""
    if way.is_plain:
        one = inputs[0]
        if one.corrected:
            return f"{one.corrected} = {result}{', without its sign' if one.turned else ''}{estimate}"
        return f"{result} {one.come_by}{estimate}"
    loads = "".join(f", with {one.corrected}" for one in inputs if one.corrected)
    return f"{written_sum(way, inputs, found, claim.shown)}{estimate}{loads}"
