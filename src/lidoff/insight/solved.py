"""Numbers that a solved circuit gives a sum: with what makes them uncertain, and told apart from what solving leaves of zero.

A voltage and a current of one circuit are off together where one supply makes both so. Each number therefore carries the
change that one standard deviation of every uncertain parameter makes, and a sum adds these up before it squares them
(JCGM 100:2008, 5.2.2 with the correlations through common parameters, F.1.2.3).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from lidoff.circuit import Solution, Spreading, Waveforms, figures, kind_of
from lidoff.circuit.kind import Array
from lidoff.evidence import is_steady
from lidoff.insight.placed import PlacedPart
from lidoff.quantities import Quantity

__all__ = [
    "Caused",
    "OverTime",
    "effective_current",
    "highest_voltage",
    "part_quantity",
    "solved_quantity",
    "steady_quantity",
    "together",
]

QUIET = {"V": 1e-8, "A": 1e-9}
"""Sizes up to which a solved number is nothing: ten times the step at which a voltage counts as found, and what the least
conductance from each net to the ground, which keeps every circuit solvable, carries at some hundred volts."""

Cause = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Caused(Quantity):
    """A quantity whose uncertainty is known by its causes.

    Parameters
    ----------
    causes : mapping of (str, str) to float
        Signed change for one standard deviation of each parameter, by reference and name.
    solved : bool
        Whether it was taken from a solved circuit, and not from the parts.
    """

    causes: Mapping[Cause, float] = field(default_factory=dict, compare=False)
    solved: bool = field(default=False, compare=False)

    @property
    def is_nothing(self) -> bool:
        """Whether it is what solving leaves of zero, and not a number to be told."""
        floor = QUIET.get(self.unit, 0.0)
        return self.solved and abs(self.value) <= floor and self.uncertainty <= floor


def solved_quantity(
    solution: Solution,
    spreading: Spreading | None,
    ask: Callable[[Solution], Array],
    sample: int,
    unit: str,
) -> Caused:
    """A number of a solution with its spread.

    Parameters
    ----------
    solution : Solution
        Nominal.
    spreading : Spreading or None
        The same situations with every parameter moved; without it the number counts as exact.
    ask : callable (Solution) → ndarray of shape (B,)
        What is asked.
    sample : int
        Situation.
    unit : str
        Of the number.

    Returns
    -------
    Caused
        Exactly zero where it is what solving leaves of zero.
    """
    value = float(ask(solution)[sample])
    if abs(value) <= QUIET.get(unit, 0.0):
        value = 0.0
    causes: dict[Cause, float] = {}
    if spreading is not None:
        shares = spreading.of(ask).shares[sample]
        causes = {
            cause: float(share)
            for cause, share in zip(spreading.parameters, shares, strict=True)
            if np.isfinite(share) and abs(share) > QUIET.get(unit, 0.0)
        }
    return Caused(value, unit, math.hypot(*causes.values()), causes=causes, solved=True)


def part_quantity(one: PlacedPart, parameter: str) -> Quantity | None:
    """A parameter of a part with its tolerance.

    Parameters
    ----------
    one : PlacedPart
        Of resistors side by side, the resistance of all has no single cause.
    parameter : str
        Name.

    Returns
    -------
    Quantity or None
        None where nothing tells the value.
    """
    value = one.value(parameter)
    if value is None:
        return None
    told = kind_of(one.part).parameters_of(one.part)[parameter]
    spread = one.part.spreads.get(parameter, told.spread).standard(value)
    unit = told.unit or "1"
    if one.twins:
        return Quantity(value, unit, spread)
    return Caused(value, unit, spread, causes={(one.reference, parameter): spread} if spread else {})


def together(quantities: Sequence[Quantity]) -> Quantity:
    """Sum of quantities of one unit, common causes added up before they are squared.

    Parameters
    ----------
    quantities : sequence of Quantity
        At least one. Those without causes count as independent of all others.

    Returns
    -------
    Quantity
        With its causes where all of them are known.
    """
    causes: dict[Cause, float] = {}
    independent = []
    for one in quantities:
        if isinstance(one, Caused):
            for cause, share in one.causes.items():
                causes[cause] = causes.get(cause, 0.0) + share
        elif one.uncertainty:
            independent.append(one.uncertainty)
    value, unit = sum(one.value for one in quantities), quantities[0].unit
    spread = math.hypot(*causes.values(), *independent)
    return Quantity(value, unit, spread) if independent else Caused(value, unit, spread, causes=causes)


# ---- over a period -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class OverTime:
    """A figure of a waveform, by the nominal parts.

    Attributes
    ----------
    quantity : Quantity
    situation : str
        Where it is largest.
    """

    quantity: Quantity
    situation: str


def steady_quantity(waveforms: Waveforms, ask: Callable[[Waveforms], Array], unit: str) -> Caused | None:
    """Mean of a number over one period, where it is steady enough to be put in the place of one at rest.

    Parameters
    ----------
    waveforms : Waveforms
        One period.
    ask : callable (Waveforms) → ndarray of shape (T,)
        What is asked.
    unit : str
        Of the number.

    Returns
    -------
    Caused or None
        By the nominal parts, and counted as exact; None where it alternates, so that its mean alone would mislead.
    """
    told = figures(waveforms.times, ask(waveforms))
    if told.rms <= QUIET.get(unit, 0.0):
        return Caused(0.0, unit, solved=True)
    return Caused(told.average, unit, solved=True) if is_steady(told.average, told.rms) else None


def effective_current(waveforms: Mapping[str, Waveforms], reference: str) -> OverTime | None:
    """Largest effective current over a period of a part.

    Parameters
    ----------
    waveforms : mapping of str to Waveforms
        One period of each situation in which something changes with time.
    reference : str
        A part with a main current path.

    Returns
    -------
    OverTime or None
        None without a waveform, or where nothing flows in any of them.
    """
    return _largest(
        {name: figures(one.times, one.current(reference)).rms for name, one in waveforms.items()}, "A"
    )


def highest_voltage(waveforms: Mapping[str, Waveforms], reference: str) -> OverTime | None:
    """Largest voltage along a part within a period.

    Parameters
    ----------
    waveforms : mapping of str to Waveforms
        One period of each situation in which something changes with time.
    reference : str
        A part of two pins.

    Returns
    -------
    OverTime or None
        Its size; None without a waveform, or where there is none in any of them.
    """
    return _largest(
        {name: float(np.abs(one.part_voltage(reference)).max()) for name, one in waveforms.items()}, "V"
    )


def _largest(sizes: Mapping[str, float], unit: str) -> OverTime | None:
    if not sizes:
        return None
    name = max(sizes, key=lambda one: sizes[one])
    return (
        None if sizes[name] <= QUIET[unit] else OverTime(quantity=Quantity(sizes[name], unit), situation=name)
    )
