"""Switching converters, averaged over their switching: what they take from the input is what they give, over the efficiency."""

from __future__ import annotations

import numpy as np

from lidoff.circuit.kind import Element, Kind, Law, Parameter, Parameters, Ports, Response
from lidoff.circuit.laws import JUNCTION, junction_scale
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, state, zero_or_more
from lidoff.circuit.smooth import band_limited, softened, step, waking_limited
from lidoff.circuit.steering import STEADY_DRAW, steady_draw

WAKING = np.full(1, 0.05)  # [V] over which a converter comes alive
ROUNDING = np.full(1, 0.02)  # [V] of the corners where voltages meet
CORNER = 0.01  # of the current limit, by which its corner is rounded


def _convert(ports: Ports, p: Parameters) -> Response:
    v_input, v_output, error, target = ports
    rise, rise_slope = step(v_input - p["least_input"], WAKING)
    alive, alive_slope = p["state"] * rise, p["state"] * rise_slope
    # The output is led towards the set voltage, or what the input still allows where that is less (step-down).
    short, short_slope = softened(p["output_voltage"] - p["ceiling"] * v_input, ROUNDING)
    aim, aim_slope = (
        p["output_voltage"] - p["steps_down"] * short,
        p["steps_down"] * p["ceiling"] * short_slope,
    )
    # Floors keep the ratio of the voltages bounded; they lie where the converter sleeps or its output is shorted.
    floor = 0.5 * p["least_input"]
    into, into_slope = softened(v_input - floor, ROUNDING)
    into = into + floor
    out, out_slope = softened(v_output, ROUNDING)
    higher, higher_slope = softened(v_output - floor, ROUNDING)
    ratio = out / (p["efficiency"] * into)
    # The limit holds the output's current, or the input's where that is what the switch carries (step-up).
    share = p["efficiency"] * into / (higher + floor)
    limit = p["current_limit"] * (1.0 - p["limits_input"] * (1.0 - share))
    limit_by_input = p["current_limit"] * p["limits_input"] * share / into * into_slope
    limit_by_output = -p["current_limit"] * p["limits_input"] * share / (higher + floor) * higher_slope
    width = CORNER * p["current_limit"]
    asked = error / p["output_resistance"]
    some, some_slope = softened(asked, width)
    excess, excess_slope = softened(asked - limit, width)
    current, by_error = alive * (some - excess), alive * (some_slope - excess_slope) / p["output_resistance"]
    by_input = alive_slope * (some - excess) + alive * excess_slope * limit_by_input
    by_output = alive * excess_slope * limit_by_output
    return Response(
        (current * ratio, current, target - aim),
        (
            by_input * ratio - current * ratio / into * into_slope,
            by_output * ratio + current * out_slope / (p["efficiency"] * into),
            by_error * ratio,
            by_input,
            by_output,
            by_error,
            -aim_slope + np.zeros_like(target),
            np.ones_like(target),
        ),
    )


def _limit(new: Ports, old: Ports, p: Parameters) -> Ports:
    least = p["least_input"]
    reach = p["output_resistance"] * p["current_limit"]
    # the input's current follows the product of output voltage and current: no leap of the voltage while that is far off
    highest = 1.5 * np.maximum(old[1], p["output_voltage"])
    return (
        waking_limited(new[0], old[0], least - 10.0 * WAKING, least + 10.0 * WAKING, 2.0 * WAKING),
        np.minimum(new[1], np.maximum(old[1], highest)),
        band_limited(new[2], old[2], -0.1 * reach, 1.1 * reach, 0.3 * reach),
        new[3],
    )


AVERAGED = Law(
    name="averaged converter",
    terminals=("input", "ground", "output"),
    unknowns=("target",),
    ports=(
        {"input": 1.0, "ground": -1.0},
        {"output": 1.0, "ground": -1.0},
        {"target": 1.0, "output": -1.0, "ground": 1.0},
        {"target": 1.0},
    ),
    rows=({"input": 1.0, "ground": -1.0}, {"ground": 1.0, "output": -1.0}, {"target": 1.0}),
    pairs=((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (2, 0), (2, 3)),
    respond=_convert,
    limit=_limit,
)


def _law(p: Parameters, *, steps_down: bool) -> Parameters:
    names = ("output_voltage", "output_resistance", "efficiency", "current_limit", "least_input", "state")
    return {
        **{name: p[name] for name in names},
        "ceiling": p["highest_duty"] if steps_down else np.ones(1),
        "steps_down": np.full(1, float(steps_down)),
        "limits_input": np.full(1, float(not steps_down)),
    }


def _quiescent(part: Part) -> Element:  # noqa: ARG001
    return Element(
        law=STEADY_DRAW, joins=("input", "ground"), derive=lambda p: steady_draw(p["supply_current"])
    )


def _step_down(part: Part) -> tuple[Element, ...]:
    return (
        Element(law=AVERAGED, joins=("input", "ground", "output"), derive=lambda p: _law(p, steps_down=True)),
        _quiescent(part),
    )


def _through_diode(p: Parameters) -> Parameters:
    slope_voltage = np.full(1, 0.027)
    i_s, offset = junction_scale(p["diode_drop"], p["current_limit"], slope_voltage)
    return {
        "slope_voltage": slope_voltage,
        "resistance": np.zeros(1),
        "offset": offset,
        "saturation_current": i_s,
    }


def _step_up(part: Part) -> tuple[Element, ...]:
    return (
        Element(
            law=AVERAGED, joins=("input", "ground", "output"), derive=lambda p: _law(p, steps_down=False)
        ),
        Element(law=JUNCTION, joins=("input", "output"), derive=_through_diode),
        _quiescent(part),
    )


def _common(typical: float | None, limit: str, least: float) -> tuple[Parameter, ...]:
    return (
        positive("output_voltage", "V", typical, "regulated voltage against ground", spread=0.02),
        positive("efficiency", "1", 0.88, "output power over input power", maximum=1.0, within=0.05),
        positive("current_limit", "A", 1.5, f"highest {limit} current", spread=0.2),
        positive("output_resistance", "Ω", 0.02, "fall of the output voltage by its current", spread=0.5),
        positive("least_input", "V", least, "input voltage at which it comes alive", within=0.2),
        zero_or_more("supply_current", "A", 0.2e-3, "current for itself", spread=0.7),
        state("state", {"on": 1.0, "off": 0.0}, "on", "whether it is enabled"),
    )


_INPUT, _INPUT_RATING = rating("input_rating", "V", "input-ground", 18.0, "highest input voltage")
_OUTPUT, _OUTPUT_RATING = rating("output_rating", "V", "output-ground", 24.0, "highest output voltage")
_SOURCE = "averaged over the switching: input power = output power / efficiency; ripple, coil and feedback parts are left out"

STEP_DOWN_CONVERTER = Kind(
    name="step_down_converter",
    title="step-down converter",
    letters=("U", "A"),
    pins=("input", "ground", "output"),
    path=("input", "output"),
    elements=_step_down,
    parameters=(
        *_common(None, "output", 3.0),
        positive(
            "highest_duty", "1", 0.95, "largest share of the input voltage that it can give", maximum=1.0
        ),
        _INPUT,
    ),
    ratings=(_INPUT_RATING,),
    example={"output_voltage": 3.3},
    main_value="output_voltage",
    controls=(("input", "output"),),
    says="makes a lower voltage from a higher one with little loss",
    source=_SOURCE,
)
STEP_UP_CONVERTER = Kind(
    name="step_up_converter",
    title="step-up converter",
    letters=("U", "A"),
    pins=("input", "ground", "output"),
    path=("input", "output"),
    elements=_step_up,
    parameters=(
        *_common(None, "input", 2.0),
        positive(
            "diode_drop", "V", 0.35, "of the diode from input to output, at the current limit", within=0.1
        ),
        _OUTPUT,
    ),
    ratings=(_OUTPUT_RATING,),
    example={"output_voltage": 5.0},
    main_value="output_voltage",
    controls=(("input", "output"),),
    says="makes a higher voltage from a lower one; its diode lets the input through while it is off",
    source=_SOURCE,
)

MEMBERS = (STEP_DOWN_CONVERTER, STEP_UP_CONVERTER)
