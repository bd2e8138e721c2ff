"""Operational amplifiers and comparators, by their behaviour at the pins."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Array, Element, Kind, Law, Parameter, Parameters, Ports, Response
from lidoff.circuit.laws import CONDUCTANCE, INJECTION, junction_current, knee_limited
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import NO_SOURCE, positive, rating, signed, zero_or_more
from lidoff.circuit.smooth import band_limited, clipped, positive_part, step
from lidoff.circuit.steering import STEADY_DRAW, STEERED, steady_draw, steered

CLAMP_SLOPE = np.full(
    1, 0.003
)  # [V] sharpness with which the drive stops at a rail: 35 mV beyond at full overdrive
CLAMP_SCALE = np.ones(1)  # [V] of drive at which the clamp has bent by one slope
CLAMP_RESISTANCE = np.full(1, 1e-9)  # keeps the clamp finite at absurd overdrive
WAKING = np.full(1, 0.05)  # [V] over which the output comes alive with the supply


def _amplify(ports: Ports, p: Parameters) -> Response:
    # The drive (an unknown, in volts) follows gain·(plus − minus + bias) between two clamps at the rails, and reaches the
    # output through the output resistance, with limited current taken from the supply or given to ground.
    difference, over, under, across, _ = ports
    gain = p["gain"]
    top, top_slope = junction_current(over + p["headroom_high"], CLAMP_SCALE, CLAMP_SLOPE, CLAMP_RESISTANCE)
    bottom, bottom_slope = junction_current(
        under + p["headroom_low"], CLAMP_SCALE, CLAMP_SLOPE, CLAMP_RESISTANCE
    )
    drive_left = difference + p["bias"] - (0.5 * (over - under) + top - bottom) / gain
    resistance, source, sink = p["resistance"], p["source_limit"], p["sink_limit"]
    span = source + sink
    asked, asked_slope = clipped(across / resistance, -sink, source, 0.01 * span)
    alive, alive_slope = step(-(over + under) - p["least_supply"], WAKING)
    current = alive * asked
    given, given_slope = positive_part(current, 1e-6 * span)
    taken, taken_slope = positive_part(-current, 1e-6 * span)
    by_rail, by_across = -alive_slope * asked, alive * asked_slope / resistance
    return Response(
        (given, taken, drive_left),
        (
            given_slope * by_rail,
            given_slope * by_rail,
            given_slope * by_across,
            -taken_slope * by_rail,
            -taken_slope * by_rail,
            -taken_slope * by_across,
            np.ones_like(difference),
            -(0.5 + top_slope) / gain,
            (0.5 + bottom_slope) / gain,
        ),
    )


def _slew(ports: Ports, p: Parameters) -> Response:
    slowness = p["slowness"] + np.zeros_like(ports[4])
    return Response((-slowness * ports[4],), (-slowness,))


def _limit(new: Ports, old: Ports, p: Parameters) -> Ports:
    def clamp(fresh: Array, before: Array, headroom: Array) -> Array:
        held = knee_limited(
            fresh + headroom,
            before + headroom,
            CLAMP_SCALE + np.zeros_like(headroom),
            CLAMP_SLOPE + np.zeros_like(headroom),
            CLAMP_RESISTANCE + np.zeros_like(headroom),
        )
        return held - headroom

    reach = p["resistance"] * (p["source_limit"] + p["sink_limit"])
    low = -p["resistance"] * p["sink_limit"] - 0.1 * reach
    return (
        new[0],
        clamp(new[1], old[1], p["headroom_high"]),
        clamp(new[2], old[2], p["headroom_low"]),
        band_limited(new[3], old[3], low, low + 1.2 * reach, 0.3 * reach),
        new[4],
    )


AMPLIFIER = Law(
    name="amplifier",
    terminals=("plus", "minus", "output", "supply", "ground"),
    unknowns=("drive",),
    ports=(
        {"plus": 1.0, "minus": -1.0},
        {"drive": 1.0, "supply": -1.0},
        {"ground": 1.0, "drive": -1.0},
        {"drive": 1.0, "output": -1.0},
        {"drive": 1.0},
    ),
    rows=({"supply": 1.0, "output": -1.0}, {"output": 1.0, "ground": -1.0}, {"drive": 1.0}),
    pairs=((0, 1), (0, 2), (0, 3), (1, 1), (1, 2), (1, 3), (2, 0), (2, 1), (2, 2)),
    respond=_amplify,
    store=_slew,
    store_rows=({"drive": 1.0},),
    store_pairs=((0, 4),),
    limit=_limit,
)


def amplifier_law(
    p: Parameters,
    *,
    bias: Array,
    source_limit: Array,
    sink_limit: Array,
    headroom_high: Array,
    headroom_low: Array,
    least_supply: Array,
) -> Parameters:
    """Parameters of the law ``amplifier``; gain, bandwidth and output resistance come from the part."""
    return {
        "gain": p["gain"],
        "bias": bias,
        "resistance": p["output_resistance"],
        "source_limit": source_limit,
        "sink_limit": sink_limit,
        "headroom_high": headroom_high,
        "headroom_low": headroom_low,
        "least_supply": least_supply,
        "slowness": 1.0 / (2.0 * np.pi * p["gain_bandwidth"]),
    }


def _operational(p: Parameters) -> Parameters:
    return amplifier_law(
        p,
        bias=p["input_offset"],
        source_limit=p["output_current"],
        sink_limit=p["output_current"],
        headroom_high=p["headroom_high"],
        headroom_low=p["headroom_low"],
        least_supply=p["least_supply"],
    )


def _bias_current(p: Parameters) -> Parameters:
    return {"current": p["input_bias_current"]}


def _quiescent(p: Parameters) -> Parameters:
    return steady_draw(p["supply_current"])


_RAILS = ("supply_plus", "supply_minus")


def _inputs_and_supply(part: Part) -> tuple[Element, ...]:
    bias = tuple(
        Element(law=INJECTION, joins=(pin, "supply_minus"), derive=_bias_current)
        for pin in ("non_inverting", "inverting")
        if "input_bias_current" in part.values
    )
    return (Element(law=STEADY_DRAW, joins=_RAILS, derive=_quiescent), *bias)


def _amplifier(part: Part) -> tuple[Element, ...]:
    joins = ("non_inverting", "inverting", "output", *_RAILS)
    return (Element(law=AMPLIFIER, joins=joins, derive=_operational), *_inputs_and_supply(part))


SWITCH_THRESHOLD = 0.7  # [V] at the base of a comparator's output transistor
SWITCH_WIDTH = 0.025  # [V]
PULL_DOWN = np.full(1, 1e-6)  # [S] at that base, which keeps it at ground while there is no supply
OFF_CONDUCTANCE = 1e-10  # [S] of an open output, 10 GΩ


def _first_stage(p: Parameters) -> Parameters:
    # drives an inner node, high when the inverting input is the higher one: its transistor then pulls the output low
    nothing = np.zeros(1)
    return {
        "gain": p["gain"],
        "bias": -p["input_offset"],
        "resistance": np.full(1, 1000.0),
        "source_limit": np.full(1, 1e-3),
        "sink_limit": np.full(1, 1e-3),
        "headroom_high": nothing,
        "headroom_low": nothing,
        "least_supply": p["least_supply"],
        "slowness": p["response_time"]
        / 5.0,  # five volts of drive within the response time at one volt of overdrive
    }


def _output_switch(p: Parameters) -> Parameters:
    return steered(
        1.0 / p["output_resistance"],
        np.full(1, OFF_CONDUCTANCE),
        np.full(1, SWITCH_THRESHOLD),
        np.full(1, SWITCH_WIDTH),
    )


def _pull_down(p: Parameters) -> Parameters:  # noqa: ARG001
    return {"conductance": PULL_DOWN}


def _comparator(part: Part) -> tuple[Element, ...]:
    return (
        Element(
            law=AMPLIFIER,
            joins=("inverting", "non_inverting", "~drive", *_RAILS),
            derive=_first_stage,
        ),
        Element(law=CONDUCTANCE, joins=("~drive", "supply_minus"), derive=_pull_down),
        Element(
            law=STEERED, joins=("~drive", "supply_minus", "output", "supply_minus"), derive=_output_switch
        ),
        *_inputs_and_supply(part),
    )


def _input(offset: float, supply_current: float, least: float) -> tuple[Parameter, ...]:
    return (
        signed("input_offset", "V", 0.0, "voltage that adds to the non-inverting input", within=offset),
        zero_or_more("supply_current", "A", supply_current, "current for itself", spread=0.5),
        zero_or_more("least_supply", "V", least, "supply voltage at which it comes alive", within=0.5),
    )


_SUPPLY, _SUPPLY_RATING = rating(
    "supply_rating", "V", "supply_plus-supply_minus", 32.0, "highest supply voltage"
)
_CURRENT, _CURRENT_RATING = rating("current_rating", "A", "output current", 0.02, "highest output current")
_BIAS = signed("input_bias_current", "A", None, "current into each input")
_PINS = ("non_inverting", "inverting", "output", "supply_plus", "supply_minus")
_CONTROLS = (("non_inverting", "output"), ("inverting", "output"))

OPERATIONAL_AMPLIFIER = Kind(
    name="operational_amplifier",
    title="operational amplifier",
    letters=("U", "IC"),
    pins=_PINS,
    path=(),
    elements=_amplifier,
    parameters=(
        positive("gain", "1", 1e5, "open-loop voltage gain", spread=0.7),
        positive("gain_bandwidth", "Hz", 1e6, "gain-bandwidth product", spread=0.5),
        positive("output_resistance", "Ω", 100.0, "of the open loop", spread=0.5),
        positive("output_current", "A", 0.02, "highest current that the output gives or takes", spread=0.5),
        signed(
            "headroom_high",
            "V",
            0.05,
            "between positive supply and highest output",
            source=f"rail to rail; {NO_SOURCE}",
        ),
        signed(
            "headroom_low",
            "V",
            0.05,
            "between lowest output and negative supply",
            source=f"rail to rail; {NO_SOURCE}",
        ),
        *_input(0.003, 0.5e-3, 1.5),
        _SUPPLY,
    ),
    only_if_told=(_BIAS,),
    ratings=(_SUPPLY_RATING,),
    main_value="gain",
    outline=outlines.OPERATIONAL_AMPLIFIER,
    controls=_CONTROLS,
    says="drives its output by a large multiple of the difference of its inputs, as far as its supplies allow",
    source="behavioural: finite gain with one pole, clamps at the rails, output resistance with limited current",
)
COMPARATOR = Kind(
    name="comparator",
    title="comparator with open collector",
    letters=("U", "IC"),
    pins=_PINS,
    path=(),
    elements=_comparator,
    parameters=(
        positive("gain", "1", 2e5, "voltage gain of the first stage", spread=0.7),
        positive("response_time", "s", 1e-6, "response at generous overdrive", spread=0.5),
        positive("output_resistance", "Ω", 50.0, "of the output when it pulls low", spread=0.5),
        *_input(0.005, 0.5e-3, 1.5),
        _SUPPLY,
        _CURRENT,
    ),
    only_if_told=(_BIAS,),
    ratings=(_SUPPLY_RATING, _CURRENT_RATING),
    main_value="output_resistance",
    outline=outlines.OPERATIONAL_AMPLIFIER,
    controls=_CONTROLS,
    says="pulls its output low while the inverting input is the higher one, and lets go of it otherwise",
    source="behavioural: gain, clamps at the rails, and a switch to the negative supply",
)

MEMBERS = (COMPARATOR, OPERATIONAL_AMPLIFIER)
