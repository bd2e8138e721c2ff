"""What would settle a claim that stays open: how close it is, and which reading has to be how fine."""

from __future__ import annotations

import math
from collections.abc import Sequence

from lidoff.evidence.claim import Claim
from lidoff.evidence.claim_inputs import Input
from lidoff.evidence.claim_kind import Way
from lidoff.quantities import Quantity, format_quantity, sensitivities

__all__ = ["closeness", "would_tell"]

NORMAL_95 = 1.645
"""Standard uncertainties between a normal estimate and a limit that it passes with 95 %; JCGM 106:2012, 7.3."""


def closeness(found: Quantity, low: float | None, high: float | None, claim: Claim) -> str:
    """Why a probability between the thresholds does not settle a claim.

    Parameters
    ----------
    found : Quantity
        What the readings say.
    low, high : float or None
        Limits of the claim, at least one.
    claim : Claim
        What is claimed; its unit is used.

    Returns
    -------
    str
        How far the limit is, and how uncertain the result.
    """
    apart = _apart(found, low, high)
    return (
        f"{_text(apart, found.unit)} from the limit of {claim.shown(Quantity(_nearest(found, low, high), found.unit))}, "
        f"with an uncertainty of ± {_text(found.expanded, found.unit)}"
    )


def would_tell(
    way: Way, inputs: Sequence[Input], found: Quantity, low: float | None, high: float | None
) -> str:
    """Reading that would settle a claim, and how fine it has to be.

    Parameters
    ----------
    way : Way
        How the claim was worked out.
    inputs : sequence of Input
        Its inputs.
    found : Quantity
        What came out.
    low, high : float or None
        Limits of the claim.

    Returns
    -------
    str
        The input that brings the most of the variance, with the uncertainty (k = 2) that it would need while the others
        stay as they are; or that it takes several, or that nothing tells.
    """
    if inputs[0].tries is not None and way.is_plain:
        return "more tries"
    values = [one.quantity for one in inputs]
    slopes = sensitivities(way.combine, values)
    variances = [(slope * value.uncertainty) ** 2 for slope, value in zip(slopes, values, strict=True)]
    total = math.fsum(variances)
    if not total:
        return "a reading with a stated uncertainty"
    largest = max(range(len(inputs)), key=variances.__getitem__)
    one = inputs[largest]
    share = variances[largest] / total
    blame = (
        f"; {one.source.replace('_', ' ')} brings {100 * share:.0f} % of the variance"
        if len(inputs) > 1
        else ""
    )
    wanted = _apart(found, low, high) / NORMAL_95
    left = wanted**2 - (total - variances[largest])
    if wanted < 0.05 * found.uncertainty:
        return f"hardly any reading, since the result lies at the limit{blame}"
    if left <= 0.0:
        return f"closer readings of more than one input{blame}"
    fine = 2.0 * math.sqrt(left) / abs(slopes[largest])
    return f"a reading of the {one.role.title} to ± {_text(fine, one.quantity.unit)} or better{blame}"


def _nearest(found: Quantity, low: float | None, high: float | None) -> float:
    """Limit that the result lies nearest to."""
    edges = [edge for edge in (low, high) if edge is not None]
    return min(edges, key=lambda edge: abs(edge - found.value))


def _apart(found: Quantity, low: float | None, high: float | None) -> float:
    """How far the result lies from the nearest limit, in its unit."""
    return abs(found.value - _nearest(found, low, high))


def _text(size: float, unit: str) -> str:
    """A difference as a person writes it."""
    return format_quantity(Quantity(size, "K" if unit == "°C" else unit), digits=2)
