"""Verdicts on claims: borne out, not borne out, or cannot tell, each with its probability; or noted, and not judged."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "BORNE_OUT_FROM",
    "NOT_BORNE_OUT_TO",
    "BorneOut",
    "CannotTell",
    "NotBorneOut",
    "Noted",
    "Verdict",
    "verdict_from",
]

BORNE_OUT_FROM = 0.95
"""A claim is borne out when it is true with at least this probability; convention, no source."""
NOT_BORNE_OUT_TO = 0.05
"""A claim is not borne out when it is true with at most this probability; convention, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BorneOut:
    """The readings bear the claim out.

    Attributes
    ----------
    probability : float
        That the claim is true.
    """

    probability: float

    words = "borne out"


@dataclass(frozen=True, slots=True, kw_only=True)
class NotBorneOut:
    """The readings speak against the claim.

    Attributes
    ----------
    probability : float
        That the claim is true.
    """

    probability: float

    words = "not borne out"


@dataclass(frozen=True, slots=True, kw_only=True)
class CannotTell:
    """The readings do not settle the claim.

    Attributes
    ----------
    why : str
        What is missing, or how close it is.
    needs : str
        The reading that would tell.
    probability : float or None
        That the claim is true; None where nothing could be calculated.
    """

    why: str
    needs: str
    probability: float | None = None

    words = "cannot tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """The claim is of a kind that cannot be judged here, such as a mark of conformity.

    Attributes
    ----------
    why : str
        What it says, and why it is not judged.
    probability : None
        There is none.
    """

    why: str
    probability: None = None

    words = "noted, not judged"


Verdict = BorneOut | NotBorneOut | CannotTell | Noted


def verdict_from(probability: float, *, why: str, needs: str) -> Verdict:
    """Verdict at a probability.

    Parameters
    ----------
    probability : float
        That the claim is true.
    why, needs : str
        For `CannotTell`.

    Returns
    -------
    Verdict
        By the thresholds of this module.

    References
    ----------
    .. [1] JCGM 106:2012, 8.3 (decisions by conformance probability); the thresholds are ours.
    """
    if probability >= BORNE_OUT_FROM:
        return BorneOut(probability=probability)
    if probability <= NOT_BORNE_OUT_TO:
        return NotBorneOut(probability=probability)
    return CannotTell(why=why, needs=needs, probability=probability)
