"""Junctions with two pins: diode, LED, Zener and transient suppressor.

The exponential law of Shockley with a series resistance, solved in closed form (`lidoff.circuit.laws.junction_current`). What a
data sheet or a meter tells is a forward drop at a test current; the saturation current follows from it.
"""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Parameter, Parameters, Rating
from lidoff.circuit.laws import JUNCTION, LEAST_JUNCTION_RESISTANCE, junction_scale, thermal_voltage
from lidoff.circuit.netlist import Part, Spread
from lidoff.circuit.parameters import NO_SOURCE

BREAKDOWN_REACH = 25.0  # slope voltages below breakdown at which its current has died out (a factor of 1e-11)


def _drop(typical: float, half_width: float, source: str = NO_SOURCE) -> Parameter:
    return Parameter(
        name="forward_drop",
        unit="V",
        typical=typical,
        spread=Spread(half_width=half_width, relative=False),
        minimum=0.0,
        says="forward voltage at the test current and 25 °C",
        source=source,
    )


def _current(name: str, typical: float, says: str) -> Parameter:
    return Parameter(name=name, unit="A", typical=typical, minimum=0.0, above=True, says=says)


def _emission(typical: float) -> Parameter:
    return Parameter(
        name="emission", unit="1", typical=typical, minimum=0.0, above=True, says="emission coefficient n"
    )


def _resistance(typical: float) -> Parameter:
    return Parameter(
        name="series_resistance",
        unit="Ω",
        typical=typical,
        minimum=0.0,
        says="resistance in series with the junction",
    )


TEMPERATURE = Parameter(
    name="temperature", unit="°C", typical=25.0, minimum=-273.15, says="temperature of the junction"
)
DROP_SLOPE = Parameter(
    name="drop_per_kelvin",
    unit="V/K",
    typical=-0.002,
    says="change of the forward drop with temperature",
    source="about −2 mV/K for a silicon junction, common practice, no source",
)
SATURATION = Parameter(
    name="saturation_current", unit="A", typical=None, minimum=0.0, above=True, says="I_s, if known"
)
CURRENT_RATING = Parameter(
    name="current_rating", unit="A", typical=1.0, minimum=0.0, says="highest continuous forward current"
)
REVERSE_RATING = Parameter(
    name="reverse_rating", unit="V", typical=50.0, minimum=0.0, says="highest repeated reverse voltage"
)


def forward_junction(p: Parameters) -> Parameters:
    """Parameters of the law from the forward drop, from which the share of the series resistance is taken off."""
    slope_voltage = p["emission"] * thermal_voltage(p["temperature"])
    resistance = np.maximum(p["series_resistance"], LEAST_JUNCTION_RESISTANCE)
    drop = p["forward_drop"] + p["drop_per_kelvin"] * (p["temperature"] - 25.0)
    i_s, offset = junction_scale(drop - resistance * p["test_current"], p["test_current"], slope_voltage)
    return {
        "slope_voltage": slope_voltage,
        "resistance": resistance,
        "offset": offset,
        "saturation_current": i_s,
    }


def _forward_from_saturation(p: Parameters) -> Parameters:
    return {
        "slope_voltage": p["emission"] * thermal_voltage(p["temperature"]),
        "resistance": np.maximum(p["series_resistance"], LEAST_JUNCTION_RESISTANCE),
        "offset": np.zeros(1),
        "saturation_current": p["saturation_current"],
    }


def breakdown_junction(p: Parameters) -> Parameters:
    """Reverse branch: a second junction that conducts from the breakdown voltage on."""
    slope_voltage = p["breakdown_slope"] + 0.0 * p["breakdown_voltage"]
    resistance = np.maximum(p["dynamic_resistance"], LEAST_JUNCTION_RESISTANCE)
    inner = BREAKDOWN_REACH * slope_voltage
    return {
        "slope_voltage": slope_voltage,
        "resistance": resistance,
        "offset": p["breakdown_voltage"] - p["breakdown_current"] * resistance - inner,
        "saturation_current": p["breakdown_current"] / np.expm1(inner / slope_voltage),
    }


def _junction(part: Part) -> Element:
    known = "saturation_current" in part.values
    return Element(
        law=JUNCTION,
        joins=("anode", "cathode"),
        derive=_forward_from_saturation if known else forward_junction,
    )


def _diode_elements(part: Part) -> tuple[Element, ...]:
    return (_junction(part),)


def _zener_elements(part: Part) -> tuple[Element, ...]:
    return (
        _junction(part),
        Element(law=JUNCTION, joins=("cathode", "anode"), derive=breakdown_junction),
    )


_FORWARD_RATINGS = (
    Rating(name="current_rating", unit="A", of="current", over_time="mean"),
    Rating(name="reverse_rating", unit="V", of="reverse voltage"),
)
_SOURCE = (
    "W. Shockley, Bell System Technical Journal 28(3), 435-489, 1949; series resistance after Banwell and Jayakumar, "
    "Electronics Letters 36(4), 291-292, 2000"
)

DIODE = Kind(
    name="diode",
    outline=outlines.DIODE,
    title="diode",
    letters=("D",),
    pins=("anode", "cathode"),
    path=("anode", "cathode"),
    elements=_diode_elements,
    parameters=(
        _drop(0.7, 0.05),
        _current("test_current", 0.010, "current at which the forward drop is told"),
        _emission(1.8),
        _resistance(0.05),
        TEMPERATURE,
        DROP_SLOPE,
        CURRENT_RATING,
        REVERSE_RATING,
    ),
    only_if_told=(SATURATION,),
    ratings=_FORWARD_RATINGS,
    main_value="forward_drop",
    says="lets current through from anode to cathode only",
    source=_SOURCE,
)

SCHOTTKY = Kind(
    name="schottky",
    outline=outlines.SCHOTTKY,
    title="Schottky diode",
    letters=("D",),
    pins=("anode", "cathode"),
    path=("anode", "cathode"),
    elements=_diode_elements,
    parameters=(
        _drop(0.3, 0.05),
        _current("test_current", 0.1, "current at which the forward drop is told"),
        _emission(1.05),
        _resistance(0.05),
        TEMPERATURE,
        DROP_SLOPE,
        CURRENT_RATING,
        REVERSE_RATING,
    ),
    only_if_told=(SATURATION,),
    ratings=_FORWARD_RATINGS,
    main_value="forward_drop",
    says="a diode with a low forward drop",
    source=_SOURCE,
)

LED = Kind(
    name="led",
    outline=outlines.LED,
    title="light-emitting diode",
    letters=("D", "LED"),
    pins=("anode", "cathode"),
    path=("anode", "cathode"),
    elements=_diode_elements,
    parameters=(
        _drop(
            2.0,
            0.2,
            "about 2 V red to yellow-green, 3 V blue, white and true green, 3.3 V near 395 nm: common practice, no source",
        ),
        _current("test_current", 0.020, "current at which the forward drop is told"),
        _emission(2.0),
        _resistance(3.0),
        TEMPERATURE,
        DROP_SLOPE,
        Parameter(
            name="current_rating", unit="A", typical=0.020, minimum=0.0, says="highest continuous current"
        ),
        Parameter(name="reverse_rating", unit="V", typical=5.0, minimum=0.0, says="highest reverse voltage"),
    ),
    only_if_told=(SATURATION,),
    ratings=_FORWARD_RATINGS,
    main_value="forward_drop",
    says="gives light when current flows from anode to cathode",
    source=_SOURCE,
)

_BREAKDOWN_PARAMETERS = (
    Parameter(
        name="breakdown_voltage",
        unit="V",
        spread=Spread(half_width=0.05),
        minimum=0.0,
        above=True,
        says="reverse voltage at the breakdown test current",
    ),
    _current("breakdown_current", 0.005, "current at which the breakdown voltage is told"),
    Parameter(
        name="dynamic_resistance", unit="Ω", typical=5.0, minimum=0.0, says="slope resistance in breakdown"
    ),
    Parameter(
        name="breakdown_slope",
        unit="V",
        typical=0.03,
        minimum=0.0,
        above=True,
        says="how sharply breakdown sets in",
    ),
)

ZENER = Kind(
    name="zener",
    outline=outlines.ZENER,
    title="Zener diode",
    letters=("D", "ZD"),
    pins=("anode", "cathode"),
    path=("cathode", "anode"),
    elements=_zener_elements,
    parameters=(
        *_BREAKDOWN_PARAMETERS,
        _drop(0.75, 0.1),
        _current("test_current", 0.010, "current at which the forward drop is told"),
        _emission(1.8),
        _resistance(0.5),
        TEMPERATURE,
        DROP_SLOPE,
        Parameter(
            name="power_rating", unit="W", typical=0.5, minimum=0.0, says="power it may turn into heat"
        ),
    ),
    only_if_told=(SATURATION,),
    ratings=(Rating(name="power_rating", unit="W", of="power"),),
    example={"breakdown_voltage": 5.1},
    main_value="breakdown_voltage",
    says="holds its reverse voltage near the breakdown voltage",
    source=_SOURCE,
)

SUPPRESSOR = Kind(
    name="suppressor",
    outline=outlines.SUPPRESSOR,
    title="transient suppressor diode",
    letters=("D", "TVS"),
    pins=("anode", "cathode"),
    path=("cathode", "anode"),
    elements=_zener_elements,
    parameters=(
        *_BREAKDOWN_PARAMETERS,
        _drop(0.8, 0.2),
        _current("test_current", 0.010, "current at which the forward drop is told"),
        _emission(1.8),
        _resistance(0.1),
        TEMPERATURE,
        DROP_SLOPE,
        Parameter(
            name="power_rating",
            unit="W",
            typical=1.0,
            minimum=0.0,
            says="power it may turn into heat for long",
        ),
    ),
    only_if_told=(SATURATION,),
    ratings=(Rating(name="power_rating", unit="W", of="power"),),
    example={"breakdown_voltage": 6.5},
    main_value="breakdown_voltage",
    says="takes short surges above its breakdown voltage",
    source=_SOURCE,
)

MEMBERS = (DIODE, LED, SCHOTTKY, SUPPRESSOR, ZENER)
