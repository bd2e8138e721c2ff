"""Sources of voltage and current: what a bench supply, a socket or a generator holds at its terminals."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Parameter, Parameters
from lidoff.circuit.laws import BRANCH, INJECTION, PULSE_BRANCH, SINE_BRANCH
from lidoff.circuit.netlist import Part, Spread

CONNECTED = Parameter(
    name="connected",
    unit="",
    typical=1.0,
    words={"connected": 1.0, "disconnected": 0.0},
    minimum=0.0,
    maximum=1.0,
    says="whether it is plugged in",
)
RESISTANCE = Parameter(
    name="resistance", unit="Ω", typical=0.0, minimum=0.0, says="resistance inside the source"
)


def _voltage(name: str, says: str, typical: float | None = None, half_width: float = 0.0) -> Parameter:
    return Parameter(name=name, unit="V", typical=typical, spread=Spread(half_width=half_width), says=says)


def _time(name: str, says: str, typical: float | None = None) -> Parameter:
    return Parameter(name=name, unit="s", typical=typical, minimum=0.0, says=says)


def _steady(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=BRANCH, joins=("plus", "minus")),)


def _sine(p: Parameters) -> Parameters:
    return {
        "connected": p["connected"],
        "resistance": p["resistance"],
        "offset": p["offset"],
        "amplitude": p["voltage"] * np.sqrt(2.0),
        "frequency": p["frequency"],
        "phase": p["phase"],
    }


def _alternating(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=SINE_BRANCH, joins=("plus", "minus"), derive=_sine),)


def _pulsed(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=PULSE_BRANCH, joins=("plus", "minus")),)


def _injected(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (
        Element(
            law=INJECTION,
            joins=("plus", "minus"),
            derive=lambda p: {"current": -p["current"] * p["connected"]},
        ),
    )


DC_SUPPLY = Kind(
    name="dc_supply",
    outline=outlines.DC_SOURCE,
    title="DC supply",
    letters=("V", "J"),
    pins=("plus", "minus"),
    path=("plus", "minus"),
    elements=_steady,
    parameters=(_voltage("voltage", "voltage of plus against minus, unloaded"), RESISTANCE, CONNECTED),
    example={"voltage": 5.0},
    main_value="voltage",
    supplies=True,
    says="holds a steady voltage",
    source="ideal source with series resistance",
)
AC_SUPPLY = Kind(
    name="ac_supply",
    outline=outlines.AC_SOURCE,
    title="AC supply",
    letters=("V", "J"),
    pins=("plus", "minus"),
    path=("plus", "minus"),
    elements=_alternating,
    parameters=(
        _voltage("voltage", "root mean square voltage"),
        Parameter(name="frequency", unit="Hz", typical=50.0, minimum=0.0, above=True, says="frequency"),
        _voltage("offset", "steady part", 0.0),
        Parameter(name="phase", unit="rad", typical=0.0, says="phase at the start"),
        RESISTANCE,
        CONNECTED,
    ),
    example={"voltage": 12.0},
    main_value="voltage",
    supplies=True,
    says="holds a sine voltage, such as the mains",
    source="ideal source with series resistance",
)
PULSE_SUPPLY = Kind(
    name="pulse_supply",
    outline=outlines.PULSE_SOURCE,
    title="pulse generator",
    letters=("V",),
    pins=("plus", "minus"),
    path=("plus", "minus"),
    elements=_pulsed,
    parameters=(
        _voltage("high", "voltage of the top"),
        _voltage("low", "voltage between pulses", 0.0),
        _time("delay", "until the first pulse begins", 0.0),
        _time("rise", "from low to high", 1e-9),
        _time("width", "of the top"),
        _time("fall", "from high to low", 1e-9),
        Parameter(name="period", unit="s", minimum=0.0, above=True, says="from pulse to pulse"),
        RESISTANCE,
        CONNECTED,
    ),
    example={"high": 5.0, "width": 0.5e-3, "period": 1e-3},
    main_value="high",
    supplies=True,
    says="switches between two voltages in a fixed rhythm",
    source="ideal source with series resistance",
)
CURRENT_SUPPLY = Kind(
    name="current_supply",
    outline=outlines.CURRENT_SOURCE,
    title="current supply",
    letters=("I",),
    pins=("plus", "minus"),
    path=("plus", "minus"),
    elements=_injected,
    parameters=(
        Parameter(name="current", unit="A", says="current delivered out of plus"),
        CONNECTED,
    ),
    example={"current": 0.01},
    main_value="current",
    supplies=True,
    says="drives a steady current out of its plus pin",
    source="ideal source",
)

MEMBERS = (AC_SUPPLY, CURRENT_SUPPLY, DC_SUPPLY, PULSE_SUPPLY)
