"""Fixed resistors; a link of zero ohms is a kind of its own, in `wire`."""

from __future__ import annotations

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Parameter, Parameters, Rating
from lidoff.circuit.laws import CONDUCTANCE
from lidoff.circuit.netlist import Part, Spread

RESISTANCE = Parameter(
    name="resistance",
    unit="Ω",
    spread=Spread(half_width=0.05),
    minimum=0.0,
    above=True,
    says="resistance between the pins",
    source="±5 %: the usual grade of unmarked parts, common practice, no source",
)
TEMPERATURE_COEFFICIENT = Parameter(
    name="temperature_coefficient",
    unit="1/K",
    typical=0.0,
    says="relative change for each kelvin above 25 °C",
)
TEMPERATURE = Parameter(
    name="temperature", unit="°C", typical=25.0, minimum=-273.15, says="temperature of the part"
)
POWER_RATING = Parameter(
    name="power_rating", unit="W", typical=0.1, minimum=0.0, says="power it may turn into heat at 70 °C"
)
VOLTAGE_RATING = Parameter(
    name="voltage_rating",
    unit="V",
    typical=75.0,
    minimum=0.0,
    says="highest working voltage, the effective one where it alternates",
)


def _ohmic(p: Parameters) -> Parameters:
    warmed = 1.0 + p["temperature_coefficient"] * (p["temperature"] - 25.0)
    return {"conductance": 1.0 / (p["resistance"] * warmed)}


def _elements(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=CONDUCTANCE, joins=("1", "2"), derive=_ohmic),)


RESISTOR = Kind(
    name="resistor",
    outline=outlines.RESISTOR,
    title="resistor",
    letters=("R",),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_elements,
    parameters=(RESISTANCE, TEMPERATURE_COEFFICIENT, TEMPERATURE, POWER_RATING, VOLTAGE_RATING),
    ratings=(
        Rating(name="power_rating", unit="W", of="power"),
        # IEC 60115-1, limiting element voltage: steady, or effective where it alternates; from memory.
        Rating(name="voltage_rating", unit="V", of="voltage", over_time="steady or effective"),
    ),
    example={"resistance": 1000.0},
    main_value="resistance",
    says="drops a voltage in proportion to its current",
    source="Ohm's law; ratings of a 0603 chip from common practice, no source",
)

MEMBERS = (RESISTOR,)
