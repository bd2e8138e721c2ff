"""Volts times amperes of a supply that alternates: apparent power, of which an unknown share is power."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from lidoff.errors import LidoffError
from lidoff.evidence.claim import FromReading, FromSolution, Source
from lidoff.evidence.claim_inputs import Input, correlations_of
from lidoff.evidence.claim_kind import Way
from lidoff.evidence.over_period import MEAN
from lidoff.evidence.reading import Target
from lidoff.evidence.verdict import (
    BORNE_OUT_FROM,
    NOT_BORNE_OUT_TO,
    BorneOut,
    CannotTell,
    NotBorneOut,
    Verdict,
)
from lidoff.quantities import Quantity, format_quantity, probability_at_least, propagate

__all__ = ["Alternates", "alternating_inputs", "apparent_power_of", "of_apparent_power", "steady"]

Alternates = Callable[[Target, str], bool]
"""Whether what is asked of the circuit, in the situation of that name, changes with the mains or another alternating supply."""
BOUND = "Power is never more than apparent power (Cauchy and Schwarz, for true rms values), and that alone settles this claim."
NEEDS = "a reading of the power by a wattmeter, of the power factor, or of the energy over a time"


def steady(target: Target, situation: str) -> bool:  # noqa: ARG001
    """Answer for a circuit without an alternating supply: nothing alternates."""
    return False


def alternating_inputs(
    inputs: Sequence[Input], sources: Mapping[str, Source], alternates: Alternates
) -> tuple[Input, ...]:
    """Inputs of a sum that alternate.

    Parameters
    ----------
    inputs : sequence of Input
        Of the sum.
    sources : mapping of str to Source
        By role: where they come from.
    alternates : callable (Target, str) → bool
        See `Alternates`.

    Returns
    -------
    tuple of Input
        Those read on an AC range, read with a frequency or crest factor, or taken where the circuit alternates. None where all
        are steady but one, of which the mean is known: times a constant, the mean gives the mean.
    """
    found = tuple(one for one in inputs if _alternates(one, sources[one.role.name], alternates))
    return () if len(found) == 1 and found[0].seen == MEAN else found


def _alternates(one: Input, source: Source, alternates: Alternates) -> bool:
    if isinstance(source, FromReading) and one.measured is not None:
        reading = one.measured.reading
        told = one.measured.measures.endswith(" ac") or bool(reading.frequency or reading.crest_factor)
        return told or alternates(reading.target, reading.situation)
    if not isinstance(source, FromSolution):
        return False
    if one.seen:  # a period was solved, which tells more than the wiring does
        return one.alternates
    return alternates(source.target, source.situation)


def _is_rms(one: Input) -> bool:
    """Whether an input is known to be a true rms value."""
    if one.measured is None or not one.measured.measures.endswith(" ac"):
        return False
    return one.measured.span is None or one.measured.span.responds != "mean"


def apparent_power_of(way: Way, inputs: Sequence[Input]) -> Quantity | None:
    """Apparent power, where a way multiplies one voltage by one current.

    Parameters
    ----------
    way : Way
        How the claim would be worked out if all were steady.
    inputs : sequence of Input
        Its inputs.

    Returns
    -------
    Quantity or None
        In VA; None for another way.
    """
    if sorted(one.role.unit for one in inputs) != ["A", "V"]:
        return None
    try:
        return propagate(
            way.combine, [one.quantity for one in inputs], unit="VA", correlations=correlations_of(inputs)[0]
        )
    except LidoffError:
        return None


def of_apparent_power(
    apparent: Quantity | None,
    inputs: Sequence[Input],
    changing: Sequence[Input],
    low: float | None,
    high: float | None,
) -> tuple[Verdict, tuple[str, ...]]:
    """Verdict on a claimed power of which only the apparent power is known.

    Parameters
    ----------
    apparent : Quantity or None
        In VA; None where the inputs make no apparent power.
    inputs, changing : sequence of Input
        All inputs, and those that alternate.
    low, high : float or None
        Limits of the claim [W].

    Returns
    -------
    verdict : Verdict
        Not borne out where even the apparent power is too little, borne out where even it is no more than what is claimed
        at most, else that nothing can be told.
    notes : tuple of str
        What settled it.

    References
    ----------
    .. [1] Power is at most apparent power, as in IEC 60050-131, 131-11-41 and 131-11-46 (from memory).
    """
    if apparent is not None and all(map(_is_rms, inputs)):
        if low is not None and (chance := probability_at_least(apparent, low)) <= NOT_BORNE_OUT_TO:
            return NotBorneOut(probability=chance), (BOUND,)
        if low is None and high is not None:
            mirrored = Quantity(-apparent.value, "VA", apparent.uncertainty, apparent.dof)
            if (chance := probability_at_least(mirrored, -high)) >= BORNE_OUT_FROM:
                return BorneOut(probability=chance), (BOUND,)
    titles = " and the ".join(one.role.title for one in changing)
    why = (
        f"the {titles} alternate{'' if len(changing) > 1 else 's'}, so volts times amperes is apparent power"
    )
    if apparent is not None:
        why += f", {format_quantity(apparent)}"
    return CannotTell(why=f"{why}, of which an unknown share is power", needs=NEEDS), ()
