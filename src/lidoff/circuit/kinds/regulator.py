"""Regulators that waste what they do not pass on: fixed and adjustable series regulators, shunt reference."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Law, Parameter, Parameters, Ports, Response
from lidoff.circuit.kinds.amplifier import AMPLIFIER, amplifier_law
from lidoff.circuit.laws import JUNCTION
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, zero_or_more
from lidoff.circuit.smooth import band_limited, softened, step
from lidoff.circuit.steering import STEADY_DRAW, steady_draw

SINK = 1e-6  # [A] that a regulator's output may take back, so that its law has two sides
ONSET = (
    0.5e-3  # [A] cathode current at which the sensed voltage has come within its rounding of the reference
)
SATURATION_WIDTH = 0.05  # [V] over which a shunt reference comes alive above its least voltage


def _series(p: Parameters, *, headroom_low: float) -> Parameters:
    return amplifier_law(
        p,
        bias=p["output_voltage"],
        source_limit=p["current_limit"],
        sink_limit=np.full(1, SINK),
        headroom_high=p["dropout"],
        headroom_low=np.full(1, headroom_low),
        least_supply=p["least_input"],
    )


def _fixed(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (
        Element(
            law=AMPLIFIER,
            joins=("ground", "output", "output", "input", "ground"),
            derive=lambda p: _series(p, headroom_low=0.0),
        ),
        Element(
            law=STEADY_DRAW, joins=("input", "ground"), derive=lambda p: steady_draw(p["supply_current"])
        ),
    )


def _adjustable(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (
        Element(
            law=AMPLIFIER,
            joins=("adjust", "output", "output", "input", "adjust"),
            derive=lambda p: _series(p, headroom_low=0.0),
        ),
        Element(
            law=STEADY_DRAW, joins=("input", "adjust"), derive=lambda p: steady_draw(p["adjust_current"])
        ),
    )


def _shunt(ports: Ports, p: Parameters) -> Response:
    sensed, v = ports
    width = ONSET / p["transconductance"]
    drawn, drawn_slope = softened(sensed - p["reference_voltage"], width)
    alive, alive_slope = step(v - p["least_voltage"], np.full(1, SATURATION_WIDTH))
    g = p["transconductance"]
    return Response((g * drawn * alive,), (g * drawn_slope * alive, g * drawn * alive_slope))


def _limit_shunt(new: Ports, old: Ports, p: Parameters) -> Ports:
    width = ONSET / p["transconductance"]
    centre, least = p["reference_voltage"], p["least_voltage"]
    return (
        band_limited(new[0], old[0], centre - 12.0 * width, centre + 12.0 * width, 4.0 * width),
        band_limited(
            new[1],
            old[1],
            least - 30.0 * SATURATION_WIDTH,
            least + 10.0 * SATURATION_WIDTH,
            np.full(1, 2.0 * SATURATION_WIDTH),
        ),
    )


SHUNT = Law(
    name="shunt reference",
    terminals=("cathode", "anode", "reference"),
    ports=({"reference": 1.0, "anode": -1.0}, {"cathode": 1.0, "anode": -1.0}),
    rows=({"cathode": 1.0, "anode": -1.0},),
    pairs=((0, 0), (0, 1)),
    respond=_shunt,
    limit=_limit_shunt,
)


def _back_junction(p: Parameters) -> Parameters:  # noqa: ARG001
    return {
        "saturation_current": np.full(1, 1e-12),
        "slope_voltage": np.full(1, 0.0257),
        "resistance": np.full(1, 1.0),
        "offset": np.zeros(1),
    }


def _shunt_law(p: Parameters) -> Parameters:
    return {
        "reference_voltage": p["reference_voltage"],
        "least_voltage": p["least_voltage"],
        "transconductance": 1.0 / p["dynamic_resistance"],
    }


def _shunt_elements(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (
        Element(law=SHUNT, joins=("cathode", "anode", "reference"), derive=_shunt_law),
        Element(
            law=STEADY_DRAW,
            joins=("reference", "anode"),
            derive=lambda p: steady_draw(p["reference_current"]),
        ),
        Element(law=JUNCTION, joins=("anode", "cathode"), derive=_back_junction),
    )


_POWER, _POWER_RATING = rating(
    "power_rating", "W", "power", 0.5, "power it may turn into heat without heat sink"
)
_CURRENT, _CURRENT_RATING = rating("current_rating", "A", "current", 0.1, "highest cathode current")
_INPUT, _INPUT_RATING = rating("input_rating", "V", "input-ground", 18.0, "highest input voltage")
_DIFFERENCE, _DIFFERENCE_RATING = rating(
    "input_output_rating", "V", "input-output", 40.0, "highest voltage across it"
)


def _loop(dropout: float, current_limit: float, least_input: float) -> tuple[Parameter, ...]:
    return (
        zero_or_more("dropout", "V", dropout, "least voltage from input to output", spread=0.3),
        positive("current_limit", "A", current_limit, "highest output current", spread=0.3),
        positive("output_resistance", "Ω", 0.3, "of the pass element, which adds to the dropout", spread=0.5),
        positive("gain", "1", 3000.0, "of the error amplifier", spread=0.7),
        positive("gain_bandwidth", "Hz", 1e6, "of the error amplifier", spread=0.7),
        zero_or_more("least_input", "V", least_input, "input voltage at which it comes alive"),
    )


_SERIES_SOURCE = "behavioural: reference, error amplifier, pass element with dropout and limited current"

LINEAR_REGULATOR = Kind(
    name="linear_regulator",
    title="linear regulator",
    letters=("U", "IC"),
    pins=("input", "ground", "output"),
    path=("input", "output"),
    elements=_fixed,
    parameters=(
        positive("output_voltage", "V", None, "regulated voltage against ground", spread=0.02),
        *_loop(0.2, 0.4, 1.2),
        zero_or_more("supply_current", "A", 50e-6, "current for itself, input to ground", spread=0.7),
        _POWER,
        _INPUT,
    ),
    ratings=(_POWER_RATING, _INPUT_RATING),
    example={"output_voltage": 3.3},
    main_value="output_voltage",
    controls=(("input", "output"),),
    says="holds its output at a fixed voltage as long as the input is higher by the dropout",
    source=_SERIES_SOURCE,
)
ADJUSTABLE_REGULATOR = Kind(
    name="adjustable_regulator",
    title="adjustable regulator",
    letters=("U", "IC"),
    pins=("input", "adjust", "output"),
    path=("input", "output"),
    elements=_adjustable,
    parameters=(
        positive(
            "output_voltage",
            "V",
            1.25,
            "held between output and adjust pin",
            spread=0.04,
            source="the usual three-terminal type, common practice, no source",
        ),
        *_loop(1.7, 2.0, 2.0),
        zero_or_more("adjust_current", "A", 50e-6, "current out of the adjust pin", spread=0.5),
        _POWER,
        _DIFFERENCE,
    ),
    ratings=(_POWER_RATING, _DIFFERENCE_RATING),
    main_value="output_voltage",
    controls=(("adjust", "output"), ("input", "output")),
    says="holds its output a fixed voltage above its adjust pin",
    source=_SERIES_SOURCE,
)
SHUNT_REFERENCE = Kind(
    name="shunt_reference",
    title="adjustable shunt reference",
    letters=("U", "D", "IC"),
    pins=("cathode", "anode", "reference"),
    path=("cathode", "anode"),
    elements=_shunt_elements,
    parameters=(
        positive(
            "reference_voltage",
            "V",
            2.495,
            "reference against anode at which it begins to draw",
            spread=0.02,
            source="the usual 431 type, common practice, no source",
        ),
        positive(
            "dynamic_resistance", "Ω", 0.2, "rise of the reference voltage by cathode current", spread=0.5
        ),
        positive("least_voltage", "V", 2.0, "cathode voltage below which it cannot pull", within=0.3),
        zero_or_more("reference_current", "A", 2e-6, "current into the reference pin", spread=0.5),
        _CURRENT,
        _POWER,
    ),
    ratings=(_CURRENT_RATING, _POWER_RATING),
    main_value="reference_voltage",
    outline=outlines.SHUNT_REFERENCE,
    controls=(("reference", "cathode"),),
    says="draws as much cathode current as it takes to keep its reference pin from rising above its inner reference",
    source="behavioural: transconductance above the reference voltage, none below the least cathode voltage",
)

MEMBERS = (ADJUSTABLE_REGULATOR, LINEAR_REGULATOR, SHUNT_REFERENCE)
