"""Symbol outlines in grid steps, drawn after the shapes of IEC 60617 (and IEEE 315 where said).

Axes: x to the right, y down. A two-pin symbol stands upright, its first pin on top, so that current falls down the page.
Pins end on whole steps, so that wires between them run straight. The shapes are drawn from memory of the standard.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from lidoff.circuit.assemblies import (
    BRIDGE_RECTIFIER,
    CABLE,
    LOGIC,
    OPERATIONAL_AMPLIFIER,
    OPTOCOUPLER,
    RELAY,
    THREE_WINDING_TRANSFORMER,
    TRANSFORMER,
)
from lidoff.circuit.semiconductors import (
    DARLINGTON_NPN,
    DARLINGTON_PNP,
    DIAC,
    DIODE,
    LED,
    NMOS,
    NPN,
    PHOTODIODE,
    PHOTOTRANSISTOR,
    PMOS,
    PNP,
    SCHOTTKY,
    SHUNT_REFERENCE,
    SUPPRESSOR,
    THYRISTOR,
    TRIAC,
    ZENER,
)
from lidoff.circuit.strokes import (
    Circle,
    Letters,
    Outline,
    Point,
    Polyline,
    Stroke,
    arc,
    arrow,
    line,
    shape,
    with_pins,
)

__all__ = [
    "AC_SOURCE",
    "BATTERY",
    "BOX",
    "BRIDGE_RECTIFIER",
    "BUTTON",
    "BUZZER",
    "CABLE",
    "CAPACITOR",
    "CELL",
    "CHANGEOVER",
    "CONTACT",
    "CRYSTAL",
    "CURRENT_SOURCE",
    "DARLINGTON_NPN",
    "DARLINGTON_PNP",
    "DC_SOURCE",
    "DIAC",
    "DIODE",
    "FUSE",
    "INDUCTOR",
    "LAMP",
    "LED",
    "LIGHT_RESISTOR",
    "LINK",
    "LOGIC",
    "MOTOR",
    "NMOS",
    "NPN",
    "OPERATIONAL_AMPLIFIER",
    "OPTOCOUPLER",
    "PHOTODIODE",
    "PHOTOTRANSISTOR",
    "PIEZO",
    "PMOS",
    "PNP",
    "POLARISED_CAPACITOR",
    "POTENTIOMETER",
    "PULSE_SOURCE",
    "RELAY",
    "RESISTOR",
    "RESISTOR_ZIGZAG",
    "SCHOTTKY",
    "SHUNT_REFERENCE",
    "SUPPRESSOR",
    "SWITCH",
    "TEST_POINT",
    "THERMISTOR",
    "THREE_WINDING_TRANSFORMER",
    "THYRISTOR",
    "TRANSFORMER",
    "TRIAC",
    "TWO_WAY_SUPPRESSOR",
    "VARISTOR",
    "ZENER",
    "Circle",
    "Letters",
    "Outline",
    "Polyline",
    "Stroke",
    "with_pins",
]

_TWO: Mapping[str, Point] = {"1": (0.0, -2.0), "2": (0.0, 2.0)}
_PLUS_MINUS: Mapping[str, Point] = {"plus": (0.0, -2.0), "minus": (0.0, 2.0)}
_RECTANGLE = (
    line((0, -2), (0, -1.1)),
    shape((-0.42, -1.1), (0.42, -1.1), (0.42, 1.1), (-0.42, 1.1)),
    line((0, 1.1), (0, 2)),
)
_LIGHT_IN = (*arrow((-1.75, -1.15), (-0.95, -0.55), 0.42), *arrow((-1.85, -0.55), (-1.05, 0.05), 0.42))

BOX = Outline(name="box")
RESISTOR = Outline(
    name="resistor", pins=_TWO, strokes=_RECTANGLE, extent=(-0.5, -2.0, 0.5, 2.0), reversible=True
)
RESISTOR_ZIGZAG = Outline(
    name="resistor",
    pins=_TWO,
    strokes=(
        line(
            (0, -2), (0, -1.2), (0.5, -1.0), (-0.5, -0.6), (0.5, -0.2), (-0.5, 0.2), (0.5, 0.6), (-0.5, 1.0),
            (0, 1.2), (0, 2),
        ),
    ),
    extent=(-0.5, -2.0, 0.5, 2.0),
    reversible=True,
)  # fmt: skip
FUSE = Outline(
    name="fuse",
    pins=_TWO,
    strokes=(_RECTANGLE[1], line((0, -2), (0, 2))),
    extent=(-0.5, -2.0, 0.5, 2.0),
    reversible=True,
)
THERMISTOR = Outline(
    name="thermistor",
    pins=_TWO,
    strokes=(*_RECTANGLE, line((-1.0, 1.35), (-0.7, 1.35), (1.0, -1.2)), Letters(text="θ", centre=(-1.05, 0.7), size=0.9)),
    extent=(-1.2, -2.0, 1.0, 2.0),
    reversible=True,
)  # fmt: skip
LIGHT_RESISTOR = Outline(
    name="light_resistor",
    pins=_TWO,
    strokes=(*_RECTANGLE, *_LIGHT_IN),
    extent=(-1.9, -2.0, 0.5, 2.0),
    reversible=True,
)
POTENTIOMETER = Outline(
    name="potentiometer",
    pins={"1": (0.0, -2.0), "wiper": (2.0, 0.0), "2": (0.0, 2.0)},
    strokes=(*_RECTANGLE, *arrow((2.0, 0.0), (0.45, 0.0), 0.55)),
    extent=(-0.5, -2.0, 2.0, 2.0),
)
_PLATES = (line((0, -2), (0, -0.28)), line((0, 0.28), (0, 2)))
CAPACITOR = Outline(
    name="capacitor",
    pins=_TWO,
    strokes=(*_PLATES, line((-0.95, -0.28), (0.95, -0.28)), line((-0.95, 0.28), (0.95, 0.28))),
    reversible=True,
)
POLARISED_CAPACITOR = Outline(
    name="polarised_capacitor",
    pins=_PLUS_MINUS,
    strokes=(
        line((0, -2), (0, -0.55)),
        shape((-0.95, -0.55), (0.95, -0.55), (0.95, -0.22), (-0.95, -0.22)),
        shape((-0.95, 0.22), (0.95, 0.22), (0.95, 0.5), (-0.95, 0.5), filled=True),
        line((0, 0.5), (0, 2)),
        line((-0.85, -1.1), (-0.35, -1.1)),
        line((-0.6, -1.35), (-0.6, -0.85)),
    ),
)
INDUCTOR = Outline(
    name="inductor",
    pins=_TWO,
    strokes=(
        line((0, -2), (0, -1.4)),
        Polyline(points=tuple(p for k in range(4) for p in arc((0, -1.05 + 0.7 * k), 0.35, -90, 90))),
        line((0, 1.4), (0, 2)),
    ),
    extent=(-0.4, -2.0, 0.5, 2.0),
    reversible=True,
)


def _round(name: str, *inside: Stroke, pins: Mapping[str, Point] = _TWO, reversible: bool = False) -> Outline:
    return Outline(
        name=name,
        pins=pins,
        strokes=(line((0, -2), (0, -1.2)), Circle(centre=(0, 0), radius=1.2), line((0, 1.2), (0, 2)), *inside),
        extent=(-1.2, -2.0, 1.2, 2.0),
        reversible=reversible,
    )  # fmt: skip


MOTOR = _round("motor", Letters(text="M", centre=(0, 0), size=1.3), pins=_PLUS_MINUS)
LAMP = _round("lamp", line((-0.85, -0.85), (0.85, 0.85)), line((-0.85, 0.85), (0.85, -0.85)), reversible=True)
DC_SOURCE = _round(
    "dc_source",
    line((-0.3, -0.55), (0.3, -0.55)),
    line((0, -0.85), (0, -0.25)),
    line((-0.3, 0.55), (0.3, 0.55)),
    pins=_PLUS_MINUS,
)
_WAVE = tuple(
    (round(-0.7 + 1.4 * k / 24, 3), round(-0.4 * math.sin(2 * math.pi * k / 24), 3)) for k in range(25)
)
AC_SOURCE = _round("ac_source", Polyline(points=_WAVE), pins=_PLUS_MINUS)
PULSE_SOURCE = _round(
    "pulse_source",
    line((-0.75, 0.4), (-0.35, 0.4), (-0.35, -0.4), (0.25, -0.4), (0.25, 0.4), (0.7, 0.4)),
    pins=_PLUS_MINUS,
)
CURRENT_SOURCE = _round("current_source", *arrow((0, 0.8), (0, -0.8), 0.6), pins=_PLUS_MINUS)
CELL = Outline(
    name="cell",
    pins=_PLUS_MINUS,
    strokes=(
        line((0, -2), (0, -0.25)),
        line((-1.0, -0.25), (1.0, -0.25)),
        shape((-0.5, 0.2), (0.5, 0.2), (0.5, 0.38), (-0.5, 0.38), filled=True),
        line((0, 0.38), (0, 2)),
        line((-0.85, -0.9), (-0.35, -0.9)),
        line((-0.6, -1.15), (-0.6, -0.65)),
    ),
)
# A closed contact is drawn as IEC 60617 draws one that breaks: straight in line it would pass for a wire.
_MADE = (line((0, -2), (0, -0.9), (-0.55, -0.9)), line((-0.46, -1.2), (0, 0.9)), line((0, 0.9), (0, 2)))
SWITCH = Outline(
    name="switch",
    pins=_TWO,
    strokes=(line((0, -2), (0, -0.9)), line((-0.85, -0.85), (0, 0.9)), line((0, 0.9), (0, 2))),
    extent=(-1.0, -2.0, 0.5, 2.0),
    reversible=True,
    moved={"2": _MADE},
)
_PLUNGER = (
    line((-0.95, 0), (-1.25, 0)),
    line((-1.15, -0.45), (-1.45, -0.45), (-1.45, 0.45), (-1.15, 0.45)),
)
BUTTON = Outline(
    name="button",
    pins=_TWO,
    strokes=(*SWITCH.strokes, line((-0.45, 0), (-0.75, 0)), *_PLUNGER),
    extent=(-1.5, -2.0, 0.5, 2.0),
    reversible=True,
    moved={"2": (*_MADE, line((-0.2, 0), (-0.75, 0)), *_PLUNGER)},
)
LINK = Outline(
    name="link", pins=_TWO, strokes=(line((0, -2), (0, 2)),), extent=(-0.2, -2.0, 0.2, 2.0), reversible=True
)

CONTACT = Outline(
    name="contact",
    pins=_TWO,
    strokes=(
        line((0, -2), (0, -0.25)),
        Polyline(points=arc((0, 0.1), 0.45, 180, 360)),
        line((-0.3, 0.1), (0, -0.2), (0.3, 0.1)),
        line((0, -0.2), (0, 2)),
    ),
    extent=(-0.5, -2.0, 0.5, 2.0),
    reversible=True,
)
BATTERY = Outline(
    name="battery",
    pins=_PLUS_MINUS,
    strokes=(
        line((0, -2), (0, -0.75)),
        line((-1.0, -0.75), (1.0, -0.75)),
        shape((-0.5, -0.38), (0.5, -0.38), (0.5, -0.2), (-0.5, -0.2), filled=True),
        line((-1.0, 0.2), (1.0, 0.2)),
        shape((-0.5, 0.57), (0.5, 0.57), (0.5, 0.75), (-0.5, 0.75), filled=True),
        line((0, 0.75), (0, 2)),
        line((-0.85, -1.3), (-0.35, -1.3)),
        line((-0.6, -1.55), (-0.6, -1.05)),
    ),
)
TEST_POINT = Outline(
    name="test_point",
    pins={"1": (0.0, 1.0)},
    strokes=(line((0, 1), (0, 0.35)), Circle(centre=(0, 0), radius=0.35)),
    extent=(-0.4, -0.4, 0.4, 1.0),
)
_THROWS = (line((0, -2), (0, -0.9)), line((0, 0.9), (0, 2)), line((1, 0.9), (1, 2), (2, 2)))
CHANGEOVER = Outline(
    name="changeover",
    pins={"common": (0.0, -2.0), "a": (0.0, 2.0), "b": (2.0, 2.0)},
    strokes=(*_THROWS, line((0, -0.9), (-0.15, 0.95))),
    extent=(-0.5, -2.0, 2.0, 2.0),
    moved={"b": (*_THROWS, line((0, -0.9), (1.05, 1.05))), "": (*_THROWS, line((0, -0.9), (0.5, 0.7)))},
)
BUZZER = Outline(
    name="buzzer",
    pins=_PLUS_MINUS,
    strokes=(
        line((0, -2), (0, -0.6), (0.2, -0.6)),
        line((0, 2), (0, 0.6), (0.2, 0.6)),
        Polyline(points=(*arc((0.2, 0), 1.0, -90, 90), (0.2, -1.0)), closed=True),
    ),
    extent=(-0.3, -2.0, 1.2, 2.0),
)
PIEZO = replace(BUZZER, name="piezo", pins=_TWO, reversible=True)
CRYSTAL = Outline(
    name="crystal",
    pins=_TWO,
    strokes=(
        line((0, -2), (0, -0.7)),
        line((-0.8, -0.7), (0.8, -0.7)),
        shape((-0.8, -0.4), (0.8, -0.4), (0.8, 0.4), (-0.8, 0.4)),
        line((-0.8, 0.7), (0.8, 0.7)),
        line((0, 0.7), (0, 2)),
    ),
    reversible=True,
)
VARISTOR = Outline(
    name="varistor",
    pins=_TWO,
    strokes=(
        *_RECTANGLE,
        line((-1.0, 1.35), (-0.7, 1.35), (1.0, -1.2)),
        Letters(text="U", centre=(-1.0, 0.7), size=0.9),
    ),
    extent=(-1.2, -2.0, 1.0, 2.0),
    reversible=True,
)
TWO_WAY_SUPPRESSOR = Outline(
    name="two_way_suppressor",
    pins=_TWO,
    strokes=(
        line((0, -2), (0, -1.1)),
        shape((-0.7, -1.1), (0.7, -1.1), (0, 0)),
        shape((-0.7, 1.1), (0.7, 1.1), (0, 0)),
        line((-0.95, -0.35), (-0.75, 0), (0.75, 0), (0.95, 0.35)),
        line((0, 1.1), (0, 2)),
    ),
    extent=(-1.0, -2.0, 1.0, 2.0),
    reversible=True,
)
