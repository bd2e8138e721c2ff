"""Sums that give only a bound of the true value: which limits of a claim they can test, and what they can say of it."""

from __future__ import annotations

from lidoff.evidence.claim import Claim, claim_kind_of
from lidoff.evidence.claim_kind import Way
from lidoff.evidence.verdict import BorneOut, CannotTell, NotBorneOut, Verdict
from lidoff.quantities import Quantity

__all__ = ["bound_words", "tested_limits", "verdict_of_bound"]


def bound_words(way: Way) -> str:
    """What a sum's result is where it is a bound, as a person says it; empty where it is the value itself."""
    return {"": "", "lower": "a lower bound", "upper": "an upper bound"}[way.bound]


def tested_limits(way: Way, low: float | None, high: float | None) -> tuple[float | None, float | None]:
    """Limits of a claim that a sum can test.

    Parameters
    ----------
    way : Way
        How the claim is worked out.
    low, high : float or None
        Limits that the true value must lie within.

    Returns
    -------
    low, high : float or None
        Both, where the sum gives the value itself; of a bound, the one limit that the true value is sure to pass once the
        bound has passed it.
    """
    if way.bound == "lower" and high is not None:
        return None, high
    if way.bound == "upper" and low is not None:
        return low, None
    return low, high


def verdict_of_bound(
    verdict: Verdict, way: Way, found: Quantity, low: float | None, high: float | None, claim: Claim
) -> Verdict:
    """Verdict that a sum may give, taken back where the sum is a bound and the claim lies on its open side.

    Parameters
    ----------
    verdict : Verdict
        As it follows from the limits of `tested_limits`.
    way : Way
        How the claim was worked out.
    found : Quantity
        What came out.
    low, high : float or None
        Limits that the true value must lie within.
    claim : Claim
        What is claimed.

    Returns
    -------
    Verdict
        The same, or "cannot tell" with the way to work it out that would tell.
    """
    if not way.bound:
        return verdict
    refutes = (high if way.bound == "lower" else low) is not None
    if isinstance(verdict, NotBorneOut if refutes else BorneOut):
        return verdict
    kind = claim_kind_of(claim)
    more = "more" if way.bound == "lower" else "less"
    others = [other for other in kind.ways if not other.bound]
    needs = " and the ".join(role.title for role in others[0].inputs) if others else ""
    return CannotTell(
        why=f"{claim.shown(found, with_uncertainty=False)} is only {bound_words(way)} of the {kind.title}, "
        f"which may be {more} by an amount that is not known",
        needs=kind.tells or f"a reading of the {needs}",
    )
