"""Readings of what changes with time, beside one period of the circuit as traced.

An operating point shows the mains standing at nought and a pulsed pin low, so no reading of what changes may be held against
it. Such a reading is held against the figure of the waveform that the meter shows: the effective value, the mean, or, for a
meter that responds to the mean, what it is marked to show for a sine.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lidoff.circuit import (
    Circuit,
    PeriodicSpread,
    Prediction,
    Situation,
    Waveforms,
    figures,
    strongest,
)
from lidoff.circuit.kind import Array
from lidoff.dossier.asking import spread_quantity
from lidoff.dossier.periods import Periods, rest_is_silent, title_of, values_of
from lidoff.errors import ImpossibleValue, LidoffError
from lidoff.evidence import (
    EFFECTIVE,
    MEAN,
    STEADY,
    Comparison,
    InPart,
    Measured,
    NamedQuantity,
    Uncompared,
    WithoutPower,
    compare,
    is_steady,
    usual_measure,
)
from lidoff.hazards import Subject
from lidoff.insight import Seen, seen_beside
from lidoff.quantities import Quantity

__all__ = ["Followed", "compared_over_time", "is_over_time", "predicted_over_time"]

SINE_FORM = np.pi / 8.0**0.5
"""Effective value over the mean of the size, of a sine: what a meter that responds to the mean multiplies by."""
RESPONDS_TO_MEAN = "over a period, as a meter shows it that responds to the mean"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Followed:
    """Readings of what changes with time.

    Attributes
    ----------
    names : frozenset of str
        All of them, which no operating point is to be held against.
    comparisons : tuple of Comparison
        Those with a prediction.
    uncompared : tuple of Uncompared
        Those without, with the reason.
    seen : tuple of Seen
        Those with a prediction, as the reasoning over all readings sees them.
    """

    names: frozenset[str]
    comparisons: tuple[Comparison, ...]
    uncompared: tuple[Uncompared, ...]
    seen: tuple[Seen, ...]


def is_over_time(circuit: Circuit, situation: Situation, one: Measured) -> bool:
    """Whether a reading is of what changes with time, so that an operating point says nothing of it.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
        In which it was taken.
    one : Measured

    Returns
    -------
    bool
        True for every reading of AC; and where an alternating supply feeds the circuit or a controller's pin follows a pattern,
        for those of DC and power as well, unless a stand-in gives their mean at rest.
    """
    target = one.reading.target
    if isinstance(target, NamedQuantity | WithoutPower):
        return False
    if _is_alternating(_measures(one)):
        return True
    return rest_is_silent(circuit, situation, target)


def compared_over_time(
    circuit: Circuit,
    situations: Mapping[str, Situation],
    measured: Sequence[Measured],
    parameters: Sequence[tuple[str, str]],
    periods: Periods,
) -> Followed:
    """Set each reading of what changes with time beside its figure over a period.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    situations : mapping of str to Situation
        By name of the reading, the situation it was taken in; readings without one are left out.
    measured : sequence of Measured
        All readings.
    parameters : sequence of (str, str)
        Uncertain parameters of the circuit, in the order that the reasoning counts them in.
    periods : callable (Situation) → PeriodicSpread
        See `periods_of`.

    Returns
    -------
    Followed
    """
    comparisons: list[Comparison] = []
    uncompared: list[Uncompared] = []
    seen: list[Seen] = []
    for one in measured:
        situation = situations.get(one.name)
        if situation is None or not is_over_time(circuit, situation, one):
            continue
        try:
            if not Subject(circuit=circuit).alternates(situation):
                raise ImpossibleValue(f"nothing alternates in {title_of(situation)}, and AC was measured")
            comparison, slopes = _comparison(circuit, situation, periods(situation), one)
        except LidoffError as error:
            uncompared.append(Uncompared(measured=one, why=error.what))
            continue
        comparisons.append(comparison)
        seen.append(seen_beside(comparison, np.array([slopes.get(key, 0.0) for key in parameters])))
    return Followed(
        names=frozenset([*(one.reading for one in comparisons), *(one.measured.name for one in uncompared)]),
        comparisons=tuple(comparisons),
        uncompared=tuple(uncompared),
        seen=tuple(seen),
    )


def predicted_over_time(circuit: Circuit, situation: Situation, periods: Periods, one: Measured) -> Quantity:
    """Figure over a period that a reading of what changes with time is held against.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
        In which it was taken.
    periods : callable (Situation) → PeriodicSpread
        See `periods_of`.
    one : Measured
        For which `is_over_time` holds.

    Returns
    -------
    Quantity

    Raises
    ------
    LidoffError
        No period is found, or it is not told what the meter showed of it.
    """
    prediction, _ = _predicted(circuit, situation, periods(situation), one)
    return spread_quantity(prediction, 0, one.reading.target.unit)


def _measures(one: Measured) -> str:
    """What a reading measures; empty where neither it nor its instrument tells."""
    return one.measures or (usual_measure(one.quantity.unit) if one.reading.instrument else "")


def _is_alternating(measures: str) -> bool:
    return measures in ("voltage ac", "current ac")


def _comparison(
    circuit: Circuit, situation: Situation, waves: PeriodicSpread, one: Measured
) -> tuple[Comparison, Mapping[tuple[str, str], float]]:
    """Reading beside its figure, with how each uncertain parameter moves that."""
    prediction, shown = _predicted(circuit, situation, waves, one)
    predicted = spread_quantity(prediction, 0, one.reading.target.unit)
    read = one
    if shown != MEAN and one.quantity.value < 0.0:
        read = replace(one, quantity=replace(one.quantity, value=-one.quantity.value))
    causes = strongest(prediction, waves.parameters, 0)
    comparison = replace(compare(read, predicted, causes=causes), seen=shown)
    return comparison, _slopes(prediction, waves)


def _predicted(
    circuit: Circuit, situation: Situation, waves: PeriodicSpread, one: Measured
) -> tuple[Prediction, str]:
    """Figure that a meter shows, and which one it is."""
    ask = values_of(circuit, one.reading.target)
    shown = _shown(situation, waves.nominal, ask, one)
    return waves.of(lambda wave: _figure(wave, ask, shown)), shown


def _slopes(prediction: Prediction, waves: PeriodicSpread) -> Mapping[tuple[str, str], float]:
    return dict(zip(waves.parameters, map(float, prediction.shares[0]), strict=True))


def _shown(situation: Situation, wave: Waveforms, ask: Callable[[Waveforms], Array], one: Measured) -> str:
    """Which figure of a waveform a meter shows."""
    target, measures = one.reading.target, _measures(one)
    if isinstance(target, InPart) and target.what == "power":
        if measures == "apparent power":
            raise ImpossibleValue("apparent power was measured, and the power of a part is its mean")
        return MEAN
    told = figures(wave.times, ask(wave))
    size = abs(told.average)
    swing = told.alternating
    if not measures:
        if is_steady(told.average, told.rms):
            return MEAN  # an AC range would show next to nothing
        what = usual_measure(target.unit).split()[0]
        raise ImpossibleValue(
            f"it changes with time in {title_of(situation)}, and neither the reading nor an instrument tells whether DC or "
            f'AC was measured; add measures = "{what} ac" or measures = "{what} dc"'
        )
    if not _is_alternating(measures):
        return MEAN
    if size > STEADY * swing:
        raise ImpossibleValue(
            "AC was measured where a steady part lies under what alternates, and meters differ in whether they count it"
        )
    return RESPONDS_TO_MEAN if one.span is not None and one.span.responds == "mean" else EFFECTIVE


def _figure(wave: Waveforms, ask: Callable[[Waveforms], Array], shown: str) -> float:
    values = ask(wave)
    told = figures(wave.times, values)
    if shown == MEAN:
        return told.average
    if shown == RESPONDS_TO_MEAN:
        return float(SINE_FORM * figures(wave.times, np.abs(values - told.average)).average)
    return told.rms
