"""How a capacitor's voltage falls once the plug is pulled, and what is left of the circuit when nothing in it is awake."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from lidoff.circuit import Circuit, Part, Situation, Waveforms, kind_of, waveform
from lidoff.circuit.steering import STEADY_DRAW
from lidoff.errors import LidoffError
from lidoff.hazards.subject import COARSE, unplugged
from lidoff.quantities import Quantity, format_quantity

__all__ = ["Fall", "asleep", "bleeder_for", "drawing_parts", "fall_of", "time_to_fall", "when_fallen"]

AN_HOUR = 3600.0  # [s] as long a fall is followed at most


def time_to_fall(start: float, end: float, resistance: float, capacitance: float) -> float:
    """Time in which a capacitor falls from one voltage to another through a resistor.

    Parameters
    ----------
    start, end : float
        Voltages above zero [V].
    resistance, capacitance : float
        [Ω], [F].

    Returns
    -------
    float
        t = R·C·ln(start/end) [s]; zero where it starts below.

    Examples
    --------
    >>> round(time_to_fall(325.0, 34.0, 1e6, 220e-9), 3)
    0.497
    """
    return resistance * capacitance * max(0.0, math.log(start / end))


def bleeder_for(start: float, end: float, time: float, capacitance: float) -> float:
    """Largest resistor that brings a capacitor from one voltage to another within a time [Ω]."""
    return time / (capacitance * math.log(start / end))


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """How a voltage falls.

    Attributes
    ----------
    times, sizes : tuple of float
        Instants [s] and sizes without sign [V].
    end : float
        Size at the end of the stretch that was asked for [V].
    """

    times: tuple[float, ...]
    sizes: tuple[float, ...]
    end: float


def fall_of(
    circuit: Circuit,
    reference: str,
    situation: Situation,
    until: float,
    *,
    limit: float,
    start: Mapping[str, float],
    around: Mapping[str, float],
) -> Fall:
    """Follow a capacitor after every supply from outside is pulled.

    Parameters
    ----------
    circuit : Circuit
    reference : str
        Of the capacitor.
    situation : Situation
        Until the plug is pulled.
    until : float
        End of the stretch that is asked for [s].
    limit : float
        Voltage [V] to which it is followed further, for at most an hour.
    start, around : mapping of str to float
        Voltages of capacitors, and of every net, at that moment [V].

    Returns
    -------
    Fall

    Raises
    ------
    LidoffError
        It could not be followed.
    """
    known = [part.reference for part in circuit.parts if part.reference in start]
    pulled = unplugged(circuit, situation)

    def follow(time: float, volts: Mapping[str, float], nets: Mapping[str, float]) -> Waveforms:
        return waveform(circuit, time, situation=pulled, start=volts, around=nets, tolerance=COARSE)

    first = follow(until, {name: start[name] for name in known}, around)
    times, sizes = tuple(first.times), tuple(np.abs(first.part_voltage(reference)))
    end = sizes[-1]
    if end > limit:
        # No exponential goes on as it begins where diodes discharge: through them a voltage falls with the logarithm of time.
        volts = {name: float(first.part_voltage(name)[-1]) for name in known}
        try:
            further = follow(AN_HOUR - until, volts, first.potentials_at(len(times) - 1))
        except LidoffError:
            return Fall(times=times, sizes=sizes, end=end)
        times += tuple(until + further.times[1:])
        sizes += tuple(np.abs(further.part_voltage(reference))[1:])
    return Fall(times=times, sizes=sizes, end=end)


def when_fallen(fall: Fall, limit: float) -> str:
    """When it has fallen to the limit, in words."""
    below = next((number for number, size in enumerate(fall.sizes) if size <= limit), None)
    if below is None:
        last = f"it still has {format_quantity(Quantity(fall.sizes[-1], 'V'), digits=2)} then"
        if fall.times[-1] < 0.99 * AN_HOUR:
            return f"only after more than {fall.times[-1]:g} s ({last}, and was not followed further)"
        return f"only after more than an hour ({last})"
    if below == 0:
        return "at once"
    t0, t1, v0, v1 = fall.times[below - 1], fall.times[below], fall.sizes[below - 1], fall.sizes[below]
    # Steps are long where little changes; between two of them an exponential.
    time = t0 + (t1 - t0) * math.log(v0 / limit) / math.log(v0 / max(v1, 1e-3 * limit))
    return f"after {format_quantity(Quantity(time, 's'), digits=2)}"


def drawing_parts(circuit: Circuit) -> tuple[str, ...]:
    """Parts that draw a current of their own as long as they run, such as chips and boxes; none need run to the end."""
    return tuple(
        part.reference
        for part in circuit.parts
        if any(element.law is STEADY_DRAW for element in kind_of(part).elements(part))
    )


def asleep(circuit: Circuit, situation: Situation) -> tuple[Circuit, Situation]:
    """Circuit and situation in which nothing draws a current of its own; resistances measured in a box stay."""
    drawing = set(drawing_parts(circuit))
    parts = tuple(
        _without_currents(part) if part.reference in drawing else part
        for part in circuit.parts
        if part.reference not in drawing or kind_of(part).unknown
    )
    left = {part.reference: part for part in parts}
    settings = {
        reference: {
            name: value
            for name, value in values.items()
            if reference not in drawing or not _is_current(left[reference], name)
        }
        for reference, values in situation.settings.items()
        if reference in left
    }
    return replace(circuit, parts=parts), replace(situation, settings=settings)


def _is_current(part: Part, name: str) -> bool:
    return kind_of(part).parameters_of(part)[name].unit == "A"


def _without_currents(part: Part) -> Part:
    kept = [name for name in part.values if not _is_current(part, name)]
    return replace(
        part,
        values={name: part.values[name] for name in kept},
        spreads={name: spread for name, spread in part.spreads.items() if name in kept},
    )
