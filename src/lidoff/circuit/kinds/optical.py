"""Light into current: photodiode, phototransistor, optocoupler."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Law, Parameters, Ports, Response
from lidoff.circuit.kinds.bipolar import BIPOLAR, drop_parameters, transistor_law
from lidoff.circuit.kinds.diode import forward_junction
from lidoff.circuit.laws import INJECTION, JUNCTION, LEAST_JUNCTION_RESISTANCE, junction_current, knee_limited
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import TEMPERATURE, positive, rating, signed, zero_or_more

_INNER_GAIN = (
    300.0  # of the transistor inside; it shares the output current between base and emitter and cancels
)


def _lit_junction(ports: Ports, p: Parameters) -> Response:
    (v,) = ports
    resistance = np.maximum(p["resistance"], LEAST_JUNCTION_RESISTANCE)
    current, slope = junction_current(
        v - p["offset"], p["saturation_current"], p["slope_voltage"], resistance
    )
    return Response((current, p["transfer"] * current), (slope, p["transfer"] * slope))


def _limit(new: Ports, old: Ports, p: Parameters) -> Ports:
    resistance = np.maximum(p["resistance"], LEAST_JUNCTION_RESISTANCE)
    offset = p["offset"]
    held = knee_limited(
        new[0] - offset, old[0] - offset, p["saturation_current"], p["slope_voltage"], resistance
    )
    return (held + offset,)


LIT_JUNCTION = Law(
    name="junction that lights another",
    terminals=("anode", "cathode", "from", "to"),
    ports=({"anode": 1.0, "cathode": -1.0},),
    rows=({"anode": 1.0, "cathode": -1.0}, {"from": 1.0, "to": -1.0}),
    pairs=((0, 0), (1, 0)),
    respond=_lit_junction,
    limit=_limit,
)


def _photocurrent(p: Parameters) -> Parameters:
    return {"current": p["current_per_lux"] * p["light"] + p["dark_current"]}


def _photodiode(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (
        Element(law=JUNCTION, joins=("anode", "cathode"), derive=forward_junction),
        Element(law=INJECTION, joins=("cathode", "anode"), derive=_photocurrent),
    )


def _inner(p: Parameters) -> Parameters:
    return transistor_law(1.0, gain="inner_gain")({**p, "inner_gain": np.full(1, _INNER_GAIN)})


def _base_light(p: Parameters) -> Parameters:
    return {"current": (p["current_per_lux"] * p["light"] + p["dark_current"]) / (_INNER_GAIN + 1.0)}


def _phototransistor(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (
        Element(law=BIPOLAR, joins=("collector", "~base", "emitter"), derive=_inner),
        Element(law=INJECTION, joins=("collector", "~base"), derive=_base_light),
    )


def _coupling(p: Parameters) -> Parameters:
    return {**forward_junction(p), "transfer": p["transfer_ratio"] / (_INNER_GAIN + 1.0)}


def _optocoupler(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    transistor = {
        "base_emitter_drop": 0.65,
        "test_current": 0.001,
        "drop_per_kelvin": -0.002,
        "emission": 1.0,
    }

    def derive(p: Parameters) -> Parameters:
        own = {name: np.full(1, value) for name, value in transistor.items()}
        return _inner({**p, **own, "reverse_gain": np.full(1, 3.0)})

    return (
        Element(law=LIT_JUNCTION, joins=("anode", "cathode", "collector", "~base"), derive=_coupling),
        Element(law=BIPOLAR, joins=("collector", "~base", "emitter"), derive=derive),
    )


LIGHT = zero_or_more(
    "light", "lx", 100.0, "illuminance on its window", source="a lit room, common practice, no source"
)
_REVERSE, _REVERSE_RATING = rating("reverse_rating", "V", "reverse voltage", 30.0, "highest reverse voltage")
_CE, _CE_RATING = rating(
    "collector_emitter_rating", "V", "collector-emitter", 30.0, "highest collector-emitter voltage"
)
_LED, _LED_RATING = rating(
    "current_rating", "A", "current", 0.05, "highest continuous current of the light source"
)
_ISOLATION, _ISOLATION_RATING = rating(
    "isolation_rating", "V", "isolation", 5000.0, "test voltage between both sides"
)

PHOTODIODE = Kind(
    name="photodiode",
    title="photodiode",
    letters=("D", "PD"),
    pins=("anode", "cathode"),
    path=("cathode", "anode"),
    elements=_photodiode,
    parameters=(
        positive("current_per_lux", "A/lx", 70e-9, "photocurrent by illuminance", spread=0.3),
        LIGHT,
        zero_or_more("dark_current", "A", 2e-9, "reverse current in the dark", spread=0.9),
        positive("forward_drop", "V", 0.65, "forward voltage at the test current and 25 °C", within=0.1),
        positive("test_current", "A", 0.01, "current at which the forward drop is told"),
        positive("emission", "1", 1.2, "emission coefficient n"),
        zero_or_more("series_resistance", "Ω", 5.0, "resistance in series with the junction"),
        signed("drop_per_kelvin", "V/K", -0.002, "change of the forward drop with temperature"),
        TEMPERATURE,
        _REVERSE,
    ),
    ratings=(_REVERSE_RATING,),
    main_value="current_per_lux",
    outline=outlines.PHOTODIODE,
    says="drives a current from cathode to anode in proportion to the light",
    source="photocurrent beside Shockley's junction; values of a 7 mm² silicon type, common practice, no source",
)
PHOTOTRANSISTOR = Kind(
    name="phototransistor",
    title="phototransistor",
    letters=("Q", "PT"),
    pins=("collector", "emitter"),
    path=("collector", "emitter"),
    elements=_phototransistor,
    parameters=(
        positive("current_per_lux", "A/lx", 2e-6, "collector current by illuminance", spread=0.6),
        LIGHT,
        zero_or_more("dark_current", "A", 10e-9, "collector current in the dark", spread=0.9),
        *drop_parameters(0.65, 0.001),
        _CE,
    ),
    ratings=(_CE_RATING,),
    main_value="current_per_lux",
    outline=outlines.PHOTOTRANSISTOR,
    says="lets collector current through in proportion to the light",
    source="photocurrent into the base of an Ebers-Moll transistor",
)
OPTOCOUPLER = Kind(
    name="optocoupler",
    outline=outlines.OPTOCOUPLER,
    title="optocoupler",
    letters=("U", "OK", "IC"),
    pins=("anode", "cathode", "collector", "emitter"),
    path=("anode", "cathode"),
    elements=_optocoupler,
    parameters=(
        positive(
            "transfer_ratio", "1", 1.0, "collector current over current of the light source", spread=0.5
        ),
        positive("forward_drop", "V", 1.2, "of the light source at the test current and 25 °C", within=0.1),
        positive("test_current", "A", 0.01, "current at which the forward drop is told"),
        positive("emission", "1", 1.8, "emission coefficient n of the light source"),
        zero_or_more("series_resistance", "Ω", 2.0, "in series with the light source"),
        signed("drop_per_kelvin", "V/K", -0.0015, "change of the forward drop with temperature"),
        TEMPERATURE,
        _LED,
        _CE,
        _ISOLATION,
    ),
    ratings=(_LED_RATING, _CE_RATING, _ISOLATION_RATING),
    main_value="transfer_ratio",
    controls=(("anode", "collector"),),
    says="carries a signal by light: collector current follows the current of the light source, with no wire between",
    source="transfer ratio taken as constant; Shockley's junction and an Ebers-Moll transistor",
)

MEMBERS = (OPTOCOUPLER, PHOTODIODE, PHOTOTRANSISTOR)
