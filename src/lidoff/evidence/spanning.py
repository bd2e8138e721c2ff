"""Claims of a range that the device works over: whether what was tried spans it."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.evidence.claim import Claim
from lidoff.evidence.claim_inputs import Input
from lidoff.evidence.verdict import BORNE_OUT_FROM, BorneOut, CannotTell, Verdict
from lidoff.quantities import Quantity, probability_at_least

__all__ = ["range_words", "spanned"]

HOW = "on a variable supply, for mains an isolated one with the usual cautions"


def range_words(claim: Claim, low: float | None, high: float | None, unit: str) -> str:
    """Claimed range as a person says it.

    Parameters
    ----------
    claim : Claim
        What is claimed; its unit is used.
    low, high : float or None
        Its ends, at least one.
    unit : str
        Their kept unit.

    Returns
    -------
    str
        Such as ``220 V to 240 V``.
    """
    ends = [claim.shown(Quantity(end, unit)) for end in (low, high) if end is not None]
    if len(ends) == 2:
        return " to ".join(ends)
    return f"{'at most' if low is None else 'at least'} {ends[0]}"


def spanned(
    claim: Claim, inputs: Sequence[Input], low: float | None, high: float | None
) -> tuple[Verdict, str]:
    """Verdict on a range, from the voltages at which the device worked.

    Parameters
    ----------
    claim : Claim
        What is claimed.
    inputs : sequence of Input
        One where it worked, or the lowest and the highest.
    low, high : float or None
        Ends of the range.

    Returns
    -------
    verdict : Verdict
        Borne out where both ends were reached, else that nothing can be told; never that it does not work.
    seen : str
        What was seen, in words.
    """
    worked = [one.quantity for one in inputs]
    unit = worked[0].unit
    shown = [claim.shown(one) for one in worked]
    seen = f"it worked at {shown[0]}" if len(worked) == 1 else f"it worked from {shown[0]} to {shown[1]}"
    ends = {"low": low, "high": high}
    reached = {
        "low": 1.0 if low is None else _at_most(worked[0], low),
        "high": 1.0 if high is None else probability_at_least(worked[-1], high),
    }
    # The two may share the error of one range, and this holds whatever they share.
    probability = max(0.0, sum(reached.values()) - 1.0)
    if len(worked) == 2 and probability >= BORNE_OUT_FROM:
        return BorneOut(probability=probability), seen
    runs = [
        f"at {claim.shown(Quantity(end, unit))} or {'less' if name == 'low' else 'more'}"
        for name, end in ends.items()
        if end is not None and (len(worked) == 1 or reached[name] < BORNE_OUT_FROM)
    ]
    where = " and ".join(runs) or "a little beyond both ends"
    alone = " alone" if len(worked) == 1 else ""
    why = f"{seen}{alone}, which does not reach over the whole of {range_words(claim, low, high, unit)}"
    return CannotTell(why=why, needs=f"a run {where}, {HOW}"), seen


def _at_most(quantity: Quantity, limit: float) -> float:
    mirrored = Quantity(-quantity.value, quantity.unit, quantity.uncertainty, quantity.dof)
    return probability_at_least(mirrored, -limit)
