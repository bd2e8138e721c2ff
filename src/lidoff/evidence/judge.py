"""Claims held against readings and the solved circuit: the sum, its uncertainty, the probability and the verdict."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from lidoff.errors import LidoffError, UnknownName
from lidoff.evidence.claim import (
    Claim,
    FromReading,
    FromSolution,
    FromStatement,
    Source,
    Way,
    claim_kind_of,
    granted,
)
from lidoff.evidence.reading import Measured, read_text
from lidoff.evidence.verdict import CannotTell, Verdict, verdict_from
from lidoff.quantities import (
    Quantity,
    format_quantity,
    probability_at_least,
    probability_between,
    propagate,
    sensitivities,
)

__all__ = ["ClaimResult", "Share", "judge"]

NORMAL_95 = 1.645
"""Standard uncertainties between a normal estimate and a limit that it passes with 95 %; JCGM 106:2012, 7.3."""

Solve = Callable[[FromSolution], Quantity]


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
    claimed : Quantity
        The claimed value.
    low, high : float or None
        Limits that the true value must lie within for the claim to hold, in the claimed value's unit; None for no limit.
    found : Quantity or None
        What the readings say; None where they do not suffice.
    verdict : Verdict
        Borne out, not borne out, or cannot tell.
    sum : str
        The sum as a person writes it, with the claim beside it.
    shares : tuple of Share
        What the uncertainty consists of, largest first.
    notes : tuple of str
        What was assumed.
    """

    claim: Claim
    claimed: Quantity
    low: float | None
    high: float | None
    found: Quantity | None
    verdict: Verdict
    sum: str
    shares: tuple[Share, ...] = ()
    notes: tuple[str, ...] = ()


def limits_of(claim: Claim) -> tuple[float | None, float | None]:
    """Limits that the true value must lie within for a claim to hold, in its kind's unit."""
    claimed = claim.quantity
    tolerance = granted(claim, claimed)
    if claim.read_as == "at least":
        return claimed.value - tolerance, None
    if claim.read_as == "at most":
        return None, claimed.value + tolerance
    if claim.read_as == "exactly" and claimed.unit == "1" and not claim.tolerance:
        tolerance = 0.5  # the nearest whole number counts
    return claimed.value - tolerance, claimed.value + tolerance


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
    claim: Claim, measured: Mapping[str, Measured], solve: Solve, *, place: str = "the box"
) -> ClaimResult:
    """Hold a claim against what was read and solved.

    Parameters
    ----------
    claim : Claim
        What is claimed.
    measured : mapping of str to Measured
        Evaluated readings by name.
    solve : callable (FromSolution) → Quantity
        Answers what is asked of the solved circuit; raises a `LidoffError` where it cannot.
    place : str, optional
        Where the claim stands, if it does not say itself.

    Returns
    -------
    ClaimResult
        With the verdict.

    Raises
    ------
    ImpossibleValue, UnknownName
        The claim itself cannot be read, see `Claim.check`.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1 and 5.2 (propagation); JCGM 106:2012, 7 (conformance probability).
    """
    claim.check()
    kind = claim_kind_of(claim)
    claimed = claim.quantity
    low, high = limits_of(claim)
    where = claim.where or place
    stands = f"{where}{',' if ',' in where else ''} says {_shown(claimed, kind.shown_in)}"

    def open_result(why: str, needs: str) -> ClaimResult:
        return ClaimResult(
            claim=claim,
            claimed=claimed,
            low=low,
            high=high,
            found=None,
            verdict=CannotTell(why=why, needs=needs),
            sum=f"{stands}; {why}",
            notes=tuple(filter(None, (kind.cautions,))),
        )

    way = kind.way_for(frozenset(claim.inputs))
    if way is None:
        return open_result(*_missing(kind.nearest_way(frozenset(claim.inputs)), claim))
    inputs: dict[str, Quantity] = {}
    for role in way.inputs:
        source = claim.inputs[role.name]
        try:
            inputs[role.name] = _in_unit(
                _value_of(source, measured, solve, role.unit), role.unit or claimed.unit
            )
        except LidoffError as error:
            return open_result(
                f"the {role.title} is not known: {error.what}", f"a reading of the {role.title}"
            )
    correlations, notes = _correlations(way, claim, measured)
    values = [inputs[role.name] for role in way.inputs]
    found = propagate(way.combine, values, unit=claimed.unit, correlations=correlations)
    shares = _shares(way, claim, values)
    probability = probability_within(found, low, high)
    return ClaimResult(
        claim=claim,
        claimed=claimed,
        low=low,
        high=high,
        found=found,
        verdict=verdict_from(probability, why=_closeness(found, low, high), needs=_would_tell(shares)),
        sum=f"{_written(way, inputs, found, kind.shown_in)}; {stands}",
        shares=shares,
        notes=(*notes, *filter(None, (kind.cautions,))),
    )


def _missing(way: Way, claim: Claim) -> tuple[str, str]:
    """What a claim lacks, and the reading that would tell."""
    lacking = [role for role in way.inputs if role.name not in claim.inputs]
    if not lacking:
        return "the inputs given do not make one sum", "the inputs of one way to work it out"
    titles = " and the ".join(role.title for role in lacking)
    return f"no reading of the {titles}", f"a reading of the {titles}"


def _value_of(source: Source, measured: Mapping[str, Measured], solve: Solve, unit: str) -> Quantity:
    if isinstance(source, FromReading):
        if source.reading not in measured:
            raise UnknownName(f"there is no reading {source.reading!r}", name=source.reading, known=measured)
        return measured[source.reading].quantity
    if isinstance(source, FromStatement):
        return read_text(source.value, unit)
    return solve(source)


def _in_unit(quantity: Quantity, unit: str) -> Quantity:
    """Quantity in another kept unit of its dimension."""
    if quantity.unit == unit:
        return quantity
    spread = Quantity(quantity.uncertainty, quantity.unit).value_in(unit)
    return Quantity(quantity.value_in(unit), unit, spread, quantity.dof)


def _correlations(
    way: Way, claim: Claim, measured: Mapping[str, Measured]
) -> tuple[list[list[float]] | None, tuple[str, ...]]:
    """Correlations between inputs that share a reading, or an instrument's range, and what was assumed of them."""
    roles = [role.name for role in way.inputs]
    matrix = [[float(one == other) for other in roles] for one in roles]
    notes = []
    for i, one in enumerate(roles):
        for j, other in enumerate(roles[:i]):
            first, second = claim.inputs[one], claim.inputs[other]
            if not (isinstance(first, FromReading) and isinstance(second, FromReading)):
                continue
            left, right = measured[first.reading], measured[second.reading]
            if left.name == right.name:
                matrix[i][j] = matrix[j][i] = 1.0
            elif left.span is not None and left.span == right.span:
                if left.reading.instrument != right.reading.instrument:
                    continue
                shared = left.accuracy * right.accuracy
                total = left.quantity.uncertainty * right.quantity.uncertainty
                matrix[i][j] = matrix[j][i] = shared / total if total else 0.0
                notes.append(
                    f"{left.name} and {right.name} were read on one range of {left.reading.instrument}, so its "
                    "error is taken as the same in both (JCGM 100:2008, F.1.2.3)."
                )
    return (matrix if any(matrix[i][j] for i in range(len(roles)) for j in range(i)) else None), tuple(notes)


def _shares(way: Way, claim: Claim, values: list[Quantity]) -> tuple[Share, ...]:
    """Shares of the variance, inputs taken as independent, largest first."""
    slopes = sensitivities(way.combine, values)
    variances = [(slope * value.uncertainty) ** 2 for slope, value in zip(slopes, values, strict=True)]
    total = math.fsum(variances)
    shares = [
        Share(
            role=role.name,
            source=str(claim.inputs[role.name]),
            quantity=value,
            fraction=variance / total if total else 0.0,
        )
        for role, value, variance in zip(way.inputs, values, variances, strict=True)
    ]
    return tuple(sorted(shares, key=lambda share: -share.fraction))


def _shown(quantity: Quantity, unit: str) -> str:
    return format_quantity(quantity, shown_in=unit or None)


def _written(way: Way, inputs: Mapping[str, Quantity], found: Quantity, shown_in: str) -> str:
    """The sum as a person writes it."""
    values = {name: format_quantity(quantity, with_uncertainty=False) for name, quantity in inputs.items()}
    left = way.written.format(**values)
    result = _shown(found, shown_in)
    return f"{result} as read" if way.written == f"{{{way.inputs[0].name}}}" else f"{left} = {result}"


def _closeness(found: Quantity, low: float | None, high: float | None) -> str:
    """Why a probability between the thresholds does not settle a claim."""
    edges = [edge for edge in (low, high) if edge is not None]
    nearest = min(edges, key=lambda edge: abs(edge - found.value))
    apart = abs(found.value - nearest)
    return (
        f"{format_quantity(Quantity(apart, found.unit), digits=2)} from the limit, with a standard uncertainty of "
        f"{format_quantity(Quantity(found.uncertainty, found.unit), digits=2)}; at that distance it would take "
        f"{format_quantity(Quantity(apart / NORMAL_95, found.unit), digits=2)} to tell"
    )


def _would_tell(shares: tuple[Share, ...]) -> str:
    if not shares or shares[0].fraction == 0.0:
        return "a reading with a stated uncertainty"
    largest = shares[0]
    return f"a closer {largest.role} ({largest.source} brings {100 * largest.fraction:.0f} % of the variance)"
