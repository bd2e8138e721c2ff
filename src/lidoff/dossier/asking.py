"""What a reading or a claim asks of the solved situations, as a quantity with its spread."""

from __future__ import annotations

import math

from lidoff.circuit import Prediction, Spreading, bridges_islands, rests_on_loose
from lidoff.errors import ImpossibleValue
from lidoff.evidence import AcrossPart, NetVoltage, Target
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
        The target is not in the circuit, nothing fixes it, or it rests on a net that nothing fixes.
    """
    if isinstance(target, NetVoltage):
        loose = spreading.solution.undetermined[index] & {target.net, target.against}
        if loose:
            raise ImpossibleValue(
                f"nothing fixes the voltage of {', '.join(sorted(loose))} in this situation",
                remedy="check what the net is connected to",
            )
    ask = asked_of(target)
    if rests_on_loose(spreading.solution, index, ask):
        loose = spreading.solution.undetermined[index]
        raise ImpossibleValue(
            f"nothing fixes the voltage of {', '.join(sorted(loose))} in this situation, and the {target} rests on it",
            remedy=f"check what the net{'s are' if len(loose) > 1 else ' is'} connected to",
        )
    if isinstance(target, AcrossPart) and bridges_islands(spreading.solution, target.reference):
        raise ImpossibleValue(
            f"nothing fixes the {target}, whose ends lie in islands that nothing joins at rest",
            remedy="check what the nets on both sides are connected to",
        )
    prediction = spreading.of(ask)
    return spread_quantity(prediction, index, target.unit), prediction
