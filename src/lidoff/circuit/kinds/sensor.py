"""Resistors that follow temperature or light or a hand: thermistor, photoresistor, potentiometer."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Array, Element, Kind, Parameter, Parameters
from lidoff.circuit.kinds.wire import branch_of
from lidoff.circuit.laws import BRANCH, CONDUCTANCE, ZERO_CELSIUS
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import TEMPERATURE, positive, rating, state, zero_or_more
from lidoff.errors import CircuitFault

LIGHT = zero_or_more(
    "light", "lx", 100.0, "illuminance on its window", source="a lit room, common practice, no source"
)
LOG_BASE = (
    81.0  # of a logarithmic track: one tenth of the resistance at half travel, common practice, no source
)


def thermistor_resistance(resistance: Array, beta: Array, temperature: Array, reference: Array) -> Array:
    """Resistance of a thermistor by its beta value [Ω].

    Parameters
    ----------
    resistance : ndarray
        At the reference temperature [Ω].
    beta : ndarray
        [K].
    temperature, reference : ndarray
        [°C].

    Notes
    -----
    ``R = R_0·exp(B·(1/T − 1/T_0))`` with absolute temperatures, the definition of the B value in IEC 60539-1.

    Examples
    --------
    >>> round(float(thermistor_resistance(10e3, 3950.0, 25.0, 25.0)), 6)
    10000.0
    """
    inverse = 1.0 / (temperature + ZERO_CELSIUS) - 1.0 / (reference + ZERO_CELSIUS)
    result: Array = resistance * np.exp(np.minimum(beta * inverse, 60.0))
    return result


def _warm(p: Parameters) -> Parameters:
    resistance = thermistor_resistance(
        p["resistance"], p["beta"], p["temperature"], p["reference_temperature"]
    )
    return {"conductance": 1.0 / resistance}


def _lit(p: Parameters) -> Parameters:
    bright = (p["light"] / p["reference_light"]) ** p["gamma"] / p["resistance"]
    return {"conductance": bright + 1.0 / p["dark_resistance"]}


def _thermistor(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=CONDUCTANCE, joins=("1", "2"), derive=_warm),)


def _photoresistor(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=CONDUCTANCE, joins=("1", "2"), derive=_lit),)


def _travel(p: Parameters) -> Array:
    """Share of the track between pin 1 and the wiper."""
    position = p["position"]
    curved = (LOG_BASE**position - 1.0) / (LOG_BASE - 1.0)
    return np.where(p["taper"] > 0.5, curved, position)


def _lower(p: Parameters) -> Parameters:
    return branch_of(p["end_resistance"] + p["resistance"] * _travel(p))


def _upper(p: Parameters) -> Parameters:
    return branch_of(p["end_resistance"] + p["resistance"] * (1.0 - _travel(p)))


def _potentiometer(part: Part) -> tuple[Element, ...]:
    ends = [pin for pin in ("1", "2") if pin in part.pins]
    if not ends:
        raise CircuitFault(
            f"{part.reference}: neither end of the potentiometer is on a net",
            remedy="name the net of pin 1 or 2",
        )
    halves = {"1": ("1", "wiper", _lower), "2": ("wiper", "2", _upper)}
    return tuple(Element(law=BRANCH, joins=halves[pin][:2], derive=halves[pin][2]) for pin in ends)


def _resistance(typical: float, says: str, spread: float) -> Parameter:
    return positive("resistance", "Ω", typical, says, spread=spread)


_POWER, _POWER_RATING = rating("power_rating", "W", "power", 0.1, "power it may turn into heat")

THERMISTOR = Kind(
    name="ntc",
    title="NTC thermistor",
    letters=("RT", "TH", "R"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_thermistor,
    parameters=(
        _resistance(10e3, "resistance at the reference temperature", 0.05),
        positive("beta", "K", 3950.0, "B value", spread=0.01),
        TEMPERATURE,
        Parameter(
            name="reference_temperature",
            unit="°C",
            typical=25.0,
            minimum=-273.15,
            above=True,
            says="where the resistance is told",
        ),
        _POWER,
    ),
    ratings=(_POWER_RATING,),
    main_value="resistance",
    outline=outlines.THERMISTOR,
    says="its resistance falls as it warms; its own heating is left out",
    source="definition of the B value, IEC 60539-1",
)
PHOTORESISTOR = Kind(
    name="photoresistor",
    title="photoresistor",
    letters=("R", "LDR"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_photoresistor,
    parameters=(
        _resistance(15e3, "resistance at the reference light", 0.5),
        positive("reference_light", "lx", 10.0, "illuminance where the resistance is told"),
        positive("gamma", "1", 0.7, "exponent of the fall of resistance with light", spread=0.15),
        positive("dark_resistance", "Ω", 1e6, "resistance in the dark", spread=0.9),
        LIGHT,
        _POWER,
    ),
    ratings=(_POWER_RATING,),
    main_value="resistance",
    outline=outlines.LIGHT_RESISTOR,
    says="its resistance falls in the light",
    source="R = R_10·(E/10 lx)^−γ as in data sheets of cadmium sulphide cells, beside its dark resistance",
)
POTENTIOMETER = Kind(
    name="potentiometer",
    title="potentiometer",
    letters=("RV", "P", "R"),
    pins=("1", "wiper", "2"),
    path=("1", "2"),
    elements=_potentiometer,
    parameters=(
        _resistance(10e3, "resistance from end to end", 0.2),
        zero_or_more("position", "1", 0.5, "zero at pin 1, one at pin 2", maximum=1.0, within=0.02),
        zero_or_more("end_resistance", "Ω", 0.0, "left between wiper and either end"),
        state("taper", {"linear": 0.0, "logarithmic": 1.0}, "linear", "how resistance grows along the track"),
        _POWER,
    ),
    ratings=(_POWER_RATING,),
    main_value="resistance",
    optional_pins=("1", "2"),
    outline=outlines.POTENTIOMETER,
    says="a resistor with a sliding tap",
    source="Ohm's law; a logarithmic track by one exponential, common practice, no source",
)

MEMBERS = (PHOTORESISTOR, POTENTIOMETER, THERMISTOR)
