"""The eight-pin timer: two comparators at thirds of the supply, a latch, an output and a discharge switch."""

from __future__ import annotations

import numpy as np

from lidoff.circuit.kind import Array, Element, Kind, Law, Parameters, Ports, Response
from lidoff.circuit.laws import CONDUCTANCE
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, zero_or_more
from lidoff.circuit.smooth import band_limited, logistic, step
from lidoff.circuit.steering import STEADY_DRAW, steady_draw

COMPARING = np.full(1, 0.005)  # [V] over which a comparator turns
RESET_THRESHOLD = 0.7  # [V]
RESETTING = np.full(1, 0.03)  # [V] over which the reset pin acts
LATCHING = 0.12  # sharpness of the latch; its own state counts one, reset two, set four, so that set wins
SWITCHING = np.full(1, 0.02)  # of the state, over which output and discharge switch
WAKING = np.full(1, 0.05)  # [V] over which the output comes alive with the supply


def _latch(ports: Ports, p: Parameters) -> Response:
    low, high, reset, supply, out, discharge, state = ports
    sets, sets_slope = step(low, COMPARING)
    clears, clears_slope = step(high, COMPARING)
    allowed, allowed_slope = step(reset - RESET_THRESHOLD, RESETTING)
    push = logistic((2.0 * state - 1.0 + 4.0 * sets - 2.0 * clears) / LATCHING)
    push_slope = push * (1.0 - push) / LATCHING
    alive, alive_slope = step(supply - p["least_supply"], WAKING)
    is_set, turn = step(state - 0.5, SWITCHING)
    drive, drive_slope = alive / p["output_resistance"], alive_slope / p["output_resistance"]
    sink, sink_slope = alive / p["discharge_resistance"], alive_slope / p["discharge_resistance"]
    return Response(
        (
            drive * is_set * (out - supply),
            drive * (1.0 - is_set) * out,
            sink * (1.0 - is_set) * discharge,
            state - allowed * push,
        ),
        (
            drive_slope * is_set * (out - supply) - drive * is_set,
            drive * is_set,
            drive * turn * (out - supply),
            drive_slope * (1.0 - is_set) * out,
            drive * (1.0 - is_set),
            -drive * turn * out,
            sink_slope * (1.0 - is_set) * discharge,
            sink * (1.0 - is_set),
            -sink * turn * discharge,
            -4.0 * allowed * push_slope * sets_slope,
            2.0 * allowed * push_slope * clears_slope,
            -allowed_slope * push,
            1.0 - 2.0 * allowed * push_slope,
        ),
    )


def _limit(new: Ports, old: Ports, p: Parameters) -> Ports:  # noqa: ARG001
    def held(fresh: Array, before: Array, centre: float, width: Array) -> Array:
        return band_limited(fresh, before, centre - 12.0 * width, centre + 12.0 * width, 3.0 * width)

    return (
        held(new[0], old[0], 0.0, COMPARING),
        held(new[1], old[1], 0.0, COMPARING),
        held(new[2], old[2], RESET_THRESHOLD, RESETTING),
        *new[3:6],
        band_limited(new[6], old[6], 0.5 - 12.0 * SWITCHING, 0.5 + 12.0 * SWITCHING, 3.0 * SWITCHING),
    )


def _keep(ports: Ports, p: Parameters) -> Response:
    slowness = p["delay"] + np.zeros_like(ports[6])
    return Response((slowness * ports[6],), (slowness,))


TIMER_LAW = Law(
    name="timer",
    terminals=(
        "threshold",
        "control",
        "trigger",
        "third",
        "reset",
        "output",
        "discharge",
        "supply",
        "ground",
    ),
    unknowns=("state",),
    ports=(
        {"third": 1.0, "trigger": -1.0},
        {"threshold": 1.0, "control": -1.0},
        {"reset": 1.0, "ground": -1.0},
        {"supply": 1.0, "ground": -1.0},
        {"output": 1.0, "ground": -1.0},
        {"discharge": 1.0, "ground": -1.0},
        {"state": 1.0},
    ),
    rows=(
        {"output": 1.0, "supply": -1.0},
        {"output": 1.0, "ground": -1.0},
        {"discharge": 1.0, "ground": -1.0},
        {"state": 1.0},
    ),
    pairs=(
        *((0, port) for port in (3, 4, 6)),
        *((1, port) for port in (3, 4, 6)),
        *((2, port) for port in (3, 5, 6)),
        *((3, port) for port in (0, 1, 2, 6)),
    ),
    respond=_latch,
    store=_keep,
    store_rows=({"state": 1.0},),
    store_pairs=((0, 6),),
    limit=_limit,
)


def _divider(p: Parameters) -> Parameters:
    return {"conductance": 1.0 / p["divider_resistance"]}


def _elements(part: Part) -> tuple[Element, ...]:
    control = "control" if "control" in part.pins else "~control"
    discharge = "discharge" if "discharge" in part.pins else "~discharge"
    reset = "reset" if "reset" in part.pins else "supply"
    steps = (("supply", control), (control, "~third"), ("~third", "ground"))
    return (
        Element(
            law=TIMER_LAW,
            joins=("threshold", control, "trigger", "~third", reset, "output", discharge, "supply", "ground"),
        ),
        *(Element(law=CONDUCTANCE, joins=ends, derive=_divider) for ends in steps),
        Element(
            law=STEADY_DRAW, joins=("supply", "ground"), derive=lambda p: steady_draw(p["supply_current"])
        ),
    )


_SUPPLY, _SUPPLY_RATING = rating("supply_rating", "V", "supply-ground", 16.0, "highest supply voltage")
_CURRENT, _CURRENT_RATING = rating("current_rating", "A", "output current", 0.2, "highest output current")

TIMER = Kind(
    name="timer",
    title="timer",
    letters=("U", "IC"),
    pins=("ground", "trigger", "output", "reset", "control", "threshold", "discharge", "supply"),
    elements=_elements,
    parameters=(
        positive("divider_resistance", "Ω", 5e3, "of each of the three inner resistors", spread=0.2),
        positive("output_resistance", "Ω", 20.0, "of the output to either rail", spread=0.5),
        positive("discharge_resistance", "Ω", 15.0, "of the discharge switch", spread=0.5),
        positive("delay", "s", 100e-9, "from comparator to output", spread=0.5),
        zero_or_more("least_supply", "V", 2.0, "supply voltage at which it comes alive", within=0.5),
        zero_or_more("supply_current", "A", 3e-3, "current for itself, apart from the divider", spread=0.5),
        _SUPPLY,
        _CURRENT,
    ),
    ratings=(_SUPPLY_RATING, _CURRENT_RATING),
    main_value="output_resistance",
    controls=(("trigger", "output"), ("threshold", "output"), ("threshold", "discharge")),
    optional_pins=("reset", "control", "discharge"),
    says="sets its output when the trigger falls below a third of the supply, and clears it when the threshold rises above "
    "two thirds",
    source="block diagram of the 555 type: divider of three equal resistors, two comparators, latch in which set wins; "
    "the drop of a bipolar output is left out; values from common practice, no source",
)

MEMBERS = (TIMER,)
