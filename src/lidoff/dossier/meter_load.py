"""What a meter does to the circuit that it touches: a voltmeter's input resistance, an ammeter's burden."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lidoff.circuit import (
    Circuit,
    Part,
    Situation,
    Spread,
    Spreading,
    kind_of,
    operating_point,
    predict_spread,
)
from lidoff.evidence import AcrossPart, Comparison, InPart, Instrument, IntoPin, Measured, NetVoltage
from lidoff.insight import asked_of
from lidoff.quantities import Quantity, format_quantity, standard_from_limits

__all__ = ["meter_shifts", "spreadings_with_meters", "without_meters"]

KNOWN_TO = 0.1
"""Share to which the correction for a meter's load is known, since it rests on the circuit as redrawn; our choice."""
WORTH = 0.05
"""Share of a reading's standard uncertainty from which a correction is made; our choice."""
MUCH = 0.02
"""Share of a reading from which its meter may change what it hangs on, and not only how much it is; our choice."""
CERTAIN = Spread(half_width=0.0)
ABSENT = 1e15  # [Ω] a voltmeter that is not there; far below what ties a net to anything


@dataclass(frozen=True, slots=True, kw_only=True)
class _Meter:
    """One meter in the circuit.

    Attributes
    ----------
    measured : Measured
        The reading that it shows.
    part : Part
        The meter as a part, set as if it were not there.
    moved : tuple of str or None
        For an ammeter: part, pin, and the net inside the broken lead that the pin now hangs on.
    resistance : float
        Of the meter when it is there [Ω].
    """

    measured: Measured
    part: Part
    moved: tuple[str, str, str] | None
    resistance: float


def meter_shifts(
    circuit: Circuit,
    situations: Mapping[str, Situation],
    measured: Sequence[Measured],
    instruments: Mapping[str, Instrument],
) -> Mapping[str, float]:
    """Change of each predicted voltage or current by the meter that reads it.

    Parameters
    ----------
    circuit : Circuit
        Without meters.
    situations : mapping of str to Situation
        For each reading that counts, the situation it was taken in, which settles without the meter.
    measured : sequence of Measured
        Readings; those by an instrument of known input resistance, or on a range of known burden, count.
    instruments : mapping of str to Instrument
        By name.

    Returns
    -------
    mapping of str to float
        By reading: with the meter minus without it, in the reading's unit. Readings that do not settle with their meter
        are left out.
    """
    shifts: dict[str, float] = {}
    # Meters of one situation share a circuit; an ammeter breaks a lead open, which only one can do in each.
    batches: dict[tuple[str, int], list[_Meter]] = {}
    broken: Counter[tuple[str, str, str]] = Counter()
    for one in measured:
        meter = _meter(circuit, one, instruments) if one.name in situations else None
        if meter is None:
            continue
        situation, number = situations[one.name].name, 0
        if meter.moved is not None:
            lead = (situation, *meter.moved[:2])
            number = broken[lead]
            broken[lead] += 1
        batches.setdefault((situation, number), []).append(meter)
    for batch in batches.values():
        shifts.update(_shifts(circuit, situations[batch[0].measured.name], batch))
    return shifts


def spreadings_with_meters(
    circuit: Circuit,
    situations: Mapping[str, Situation],
    measured: Sequence[Measured],
    instruments: Mapping[str, Instrument],
    shifts: Mapping[str, float],
) -> Mapping[str, Spreading]:
    """Spread of the predictions with the meter in place, for readings that their meter changes much.

    A meter may bring the circuit to another operating point, as an ammeter that takes a charger from a held current to a held
    voltage does; then other parts' tolerances move the reading.

    Parameters
    ----------
    circuit, situations, measured, instruments
        As for `meter_shifts`.
    shifts : mapping of str to float
        As it gives them.

    Returns
    -------
    mapping of str to Spreading
        By reading: its one situation solved with the meter, over the parameters of the circuit alone.
    """
    found: dict[str, Spreading] = {}
    for one in measured:
        if abs(shifts.get(one.name, 0.0)) <= MUCH * abs(one.quantity.value):
            continue
        meter = _meter(circuit, one, instruments)
        if meter is None:
            continue
        part = replace(
            meter.part,
            values={**meter.part.values, "resistance": meter.resistance},
            spreads=dict.fromkeys(meter.part.values, CERTAIN),
        )
        spreading = predict_spread(
            circuit.with_parts((*_moved(circuit, [meter]).values(), part)), [situations[one.name]]
        )
        if spreading.solution.settled[0]:
            found[one.name] = spreading
    return found


def without_meters(
    measured: Sequence[Measured], shifts: Mapping[str, float], comparisons: Sequence[Comparison]
) -> tuple[Measured, ...]:
    """Readings as they would be if no meter had loaded the circuit.

    Parameters
    ----------
    measured : sequence of Measured
        As read.
    shifts : mapping of str to float
        As `meter_shifts` gives them.
    comparisons : sequence of Comparison
        Readings beside their predictions.

    Returns
    -------
    tuple of Measured
        Each less its shift where that is worth it, with the correction's own uncertainty and a note; the rest as they are.
        What the circuit does not explain is not corrected by it, and a note says so.

    References
    ----------
    .. [1] JCGM 100:2008, 3.2.4 (a known systematic effect is corrected), 4.3.7 (limits of the correction).
    """
    misfits = {one.reading: abs(one.score) for one in comparisons if one.fit == "misfit"}
    return tuple(_without_meter(one, shifts.get(one.name, 0.0), misfits.get(one.name)) for one in measured)


def _without_meter(one: Measured, shift: float, misfit: float | None) -> Measured:
    spread = one.quantity.uncertainty
    if abs(shift) <= WORTH * spread:
        return one
    if misfit is not None:
        why = (
            f"{one.name.replace('_', ' ')} was not corrected for what the meter itself does to the circuit, since it lies "
            f"{misfit:.1f} standard uncertainties from what the circuit as recorded should show."
        )
        return replace(one, notes=(*one.notes, why))
    unit = one.quantity.unit
    load = standard_from_limits(KNOWN_TO * abs(shift))
    by = format_quantity(Quantity(-shift, unit), digits=2)
    sign = "" if by.startswith("−") else "+"
    return replace(
        one,
        quantity=Quantity(one.quantity.value - shift, unit, math.hypot(spread, load), one.quantity.dof),
        load=load,
        corrected=-shift,
        notes=(
            *one.notes,
            f"{one.name.replace('_', ' ')} was corrected by {sign}{by} for what the meter itself does to the circuit, as "
            "solved.",
        ),
    )


def _shifts(circuit: Circuit, situation: Situation, meters: Sequence[_Meter]) -> dict[str, float]:
    """Solve one circuit without any of these meters in the first sample, and with one each in the others."""
    moved = _moved(circuit, meters)
    variations: dict[tuple[str, str], list[float]] = {}
    for number, meter in enumerate(meters, start=1):
        column = [float(meter.part.values["resistance"])] * (1 + len(meters))
        column[number] = meter.resistance
        variations[meter.part.reference, "resistance"] = column
    solution = operating_point(
        circuit.with_parts((*moved.values(), *(meter.part for meter in meters))),
        situations=[situation],
        variations=variations,
    )
    shifts: dict[str, float] = {}
    for number, meter in enumerate(meters, start=1):
        if solution.settled[0] and solution.settled[number]:
            values = asked_of(meter.measured.reading.target)(solution)
            shifts[meter.measured.name] = float(values[number] - values[0])
    return shifts


def _moved(circuit: Circuit, meters: Sequence[_Meter]) -> dict[str, Part]:
    """Parts whose leads ammeters break, on the nets inside."""
    moved: dict[str, Part] = {}
    for meter in meters:
        if meter.moved is not None:
            reference, pin, inside = meter.moved
            part = moved.get(reference, circuit.part(reference))
            moved[reference] = replace(part, pins={**part.pins, pin: inside})
    return moved


def _meter(circuit: Circuit, one: Measured, instruments: Mapping[str, Instrument]) -> _Meter | None:
    """Meter of a reading, where it is known what the meter does."""
    target = one.reading.target
    reference = f"meter of {one.name}"
    if isinstance(target, NetVoltage | AcrossPart):
        instrument = instruments.get(one.reading.instrument)
        resistance = instrument.input_ohms if instrument is not None else None
        ends = _ends(circuit, target)
        if resistance is None or ends is None:
            return None
        values = {"resistance": ABSENT}
        part = Part(reference=reference, kind="resistor", pins={"1": ends[0], "2": ends[1]}, values=values)
        return _Meter(measured=one, part=part, moved=None, resistance=resistance)
    pin = _broken_lead(circuit, one)
    burden = one.span.burden_ohms if one.span is not None else None
    if pin is None or burden is None:
        return None
    broken = circuit.part(pin.reference)
    inside = f"{reference} to {pin.reference}.{pin.pin}"
    # A source of no volts is a lead without resistance, which a resistor cannot be.
    part = Part(
        reference=reference,
        kind="dc_supply",
        pins={"plus": broken.pins[pin.pin], "minus": inside},
        values={"voltage": 0.0, "resistance": 0.0},
    )
    return _Meter(
        measured=one,
        part=part,
        moved=(pin.reference, pin.pin, inside),
        resistance=burden,
    )


def _broken_lead(circuit: Circuit, one: Measured) -> IntoPin | None:
    """Pin whose lead an ammeter breaks open."""
    target = one.reading.target
    if isinstance(target, IntoPin):
        return target
    if isinstance(target, InPart) and target.what == "current":
        path = _path(circuit, target.reference)
        return IntoPin(reference=target.reference, pin=path[0]) if path else None
    return None


def _path(circuit: Circuit, reference: str) -> tuple[str, ...]:
    """Pins of a part's main path, if it has one with both pins in use."""
    part = circuit.part(reference)
    path = kind_of(part).path
    return path if len(path) == 2 and all(pin in part.pins for pin in path) else ()


def _ends(circuit: Circuit, target: NetVoltage | AcrossPart) -> tuple[str, str] | None:
    """The two nets that a voltmeter touches."""
    if isinstance(target, AcrossPart):
        pins = circuit.part(target.reference).pins
        path = _path(circuit, target.reference)
        return (pins[path[0]], pins[path[1]]) if path else None
    against = target.against or circuit.ground
    if target.net == against or not {target.net, against} <= set(circuit.nets):
        return None
    return target.net, against
