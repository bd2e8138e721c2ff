"""What gadgets do work with: lamp, heater, buzzer, piezo sounder."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Law, Parameter, Parameters, Ports, Response
from lidoff.circuit.laws import CAPACITANCE, CONDUCTANCE
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import TEMPERATURE, positive, rating, signed, state
from lidoff.circuit.steering import STEADY_DRAW


def _glow(ports: Ports, p: Parameters) -> Response:
    # i = G·v·((v² + v_c²)/(V² + v_c²))^((a − 1)/2): the power a of the voltage when hot, ohmic when cold
    (v,) = ports
    bend = 0.5 * (p["exponent"] - 1.0)
    base = (v**2 + p["cold_voltage"] ** 2) / (p["voltage"] ** 2 + p["cold_voltage"] ** 2)
    conductance = p["current"] / p["voltage"] * base**bend
    slope = conductance * (1.0 + 2.0 * bend * v**2 / (v**2 + p["cold_voltage"] ** 2))
    return Response((conductance * v,), (slope,))


FILAMENT = Law(
    name="filament",
    terminals=("a", "b"),
    ports=({"a": 1.0, "b": -1.0},),
    rows=({"a": 1.0, "b": -1.0},),
    pairs=((0, 0),),
    respond=_glow,
)


def _filament(p: Parameters) -> Parameters:
    # cold conductance is hot_over_cold times the hot one: base^bend at v = 0 equals that ratio
    share = p["hot_over_cold"] ** (2.0 / (p["exponent"] - 1.0))
    return {
        "voltage": p["rated_voltage"],
        "current": p["rated_current"],
        "exponent": p["exponent"],
        "cold_voltage": p["rated_voltage"] * np.sqrt(share / (1.0 - share)),
    }


def _lamp(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=FILAMENT, joins=("1", "2"), derive=_filament),)


def _hot(p: Parameters) -> Parameters:
    warmed = 1.0 + p["temperature_coefficient"] * (p["temperature"] - 25.0)
    return {"conductance": p["rated_power"] / p["rated_voltage"] ** 2 / warmed}


def _heater(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=CONDUCTANCE, joins=("1", "2"), derive=_hot),)


def _sound(p: Parameters) -> Parameters:
    return {"current": p["rated_current"] * p["state"], "reach": 0.5 * p["least_voltage"]}


def _buzzer(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=STEADY_DRAW, joins=("plus", "minus"), derive=_sound),)


def _piezo(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (
        Element(law=CAPACITANCE, joins=("1", "2")),
        Element(
            law=CONDUCTANCE, joins=("1", "2"), derive=lambda p: {"conductance": 1.0 / p["leakage_resistance"]}
        ),
    )


def _rated(voltage: float, what: str) -> Parameter:
    return positive("rated_voltage", "V", voltage, f"voltage that the {what} is made for")


_VOLTAGE, _VOLTAGE_RATING = rating("voltage_rating", "V", "voltage", 30.0, "highest voltage")

LAMP = Kind(
    name="lamp",
    title="filament lamp",
    letters=("LA", "E", "H"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_lamp,
    parameters=(
        _rated(6.0, "lamp"),
        positive("rated_current", "A", 0.3, "current at the rated voltage", spread=0.1),
        positive("hot_over_cold", "1", 10.0, "resistance when glowing over resistance when cold", spread=0.3),
        positive(
            "exponent",
            "1",
            0.55,
            "power of the voltage that the current follows",
            spread=0.1,
            maximum=0.99,
            source="0.5 to 0.6 for tungsten, common practice, no source",
        ),
    ),
    main_value="rated_voltage",
    outline=outlines.LAMP,
    says="a filament that glows; its cold resistance is far below its hot one",
    source="power law of a filament at rest, ohmic near zero; a blend of our own; heating up is not followed",
)
HEATER = Kind(
    name="heater",
    title="heating element",
    letters=("EH", "R", "E"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_heater,
    parameters=(
        _rated(5.0, "element"),
        positive("rated_power", "W", 5.0, "power at the rated voltage and 25 °C", spread=0.1),
        signed(
            "temperature_coefficient", "1/K", 0.0, "relative change of resistance for each kelvin above 25 °C"
        ),
        TEMPERATURE,
    ),
    main_value="rated_power",
    outline=outlines.RESISTOR,
    says="turns electrical power into heat",
    source="Ohm's law",
)
BUZZER = Kind(
    name="buzzer",
    outline=outlines.BUZZER,
    title="buzzer with its own oscillator",
    letters=("LS", "BZ", "HA"),
    pins=("plus", "minus"),
    path=("plus", "minus"),
    elements=_buzzer,
    parameters=(
        positive("rated_current", "A", 0.025, "average current while it sounds", spread=0.3),
        positive("least_voltage", "V", 1.5, "voltage at which its current has nearly set in", spread=0.3),
        state("state", {"working": 1.0, "dead": 0.0}, "working", "whether it works"),
        _VOLTAGE,
    ),
    ratings=(_VOLTAGE_RATING,),
    main_value="rated_current",
    says="sounds by itself when it has voltage",
    source="steady average current above its least voltage; behavioural",
)
PIEZO = Kind(
    name="piezo",
    outline=outlines.PIEZO,
    title="piezo sounder",
    letters=("LS", "BZ"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_piezo,
    parameters=(
        positive("capacitance", "F", 20e-9, "capacitance between its plates", spread=0.3),
        positive("leakage_resistance", "Ω", 1e9, "resistance between its plates", spread=0.9),
        _VOLTAGE,
    ),
    ratings=(_VOLTAGE_RATING,),
    main_value="capacitance",
    says="a ceramic disc that bends with its voltage; to the circuit a capacitor",
    source="Q = C·V; its mechanical resonance is left out",
)

MEMBERS = (BUZZER, HEATER, LAMP, PIEZO)
