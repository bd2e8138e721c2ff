"""Readings of what changes with time, beside one period of the circuit as traced.

An operating point shows the mains standing at nought, so no reading of an alternating quantity may be held against it. Such a
reading is held against the figure of the waveform that the meter shows: the effective value, the mean, or for a meter that
responds to the mean what it is marked to show for a sine.
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
    Tolerance,
    Waveforms,
    figures,
    in_force,
    kind_of,
    periodic_spread,
    replaced_at_rest,
    strongest,
)
from lidoff.circuit.kind import Array
from lidoff.dossier.asking import spread_quantity
from lidoff.errors import ImpossibleValue, LidoffError, UnknownName
from lidoff.evidence import (
    AcrossPart,
    Comparison,
    InPart,
    IntoPin,
    Measured,
    NamedQuantity,
    NetVoltage,
    Target,
    Uncompared,
    WithoutPower,
    compare,
    usual_measure,
)
from lidoff.hazards import Subject, half_full, is_alternating, is_connected
from lidoff.insight import Seen, seen_beside
from lidoff.quantities import Quantity

__all__ = [
    "Followed",
    "asked_over_time",
    "compared_over_time",
    "is_averaged",
    "is_fed_alternating",
    "is_over_time",
    "rest_is_silent",
]

FINE = Tolerance(relative=1e-3)
POINTS = 100
"""At least so many steps a period: figures come out to a few ten-thousandths."""
STEADY = 0.05
"""Share of one of the two, the mean and what alternates, up to which the other does not count; our choice."""
SINE_FORM = np.pi / 8.0**0.5
"""Effective value over the mean of the size, of a sine: what a meter that responds to the mean multiplies by."""
EFFECTIVE, MEAN, RESPONDS_TO_MEAN = (
    "effective over a period",
    "mean over a period",
    "over a period, as a meter shows it that responds to the mean",
)


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
        True for every reading of AC; and where an alternating supply feeds the circuit, for those of DC and power as well,
        unless a stand-in gives their mean at rest.
    """
    target = one.reading.target
    if isinstance(target, NamedQuantity | WithoutPower):
        return False
    return _is_alternating(_measures(one)) or rest_is_silent(circuit, situation, target)


def rest_is_silent(circuit: Circuit, situation: Situation, target: Target) -> bool:
    """Whether an operating point says nothing of what is asked, as an alternating supply drives it.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
    target : Target
        In the circuit.

    Returns
    -------
    bool
        False where no such supply is connected, or a stand-in gives the mean.
    """
    if not is_fed_alternating(circuit, situation):
        return False
    return not is_averaged(circuit, situation) or _is_replaced(circuit, situation, target)


def asked_over_time(circuit: Circuit, situation: Situation, target: Target) -> Quantity:
    """What a claim asks of a circuit that an alternating supply drives.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
    target : Target

    Returns
    -------
    Quantity
        Mean power over a period, with the spread of the parts.

    Raises
    ------
    ImpossibleValue
        A voltage or current is asked, of which it is not told whether the mean or the effective value is meant; or no
        waveform was found.
    UnknownName
        The target is not in the circuit.
    """
    if not isinstance(target, InPart) or target.what != "power":
        raise ImpossibleValue(
            f"a supply alternates in {_title(situation)}, and the claim does not tell whether the mean of the {target} is "
            "meant or its effective value",
            remedy="measure it, and name the reading",
        )
    waves = _waves(circuit, situation)
    if isinstance(waves, str):
        raise ImpossibleValue(waves)
    ask = _asked(circuit, target)
    return spread_quantity(waves.of(lambda wave: _figure(wave, ask, MEAN)), 0, target.unit)


def is_averaged(circuit: Circuit, situation: Situation) -> bool:
    """Whether an operating point tells what the circuit does on average: stand-ins stand for all that alternates in it."""
    stood_for = {name for names in in_force(circuit, situation).values() for name in names}
    return _fed(circuit, situation) <= stood_for


def is_fed_alternating(circuit: Circuit, situation: Situation) -> bool:
    """Whether a supply that changes with time is connected."""
    return bool(_fed(circuit, situation))


def _fed(circuit: Circuit, situation: Situation) -> frozenset[str]:
    """Alternating supplies that are connected."""
    return frozenset(
        part.reference for part in circuit.parts if is_alternating(part) and is_connected(part, situation)
    )


def compared_over_time(
    circuit: Circuit,
    situations: Mapping[str, Situation],
    measured: Sequence[Measured],
    parameters: Sequence[tuple[str, str]],
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

    Returns
    -------
    Followed
    """
    comparisons: list[Comparison] = []
    uncompared: list[Uncompared] = []
    seen: list[Seen] = []
    waves: dict[str, PeriodicSpread | str] = {}
    for one in measured:
        situation = situations.get(one.name)
        if situation is None or not is_over_time(circuit, situation, one):
            continue
        if situation.name not in waves:
            waves[situation.name] = _waves(circuit, situation)
        found = waves[situation.name]
        try:
            if isinstance(found, str):
                raise ImpossibleValue(found)
            comparison, slopes = _comparison(circuit, situation, found, one)
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


def _measures(one: Measured) -> str:
    """What a reading measures; empty where neither it nor its instrument tells."""
    if one.reading.measures:
        return one.reading.measures
    if one.span is not None:
        return one.span.measures
    return usual_measure(one.quantity.unit) if one.reading.instrument else ""


def _is_alternating(measures: str) -> bool:
    return measures in ("voltage ac", "current ac")


def _is_replaced(circuit: Circuit, situation: Situation, target: Target) -> bool:
    """Whether a reading is of what a stand-in takes the place of at rest."""
    replaced = replaced_at_rest(circuit, situation)
    if isinstance(target, NetVoltage):
        return bool({target.net, target.against} & replaced.nets)
    return isinstance(target, AcrossPart | InPart | IntoPin) and target.reference in replaced.parts


def _waves(circuit: Circuit, situation: Situation) -> PeriodicSpread | str:
    """One period with its spread, or why there is none."""
    where = _title(situation)
    if not Subject(circuit=circuit).alternates(situation):
        return f"nothing alternates in {where}, and AC was measured"
    why = ""
    for start in (None, half_full(circuit)):
        try:
            return periodic_spread(circuit, situation, start=start, tolerance=FINE, points=POINTS)
        except LidoffError as error:
            why = why or error.what
    return f"no waveform was found for {where}: {why}"


def _comparison(
    circuit: Circuit, situation: Situation, waves: PeriodicSpread, one: Measured
) -> tuple[Comparison, Mapping[tuple[str, str], float]]:
    """Reading beside its figure, with how each uncertain parameter moves that."""
    ask = _asked(circuit, one.reading.target)
    shown = _shown(situation, waves.nominal, ask, one)
    prediction = waves.of(lambda wave: _figure(wave, ask, shown))
    predicted = spread_quantity(prediction, 0, one.reading.target.unit)
    read = one
    if shown != MEAN and one.quantity.value < 0.0:
        read = replace(one, quantity=replace(one.quantity, value=-one.quantity.value))
    causes = strongest(prediction, waves.parameters, 0)
    comparison = replace(compare(read, predicted, causes=causes), seen=shown)
    return comparison, _slopes(prediction, waves)


def _title(situation: Situation) -> str:
    return f"“{situation.title}”" if situation.title else situation.name


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
    swing = float(np.sqrt(max(told.rms**2 - told.average**2, 0.0)))
    if not measures:
        if swing <= STEADY * size:
            return MEAN  # an AC range would show next to nothing
        what = usual_measure(target.unit).split()[0]
        raise ImpossibleValue(
            f"a supply alternates in {_title(situation)}, and neither the reading nor an instrument tells whether DC or "
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


def _asked(circuit: Circuit, target: Target) -> Callable[[Waveforms], Array]:
    """Function that takes the target's values out of waveforms; what a supply delivers counts as delivered."""
    if isinstance(target, NetVoltage):
        ground = circuit.ground
        return lambda wave: _between(wave, target.net, target.against or ground)
    if isinstance(target, AcrossPart):
        return lambda wave: wave.part_voltage(target.reference)
    if isinstance(target, IntoPin):
        return lambda wave: wave.pin_current(target.reference, target.pin)
    if isinstance(target, InPart):
        sign = -1.0 if kind_of(circuit.part(target.reference)).supplies else 1.0
        if target.what == "current":
            return lambda wave: sign * wave.current(target.reference)
        return lambda wave: sign * wave.power(target.reference)
    raise UnknownName(f"the circuit does not tell the {target}")


def _between(wave: Waveforms, net: str, against: str) -> Array:
    references = wave.system.references
    one = wave.voltage(net)
    if against not in references:
        return one
    if references[net] != references[against]:
        raise UnknownName(f"{net!r} and {against!r} are in islands that nothing joins")
    return one - wave.voltage(against)
