"""Readings taken without power, beside what the circuit as traced should show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from lidoff.circuit import Circuit, Situation, Spreading
from lidoff.errors import LidoffError
from lidoff.evidence import Comparison, Instrument, Measured, Uncompared, WithoutPower, compare
from lidoff.insight import Foreseen, Seen, foreseen_without_power, watched_of
from lidoff.quantities import combined_uncertainty

__all__ = ["compared_without_power", "seen_without_power"]


def compared_without_power(
    circuit: Circuit,
    situations: Sequence[Situation],
    measured: Sequence[Measured],
    instruments: Mapping[str, Instrument],
) -> tuple[tuple[Comparison, ...], tuple[Uncompared, ...], Mapping[str, Foreseen]]:
    """Set each reading without power beside its prediction.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    situations : sequence of Situation
        Of the dossier.
    measured : sequence of Measured
        All readings; those of the powered circuit are left out.
    instruments : mapping of str to Instrument
        By name.

    Returns
    -------
    comparisons : tuple of Comparison
        In the order of the readings.
    uncompared : tuple of Uncompared
        Those without a prediction.
    foreseen : mapping of str to Foreseen
        The predictions.
    """
    dead = [one for one in measured if isinstance(one.reading.target, WithoutPower)]
    if not dead or not circuit.parts:
        return (), (), {}
    try:
        foreseen = foreseen_without_power(circuit, situations, watched_of(circuit, dead, instruments))
    except LidoffError as error:
        return (), tuple(Uncompared(measured=one, why=error.what) for one in dead), {}
    comparisons: list[Comparison] = []
    uncompared: list[Uncompared] = []
    for one in dead:
        if one.name in foreseen:
            comparisons.append(_compared(one, foreseen[one.name]))
        else:
            why = "a net that it names is not in the circuit, or tolerances leave open what the meter would show"
            if one.doubts:
                why = f"it is not to be relied on: {'; '.join(one.doubts)}"
            uncompared.append(Uncompared(measured=one, why=why))
    return tuple(comparisons), tuple(uncompared), foreseen


def _compared(one: Measured, foreseen: Foreseen) -> Comparison:
    """Reading beside its prediction; of a reading over range only how far the prediction stays below the range's end."""
    if not one.over_range:
        plain = compare(one, foreseen.shown, causes=foreseen.causes)
        return replace(plain, over_range=foreseen.over_range)
    short = 0.0 if foreseen.over_range else foreseen.shown.value - foreseen.end.value
    return Comparison(
        measured=one,
        predicted=foreseen.shown,
        difference=short,
        uncertainty=combined_uncertainty((foreseen.shown.uncertainty, foreseen.end.uncertainty)),
        causes=foreseen.causes,
        over_range=foreseen.over_range,
    )


def seen_without_power(
    spreading: Spreading, comparisons: Sequence[Comparison], foreseen: Mapping[str, Foreseen]
) -> tuple[Seen, ...]:
    """Readings without power as the reasoning over all readings sees them.

    Parameters
    ----------
    spreading : Spreading
        All situations solved with their spread, whose parameters count.
    comparisons : sequence of Comparison
        From `compared_without_power`.
    foreseen : mapping of str to Foreseen
        From there too.

    Returns
    -------
    tuple of Seen
        Those of a number that is predicted to be one.
    """
    found = []
    for one in comparisons:
        if one.over_range or one.measured.over_range:
            continue
        own = foreseen[one.reading]
        slopes = np.array([own.slopes.get(key, 0.0) for key in spreading.parameters])
        left = max(one.uncertainty**2 - float((slopes**2).sum()), 0.0)
        found.append(
            Seen(
                name=one.reading,
                unit=one.predicted.unit,
                off=-one.difference,
                deviation=left**0.5,
                slopes=slopes,
            )
        )
    return tuple(found)
