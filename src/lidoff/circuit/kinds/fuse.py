"""Fuses that blow and fuses that reset."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Array, Element, Kind, Law, Parameters, Ports, Response
from lidoff.circuit.laws import BRANCH
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, state, zero_or_more
from lidoff.circuit.smooth import logistic

SHARPNESS = 4.0  # exponent of the crossover; data sheets show a knee about as sharp


def _trip(ports: Ports, p: Parameters) -> Response:
    # Warm-up in closed form: at rest the part keeps its cold resistance until its power reaches what it can lose at the
    # tripping temperature; beyond, resistance rises so that just this power is lost. Blend of both: R·(1 + y^m)^(1/m),
    # y = v²/(P·R).
    (v,) = ports
    resistance = p["resistance"] + np.zeros_like(v)
    knee_voltage = resistance * p["trip_current"] * 2.0 ** (1.0 / SHARPNESS)
    exponent = 2.0 * SHARPNESS * np.log(np.maximum(np.abs(v) / knee_voltage, 1e-30))
    share: Array = np.exp(-np.logaddexp(0.0, exponent) / SHARPNESS)
    current = v / resistance * share
    slope = share / resistance * (1.0 - 2.0 * logistic(exponent))
    return Response((current,), (slope,))


TRIPPING = Law(
    name="tripping resistance",
    terminals=("a", "b"),
    ports=({"a": 1.0, "b": -1.0},),
    rows=({"a": 1.0, "b": -1.0},),
    pairs=((0, 0),),
    respond=_trip,
)


def _whole(p: Parameters) -> Parameters:
    return {"resistance": p["resistance"], "voltage": np.zeros(1), "connected": p["state"]}


def _fuse(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=BRANCH, joins=("1", "2"), derive=_whole),)


def _resettable(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=TRIPPING, joins=("1", "2")),)


_CURRENT, _CURRENT_RATING = rating("current_rating", "A", "current", 1.0, "current that it carries for ever")
_VOLTAGE, _VOLTAGE_RATING = rating("voltage_rating", "V", "voltage", 250.0, "voltage that it can break")
_HOLD, _HOLD_RATING = rating("hold_current", "A", "current", 0.5, "current that never trips it at 23 °C")
_LOW_VOLTAGE, _LOW_VOLTAGE_RATING = rating(
    "voltage_rating", "V", "voltage", 16.0, "highest voltage when tripped"
)
_MELTING = positive("melting_integral", "A²·s", None, "I²t at which it melts, from its data sheet")

FUSE = Kind(
    name="fuse",
    outline=outlines.FUSE,
    title="fuse",
    letters=("F",),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_fuse,
    parameters=(
        zero_or_more("resistance", "Ω", 0.05, "cold resistance", spread=0.5),
        state("state", {"whole": 1.0, "blown": 0.0}, "whole", "whether it still conducts"),
        _CURRENT,
        _VOLTAGE,
    ),
    only_if_told=(_MELTING,),
    ratings=(_CURRENT_RATING, replace(_VOLTAGE_RATING, over_time="steady or effective")),
    main_value="current_rating",
    says="melts and opens the circuit when the current stays above its rating",
    source="Ohm's law; whether it has blown is told, not predicted",
)
RESETTABLE_FUSE = Kind(
    name="resettable_fuse",
    outline=outlines.THERMISTOR,
    title="resettable fuse",
    letters=("F", "RT"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_resettable,
    parameters=(
        positive("resistance", "Ω", 0.3, "cold resistance", spread=0.5),
        positive("trip_current", "A", 1.0, "current that trips it at 23 °C", spread=0.2),
        _HOLD,
        _LOW_VOLTAGE,
    ),
    ratings=(_HOLD_RATING, _LOW_VOLTAGE_RATING),
    main_value="hold_current",
    says="turns hot and resistive when the current exceeds its trip current, and recovers when it has cooled",
    source="steady heat balance: beyond the trip current it takes the constant power that keeps it at its tripping "
    "temperature; the lead-in is a blend of our own",
)

MEMBERS = (FUSE, RESETTABLE_FUSE)
