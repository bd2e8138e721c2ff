"""How a capacitor's voltage falls once the plug is pulled, and what is left of the circuit when nothing in it is awake."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from lidoff.circuit import Circuit, Part, Situation, kind_of, waveform
from lidoff.circuit.steering import STEADY_DRAW
from lidoff.hazards.subject import COARSE, unplugged
from lidoff.quantities import Quantity, format_quantity

__all__ = ["Fall", "asleep", "bleeder_for", "drawing_parts", "fall_of", "time_to_fall", "when_fallen"]

AN_HOUR = 3600.0  # [s] times beyond are told as "more than an hour"


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
    constant : float
        Time constant at the end [s]; infinite where it does not fall.
    """

    times: tuple[float, ...]
    sizes: tuple[float, ...]
    constant: float

    @property
    def end(self) -> float:
        """Last size [V]."""
        return self.sizes[-1]


def fall_of(
    circuit: Circuit,
    reference: str,
    situation: Situation,
    until: float,
    *,
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
        End [s].
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
    known = {part.reference for part in circuit.parts}
    followed = waveform(
        circuit,
        until,
        situation=unplugged(circuit, situation),
        start={name: volts for name, volts in start.items() if name in known},
        around=around,
        tolerance=COARSE,
    )
    sizes = np.abs(followed.part_voltage(reference))
    half = float(np.interp(until / 2.0, followed.times, sizes))
    lost = math.log(half / sizes[-1]) if 0.0 < sizes[-1] < half else 0.0
    return Fall(
        times=tuple(followed.times),
        sizes=tuple(sizes),
        constant=until / 2.0 / lost if lost else math.inf,
    )


def when_fallen(fall: Fall, limit: float) -> str:
    """When it has fallen to the limit, in words; beyond the followed stretch as a plain exponential."""
    if fall.end <= limit:
        below = next(number for number, size in enumerate(fall.sizes) if size <= limit)
        if below == 0:
            return "at once"
        t0, t1, v0, v1 = fall.times[below - 1], fall.times[below], fall.sizes[below - 1], fall.sizes[below]
        return f"after {format_quantity(Quantity(t0 + (v0 - limit) / (v0 - v1) * (t1 - t0), 's'), digits=2)}"
    time = fall.times[-1] + fall.constant * math.log(fall.end / limit)
    if time > AN_HOUR:
        return (
            "only after more than an hour (going on as it falls at the end of the stretch that was followed)"
        )
    return (
        f"after about {format_quantity(Quantity(time, 's'), digits=2)} (going on as it falls at the end of the stretch that "
        "was followed)"
    )


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
