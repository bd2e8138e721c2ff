"""What a reading or a claim asks of the solved situations, as a quantity with its spread."""

from __future__ import annotations

import math

from lidoff.circuit import Prediction, Spreading
from lidoff.errors import ImpossibleValue
from lidoff.evidence import NetVoltage, Target
from lidoff.insight import asked_of
from lidoff.quantities import Quantity

__all__ = ["answer", "spread_quantity"]


def spread_quantity(prediction: Prediction, index: int, unit: str) -> Quantity:
    """One situation's prediction as a quantity.

    Raises
    ------
    ImpossibleValue
        It is not a finite number.
    """
    value, spread = float(prediction.value[index]), float(prediction.uncertainty[index])
    if not (math.isfinite(value) and math.isfinite(spread)):
        raise ImpossibleValue("the prediction is not a finite number", remedy="check the parts around it")
    return Quantity(value + 0.0, unit, spread)


def answer(spreading: Spreading, index: int, target: Target) -> tuple[Quantity, Prediction]:
    """What is asked, in one situation, with its spread and the prediction it comes from.

    Raises
    ------
    UnknownName, ImpossibleValue
        The target is not in the circuit, or nothing fixes it.
    """
    if isinstance(target, NetVoltage):
        loose = spreading.solution.undetermined[index] & {target.net, target.against}
        if loose:
            raise ImpossibleValue(
                f"nothing fixes the voltage of {', '.join(sorted(loose))} in this situation",
                remedy="check what the net is connected to",
            )
    prediction = spreading.of(asked_of(target))
    return spread_quantity(prediction, index, target.unit), prediction
