"""What the circuit predicts against what was read: difference over combined uncertainty."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from lidoff.evidence.over_range import OVER_RANGE
from lidoff.evidence.reading import IntoPin, Measured
from lidoff.quantities import Quantity, combined_uncertainty, format_quantity

__all__ = ["AGREES_TO", "STRAINED_TO", "Comparison", "Fit", "Uncompared", "compare"]

Fit = Literal["agrees", "strained", "misfit"]
AGREES_TO = 2.0
"""Largest |score| that agrees: inside the expanded uncertainty, about 95 %; convention."""
STRAINED_TO = 3.0
"""Largest |score| that is only strained; beyond it is a misfit; convention."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """One reading beside what the solved circuit predicts for it.

    Attributes
    ----------
    measured : Measured
        The reading.
    predicted : Quantity
        The prediction, with the spread that part tolerances give.
    difference : float
        Predicted minus read, in the reading's unit.
    uncertainty : float
        Combined standard uncertainty of the difference, in that unit: the root sum of squares of half of either ±, so that few
        repeats count here as they do there.
    causes : mapping of str to float
        Shares of the prediction's variance by ``reference.parameter``, largest first.
    loaded : bool
        Whether the prediction includes the meter's own load.
    over_range : bool
        Whether the meter would tell that the value lies beyond its range.
    seen : str
        What of a waveform the prediction is, such as ``effective over a period``; empty for a circuit at rest.
    """

    measured: Measured
    predicted: Quantity
    difference: float
    uncertainty: float
    causes: Mapping[str, float] = field(default_factory=dict)
    loaded: bool = False
    over_range: bool = False
    seen: str = ""

    @property
    def told(self) -> str:
        """Prediction in words."""
        if self.over_range:
            return OVER_RANGE
        return f"{self.predicted} ({self.seen})" if self.seen else str(self.predicted)

    @property
    def reading(self) -> str:
        """Name of the reading."""
        return self.measured.name

    @property
    def score(self) -> float:
        """Difference over its standard uncertainty; infinite where two exact numbers differ."""
        if self.uncertainty:
            return self.difference / self.uncertainty
        return 0.0 if self.difference == 0.0 else float("inf") * self.difference

    @property
    def other_way_round(self) -> str:
        """What to do where the amount fits and the sign alone does not; empty for any other."""
        read = self.measured.quantity
        signs = self.over_range or self.measured.over_range or self.seen
        off = abs(self.predicted.value + read.value)
        if self.fit != "misfit" or signs or off > AGREES_TO * self.uncertainty:
            return ""
        pin = isinstance(self.measured.reading.target, IntoPin)
        counted = "; a current counts into the pin that is named" if pin else ""
        return (
            f"the amount fits with the other sign: see which way round the meter was{counted}, and write "
            f"{format_quantity(replace(read, value=-read.value), with_uncertainty=False)} if that was it"
        )

    @property
    def fit(self) -> Fit:
        """In a word."""
        if abs(self.score) <= AGREES_TO:
            return "agrees"
        return "strained" if abs(self.score) <= STRAINED_TO else "misfit"


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncompared:
    """A reading in the circuit that no prediction stands beside.

    Attributes
    ----------
    measured : Measured
        The reading.
    why : str
        Why there is no prediction.
    """

    measured: Measured
    why: str


def compare(
    measured: Measured,
    predicted: Quantity,
    *,
    causes: Mapping[str, float] | None = None,
    loaded: bool = False,
) -> Comparison:
    """Set a reading beside its prediction.

    Parameters
    ----------
    measured : Measured
        The reading.
    predicted : Quantity
        In the reading's unit.
    causes : mapping of str to float, optional
        Shares of the prediction's variance.
    loaded : bool, optional
        Whether the meter's load is in the prediction.

    Returns
    -------
    Comparison
        Both taken as independent.

    Examples
    --------
    >>> from lidoff.evidence import NetVoltage, Reading, measure
    >>> read = measure(Reading(name="r", target=NetVoltage(net="out"), shown=("4.40 V ± 0.06 V",)), {})
    >>> compare(read, Quantity(4.5, "V", 0.04)).fit
    'agrees'
    """
    return Comparison(
        measured=measured,
        predicted=predicted,
        difference=predicted.value - measured.quantity.value,
        uncertainty=combined_uncertainty(
            (predicted.normal_uncertainty, measured.quantity.normal_uncertainty)
        ),
        causes=dict(causes or {}),
        loaded=loaded,
    )
