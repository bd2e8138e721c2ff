"""Which figure of a waveform goes into a claim's sum, where what is asked of the solved circuit changes with time."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lidoff.errors import ImpossibleValue
from lidoff.evidence.claim_kind import Role, Way
from lidoff.quantities import Quantity

__all__ = ["EFFECTIVE", "MEAN", "STEADY", "OverPeriod", "Shown", "figure_for", "is_steady"]

EFFECTIVE, MEAN = "effective over a period", "mean over a period"
STEADY = 0.05
"""Share of one of the two, the mean and what alternates, up to which the other does not count; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OverPeriod:
    """What the solved circuit tells of a quantity over one period.

    Attributes
    ----------
    mean : Quantity
    effective : Quantity or None
        Root of the mean square; None for power, of which the mean alone counts.
    pulsed : bool
        Whether it comes from steady supplies and only pulses, so that what is printed of it is what a DC meter shows: the mean.
    """

    mean: Quantity
    effective: Quantity | None
    pulsed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The figure that counts.

    Attributes
    ----------
    quantity : Quantity
    seen : str
        Which one it is, in words.
    alternates : bool
        Whether the quantity is so far from steady that volts times amperes are not power.
    """

    quantity: Quantity
    seen: str
    alternates: bool


def is_steady(mean: float, effective: float) -> bool:
    """Whether a waveform hardly changes.

    Parameters
    ----------
    mean, effective : float
        Of the waveform.

    Returns
    -------
    bool
        Whether what alternates about the mean is up to a twentieth of it.
    """
    return _swing(mean, effective) <= STEADY * abs(mean)


def figure_for(told: OverPeriod, role: Role, way: Way) -> Shown:
    """Figure of a waveform that a sum needs.

    Parameters
    ----------
    told : OverPeriod
    role : Role
        Which input of the sum it is.
    way : Way
        The sum.

    Returns
    -------
    Shown
        The mean of power, of what is steady or pulses from steady supplies, and of a current that is counted over a time as
        charge; else the effective value.

    Raises
    ------
    ImpossibleValue
        A current is counted as charge, and its mean is next to nothing.
    """
    if told.effective is None:
        return Shown(quantity=told.mean, seen=MEAN, alternates=False)
    mean, effective = told.mean.value, told.effective.value
    if is_steady(mean, effective):
        return Shown(quantity=told.mean, seen=MEAN, alternates=False)
    if _counts_charge(role, way):
        if abs(mean) <= STEADY * _swing(mean, effective):
            raise ImpossibleValue("it alternates, and moves no charge to speak of over a period")
        return Shown(quantity=told.mean, seen=MEAN, alternates=True)
    if told.pulsed and abs(mean) > STEADY * _swing(mean, effective):
        return Shown(quantity=told.mean, seen=MEAN, alternates=True)
    return Shown(quantity=told.effective, seen=EFFECTIVE, alternates=True)


def _swing(mean: float, effective: float) -> float:
    """Effective value of what alternates about the mean."""
    return math.sqrt(max(effective**2 - mean**2, 0.0))


def _counts_charge(role: Role, way: Way) -> bool:
    return role.unit == "A" and any(other.unit in ("Ah", "s") for other in way.inputs)
