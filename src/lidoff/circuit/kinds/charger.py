"""Linear chargers for one lithium cell: constant current set by a resistor, then constant voltage."""

from __future__ import annotations

import numpy as np

from lidoff.circuit.kind import Array, Element, Kind, Law, Parameters, Ports, Response
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, zero_or_more
from lidoff.circuit.smooth import band_limited, clipped, positive_part, step
from lidoff.circuit.steering import STEADY_DRAW, steady_draw

PROGRAM_RESISTANCE = 0.1  # [Ω] inside the program pin; keeps a shorted pin from being a loop of ideal sources
BACK_RESISTANCE = 1e7  # [Ω] against current into the program pin, which can only deliver
TRICKLE_WIDTH = 0.05  # [V]
LOCKOUT_WIDTH = 0.02  # [V]
CORNER = np.full(1, 0.02)  # rounding of the corners of a share
NO_CURRENT = np.full(1, 1e-12)  # [A] rounding where the program current would turn
STATUS_MARGIN = 0.8  # of the smaller of end and trickle share: between charging and charged


def _share(
    v_battery: Array, v_input: Array, headroom: Array, p: Parameters
) -> tuple[Array, Array, Array, Array]:
    """Share of the set current that is let through, and its slopes by battery, input and headroom."""
    knee = p["knee"]
    full, full_slope = clipped((p["full_voltage"] - v_battery) / knee, np.zeros(1), np.ones(1), CORNER)
    awake, awake_slope = step(v_battery - p["trickle_voltage"], np.full(1, TRICKLE_WIDTH))
    low = p["trickle_share"]
    trickle, trickle_slope = low + (1.0 - low) * awake, (1.0 - low) * awake_slope
    on, on_slope = step(v_input - p["least_input"], np.full(1, LOCKOUT_WIDTH))
    room, room_slope = clipped(headroom / p["dropout"], np.zeros(1), np.ones(1), CORNER)
    share = full * trickle * on * room
    by_battery = (-full_slope / knee * trickle + full * trickle_slope) * on * room
    return (
        share,
        by_battery,
        full * trickle * on_slope * room,
        full * trickle * on * room_slope / p["dropout"],
    )


def _charge(ports: Ports, p: Parameters) -> Response:
    v_program, v_battery, v_input, headroom, i = ports
    share, by_battery, by_input, by_headroom = _share(v_battery, v_input, headroom, p)
    reference = p["program_voltage"]
    passed, passed_slope = positive_part(i, NO_CURRENT)
    # Nothing at no current at all: else the rounded corner alone would push a program current, times the gain, into a battery
    # pin without a cell, and lift it by kilovolts.
    back, back_slope = positive_part(-i, NO_CURRENT)
    gain = p["program_gain"]
    return Response(
        (
            i,
            gain * passed,
            v_program - reference * share + PROGRAM_RESISTANCE * i - BACK_RESISTANCE * back,
        ),
        (
            np.ones_like(i),
            gain * passed_slope,
            np.ones_like(i),
            -reference * by_battery,
            -reference * by_input,
            -reference * by_headroom,
            PROGRAM_RESISTANCE + BACK_RESISTANCE * back_slope,
        ),
    )


def _limit(new: Ports, old: Ports, p: Parameters) -> Ports:
    full, knee = p["full_voltage"], p["knee"]
    battery = band_limited(new[1], old[1], full - 1.3 * knee, full + 0.3 * knee, 0.3 * knee)
    trickle = p["trickle_voltage"]
    battery = band_limited(
        battery,
        old[1],
        trickle - 8.0 * TRICKLE_WIDTH,
        trickle + 8.0 * TRICKLE_WIDTH,
        np.full(1, 2.0 * TRICKLE_WIDTH),
    )
    least = p["least_input"]
    supply = band_limited(
        new[2],
        old[2],
        least - 8.0 * LOCKOUT_WIDTH,
        least + 8.0 * LOCKOUT_WIDTH,
        np.full(1, 2.0 * LOCKOUT_WIDTH),
    )
    dropout = p["dropout"]
    headroom = band_limited(new[3], old[3], -0.3 * dropout, 1.3 * dropout, 0.3 * dropout)
    return (new[0], battery, supply, headroom, new[4])


CHARGER_LAW = Law(
    name="linear charger",
    terminals=("input", "ground", "battery", "program"),
    unknowns=("current",),
    ports=(
        {"program": 1.0, "ground": -1.0},
        {"battery": 1.0, "ground": -1.0},
        {"input": 1.0, "ground": -1.0},
        {"input": 1.0, "battery": -1.0},
        {"current": 1.0},
    ),
    rows=({"input": 1.0, "program": -1.0}, {"input": 1.0, "battery": -1.0}, {"current": 1.0}),
    pairs=((0, 4), (1, 4), (2, 0), (2, 1), (2, 2), (2, 3), (2, 4)),
    respond=_charge,
    limit=_limit,
)


def _signal(ports: Ports, p: Parameters) -> Response:
    v_program, v_input, v = ports
    busy, busy_slope = step(v_program - p["threshold"], p["width"])
    on, on_slope = step(v_input - p["least_input"], np.full(1, LOCKOUT_WIDTH))
    sign = p["sign"]  # 1: pulls low while busy, −1: while on and not busy
    shown = np.where(sign > 0.0, busy, 1.0 - busy)
    conductance = p["conductance"] * shown * on
    return Response(
        (conductance * v,),
        (p["conductance"] * sign * busy_slope * on * v, p["conductance"] * shown * on_slope * v, conductance),
    )


def _limit_signal(new: Ports, old: Ports, p: Parameters) -> Ports:
    threshold, width, least = p["threshold"], p["width"], p["least_input"]
    return (
        band_limited(new[0], old[0], threshold - 8.0 * width, threshold + 8.0 * width, 2.0 * width),
        band_limited(
            new[1],
            old[1],
            least - 8.0 * LOCKOUT_WIDTH,
            least + 8.0 * LOCKOUT_WIDTH,
            np.full(1, 2.0 * LOCKOUT_WIDTH),
        ),
        new[2],
    )


STATUS = Law(
    name="charger status",
    terminals=("program", "ground", "input", "pin"),
    ports=({"program": 1.0, "ground": -1.0}, {"input": 1.0, "ground": -1.0}, {"pin": 1.0, "ground": -1.0}),
    rows=({"pin": 1.0, "ground": -1.0},),
    pairs=((0, 0), (0, 1), (0, 2)),
    respond=_signal,
    limit=_limit_signal,
)


def _status(part: Part, pin: str, sign: float) -> tuple[Element, ...]:
    def derive(p: Parameters) -> Parameters:
        threshold = STATUS_MARGIN * np.minimum(p["end_share"], p["trickle_share"]) * p["program_voltage"]
        return {
            "threshold": threshold,
            "width": 0.03 * threshold,
            "least_input": p["least_input"],
            "conductance": 1.0 / p["status_resistance"],
            "sign": np.full(1, sign),
        }

    if pin not in part.pins:
        return ()
    return (Element(law=STATUS, joins=("program", "ground", "input", pin), derive=derive),)


def _elements(part: Part) -> tuple[Element, ...]:
    return (
        Element(law=CHARGER_LAW, joins=("input", "ground", "battery", "program")),
        Element(
            law=STEADY_DRAW, joins=("input", "ground"), derive=lambda p: steady_draw(p["supply_current"])
        ),
        *_status(part, "charging", 1.0),
        *_status(part, "charged", -1.0),
    )


_POWER, _POWER_RATING = rating("power_rating", "W", "power", 1.0, "power it may turn into heat")
_INPUT, _INPUT_RATING = rating("input_rating", "V", "input-ground", 6.5, "highest input voltage")
_TYPE = "a common one-cell charger in an eight-pin body, common practice, no source"

LINEAR_CHARGER = Kind(
    name="linear_charger",
    title="linear charger",
    letters=("U", "IC"),
    pins=("input", "ground", "battery", "program", "charging", "charged"),
    path=("input", "battery"),
    elements=_elements,
    parameters=(
        positive(
            "program_gain", "1", 1200.0, "charge current over program current", spread=0.1, source=_TYPE
        ),
        positive(
            "program_voltage",
            "V",
            1.0,
            "at the program pin during constant current",
            spread=0.05,
            source=_TYPE,
        ),
        positive("full_voltage", "V", 4.2, "at which charging ends", spread=0.015, source=_TYPE),
        positive(
            "knee", "V", 0.02, "below the full voltage over which the current falls to nothing", source=_TYPE
        ),
        positive(
            "trickle_voltage",
            "V",
            2.9,
            "battery voltage below which it only trickles",
            within=0.1,
            source=_TYPE,
        ),
        positive("trickle_share", "1", 0.1, "trickle current over set current", maximum=1.0, source=_TYPE),
        positive(
            "end_share",
            "1",
            0.1,
            "share of the set current that counts as charged",
            maximum=1.0,
            source=_TYPE,
        ),
        positive("dropout", "V", 0.1, "input above battery that it needs for its full current", source=_TYPE),
        positive("least_input", "V", 3.7, "input voltage at which it wakes", within=0.2, source=_TYPE),
        zero_or_more("supply_current", "A", 0.15e-3, "current for itself", spread=0.5, source=_TYPE),
        positive("status_resistance", "Ω", 50.0, "of a status pin that pulls low", spread=0.5, source=_TYPE),
        _POWER,
        _INPUT,
    ),
    ratings=(_POWER_RATING, _INPUT_RATING),
    main_value="full_voltage",
    controls=(("program", "battery"), ("input", "battery")),
    optional_pins=("charging", "charged"),
    says="charges one lithium cell: the current is program_gain · program_voltage / the resistor at the program pin, until the "
    "full voltage is reached; the throttling when hot and the end timer are left out",
    source=f"behavioural; {_TYPE}",
)

MEMBERS = (LINEAR_CHARGER,)
