"""Symbol outlines in grid steps, drawn after the shapes of IEC 60617 (and IEEE 315 where said).

Axes: x to the right, y down. A two-pin symbol stands upright, its first pin on top, so that current falls down the page.
Pins end on whole steps, so that wires between them run straight. The shapes are drawn from memory of the standard.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

__all__ = [
    "AC_SOURCE",
    "BATTERY",
    "BOX",
    "BUTTON",
    "CABLE",
    "CAPACITOR",
    "CELL",
    "CHANGEOVER",
    "CONTACT",
    "CURRENT_SOURCE",
    "DARLINGTON_NPN",
    "DARLINGTON_PNP",
    "DC_SOURCE",
    "DIODE",
    "FUSE",
    "INDUCTOR",
    "LAMP",
    "LED",
    "LIGHT_RESISTOR",
    "LINK",
    "MOTOR",
    "NMOS",
    "NPN",
    "OPERATIONAL_AMPLIFIER",
    "OPTOCOUPLER",
    "PHOTODIODE",
    "PHOTOTRANSISTOR",
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
    "ZENER",
    "Circle",
    "Letters",
    "Outline",
    "Polyline",
    "Stroke",
    "with_pins",
]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Polyline:
    """Straight strokes through points; closed and filled by choice."""

    points: tuple[Point, ...]
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A circle."""

    centre: Point
    radius: float
    filled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Letters:
    """A few letters that belong to the shape; they stay upright however the symbol is turned."""

    text: str
    centre: Point
    size: float = 1.2


Stroke = Polyline | Circle | Letters


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """Shape of a symbol.

    Attributes
    ----------
    name : str
        For style sheets and tests.
    pins : mapping of str to (float, float)
        Where each pin ends; empty for a box, whose pins are placed by their roles.
    strokes : tuple of Stroke
        The drawn shape.
    extent : (left, top, right, bottom)
        What it covers, labels apart.
    reversible : bool
        Whether the two pins may change places without changing the meaning.
    """

    name: str
    pins: Mapping[str, Point] = field(default_factory=dict)
    strokes: tuple[Stroke, ...] = ()
    extent: tuple[float, float, float, float] = (-1.0, -2.0, 1.0, 2.0)
    reversible: bool = False


def with_pins(outline: Outline, *names: str) -> Outline:
    """Return the outline with its pins renamed, in the order in which it lists them.

    Parameters
    ----------
    outline : Outline
        Whose pins have names of their own.
    *names : str
        As many as it has pins.

    Returns
    -------
    Outline
        The same shape.

    Raises
    ------
    ValueError
        The number of names is not that of the pins.
    """
    return replace(outline, pins=dict(zip(names, outline.pins.values(), strict=True)))


def _line(*points: Point) -> Polyline:
    return Polyline(points=points)


def _shape(*points: Point, filled: bool = False) -> Polyline:
    return Polyline(points=points, closed=True, filled=filled)


def _arc(centre: Point, radius: float, start: float, end: float, steps: int = 12) -> tuple[Point, ...]:
    """Points of an arc; angles in degrees, clockwise from the right as y runs down."""
    angles = [math.radians(start + (end - start) * step / steps) for step in range(steps + 1)]
    return tuple(
        (round(centre[0] + radius * math.cos(a), 3), round(centre[1] + radius * math.sin(a), 3))
        for a in angles
    )


def _arrow(tail: Point, tip: Point, size: float = 0.5) -> tuple[Polyline, ...]:
    """A shaft and a filled head."""
    along = math.atan2(tip[1] - tail[1], tip[0] - tail[0])
    wings = [
        (
            round(tip[0] - size * math.cos(along + turn), 3),
            round(tip[1] - size * math.sin(along + turn), 3),
        )
        for turn in (0.42, -0.42)
    ]
    return (_line(tail, tip), _shape(tip, *wings, filled=True))


_TWO: Mapping[str, Point] = {"1": (0.0, -2.0), "2": (0.0, 2.0)}
_PLUS_MINUS: Mapping[str, Point] = {"plus": (0.0, -2.0), "minus": (0.0, 2.0)}
_RECTANGLE = (
    _line((0, -2), (0, -1.1)),
    _shape((-0.42, -1.1), (0.42, -1.1), (0.42, 1.1), (-0.42, 1.1)),
    _line((0, 1.1), (0, 2)),
)
_LIGHT_OUT = (*_arrow((0.8, -0.5), (1.4, -1.1), 0.42), *_arrow((0.95, 0.1), (1.55, -0.5), 0.42))
_LIGHT_IN = (*_arrow((-1.75, -1.15), (-0.95, -0.55), 0.42), *_arrow((-1.85, -0.55), (-1.05, 0.05), 0.42))
_PLUS_SIGN = (_line((0.75, -1.05), (1.25, -1.05)), _line((1.0, -1.3), (1.0, -0.8)))

BOX = Outline(name="box")
RESISTOR = Outline(
    name="resistor", pins=_TWO, strokes=_RECTANGLE, extent=(-0.5, -2.0, 0.5, 2.0), reversible=True
)
RESISTOR_ZIGZAG = Outline(
    name="resistor",
    pins=_TWO,
    strokes=(
        _line(
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
    strokes=(_RECTANGLE[1], _line((0, -2), (0, 2))),
    extent=(-0.5, -2.0, 0.5, 2.0),
    reversible=True,
)
THERMISTOR = Outline(
    name="thermistor",
    pins=_TWO,
    strokes=(*_RECTANGLE, _line((-1.0, 1.35), (-0.7, 1.35), (1.0, -1.2)), Letters(text="θ", centre=(-1.05, 0.7), size=0.9)),
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
    strokes=(*_RECTANGLE, *_arrow((2.0, 0.0), (0.45, 0.0), 0.55)),
    extent=(-0.5, -2.0, 2.0, 2.0),
)
_PLATES = (_line((0, -2), (0, -0.28)), _line((0, 0.28), (0, 2)))
CAPACITOR = Outline(
    name="capacitor",
    pins=_TWO,
    strokes=(*_PLATES, _line((-0.95, -0.28), (0.95, -0.28)), _line((-0.95, 0.28), (0.95, 0.28))),
    reversible=True,
)
POLARISED_CAPACITOR = Outline(
    name="polarised_capacitor",
    pins=_PLUS_MINUS,
    strokes=(
        _line((0, -2), (0, -0.55)),
        _shape((-0.95, -0.55), (0.95, -0.55), (0.95, -0.22), (-0.95, -0.22)),
        _shape((-0.95, 0.22), (0.95, 0.22), (0.95, 0.5), (-0.95, 0.5), filled=True),
        _line((0, 0.5), (0, 2)),
        _line((-0.85, -1.1), (-0.35, -1.1)),
        _line((-0.6, -1.35), (-0.6, -0.85)),
    ),
)
INDUCTOR = Outline(
    name="inductor",
    pins=_TWO,
    strokes=(
        _line((0, -2), (0, -1.4)),
        Polyline(points=tuple(p for k in range(4) for p in _arc((0, -1.05 + 0.7 * k), 0.35, -90, 90))),
        _line((0, 1.4), (0, 2)),
    ),
    extent=(-0.4, -2.0, 0.5, 2.0),
    reversible=True,
)


def _diode(
    name: str, *bar: Polyline, more: tuple[Stroke, ...] = (), left: float = -0.8, right: float = 0.8
) -> Outline:
    """Anode on top, the arrow pointing down."""
    return Outline(
        name=name,
        pins={"anode": (0.0, -2.0), "cathode": (0.0, 2.0)},
        strokes=(
            _line((0, -2), (0, -0.6)),
            _shape((-0.75, -0.6), (0.75, -0.6), (0, 0.6)),
            _line((0, 0.6), (0, 2)),
            *bar,
            *more,
        ),
        extent=(left, -2.0, right, 2.0),
    )  # fmt: skip


def _upturned(outline: Outline) -> Outline:
    """Return the two-pin symbol upside down: cathode on top."""

    def turned(stroke: Stroke) -> Stroke:
        if isinstance(stroke, Polyline):
            return replace(stroke, points=tuple((-x, -y) for x, y in stroke.points))
        return replace(stroke, centre=(-stroke.centre[0], -stroke.centre[1]))

    left, top, right, bottom = outline.extent
    return replace(
        outline,
        pins={name: (-x, -y) for name, (x, y) in reversed(list(outline.pins.items()))},
        strokes=tuple(turned(stroke) for stroke in outline.strokes),
        extent=(-right, -bottom, -left, -top),
    )


_BAR = _line((-0.75, 0.6), (0.75, 0.6))
DIODE = _diode("diode", _BAR)
LED = _diode("led", _BAR, more=_LIGHT_OUT, right=1.55)
_LIGHT_BELOW = (*_arrow((1.85, 0.6), (1.05, 0.0), 0.42), *_arrow((1.75, 1.2), (0.95, 0.6), 0.42))
PHOTODIODE = _upturned(_diode("photodiode", _BAR, more=_LIGHT_BELOW, right=1.9))
SCHOTTKY = _diode(
    "schottky", _line((-0.45, 0.3), (-0.75, 0.3), (-0.75, 0.6), (0.75, 0.6), (0.75, 0.9), (0.45, 0.9))
)
ZENER = _upturned(_diode("zener", _line((-0.75, 0.25), (-0.75, 0.6), (0.75, 0.6))))
SUPPRESSOR = _upturned(
    _diode("suppressor", _line((-1.0, 0.25), (-0.75, 0.6), (0.75, 0.6), (1.0, 0.95)), left=-1.0, right=1.0)
)
SHUNT_REFERENCE = replace(
    _upturned(_diode("shunt_reference", _line((-0.75, 0.25), (-0.75, 0.6), (0.75, 0.6)))),
    pins={"cathode": (0.0, -2.0), "anode": (0.0, 2.0), "reference": (-2.0, 0.0)},
)
SHUNT_REFERENCE = replace(
    SHUNT_REFERENCE,
    strokes=(*SHUNT_REFERENCE.strokes, _line((-2.0, 0.0), (-0.38, 0.0))),
    extent=(-2.0, -2.0, 0.8, 2.0),
)


def _round(name: str, *inside: Stroke, pins: Mapping[str, Point] = _TWO, reversible: bool = False) -> Outline:
    return Outline(
        name=name,
        pins=pins,
        strokes=(_line((0, -2), (0, -1.2)), Circle(centre=(0, 0), radius=1.2), _line((0, 1.2), (0, 2)), *inside),
        extent=(-1.2, -2.0, 1.2, 2.0),
        reversible=reversible,
    )  # fmt: skip


MOTOR = _round("motor", Letters(text="M", centre=(0, 0), size=1.3), pins=_PLUS_MINUS)
LAMP = _round(
    "lamp", _line((-0.85, -0.85), (0.85, 0.85)), _line((-0.85, 0.85), (0.85, -0.85)), reversible=True
)
DC_SOURCE = _round(
    "dc_source",
    _line((-0.3, -0.55), (0.3, -0.55)),
    _line((0, -0.85), (0, -0.25)),
    _line((-0.3, 0.55), (0.3, 0.55)),
    pins=_PLUS_MINUS,
)
_WAVE = tuple(
    (round(-0.7 + 1.4 * k / 24, 3), round(-0.4 * math.sin(2 * math.pi * k / 24), 3)) for k in range(25)
)
AC_SOURCE = _round("ac_source", Polyline(points=_WAVE), pins=_PLUS_MINUS)
PULSE_SOURCE = _round(
    "pulse_source",
    _line((-0.75, 0.4), (-0.35, 0.4), (-0.35, -0.4), (0.25, -0.4), (0.25, 0.4), (0.7, 0.4)),
    pins=_PLUS_MINUS,
)
CURRENT_SOURCE = _round("current_source", *_arrow((0, 0.8), (0, -0.8), 0.6), pins=_PLUS_MINUS)
CELL = Outline(
    name="cell",
    pins=_PLUS_MINUS,
    strokes=(
        _line((0, -2), (0, -0.25)),
        _line((-1.0, -0.25), (1.0, -0.25)),
        _shape((-0.5, 0.2), (0.5, 0.2), (0.5, 0.38), (-0.5, 0.38), filled=True),
        _line((0, 0.38), (0, 2)),
        _line((-0.85, -0.9), (-0.35, -0.9)),
        _line((-0.6, -1.15), (-0.6, -0.65)),
    ),
)
SWITCH = Outline(
    name="switch",
    pins=_TWO,
    strokes=(_line((0, -2), (0, -0.9)), _line((-0.85, -0.85), (0, 0.9)), _line((0, 0.9), (0, 2))),
    extent=(-1.0, -2.0, 0.5, 2.0),
    reversible=True,
)
BUTTON = Outline(
    name="button",
    pins=_TWO,
    strokes=(
        *SWITCH.strokes,
        _line((-0.45, 0), (-0.75, 0)),
        _line((-0.95, 0), (-1.25, 0)),
        _line((-1.15, -0.45), (-1.45, -0.45), (-1.45, 0.45), (-1.15, 0.45)),
    ),
    extent=(-1.5, -2.0, 0.5, 2.0),
    reversible=True,
)
LINK = Outline(
    name="link", pins=_TWO, strokes=(_line((0, -2), (0, 2)),), extent=(-0.2, -2.0, 0.2, 2.0), reversible=True
)

_BIPOLAR = (
    _line((-2, 0), (-1, 0)),
    _line((-1, -0.95), (-1, 0.95)),
    _line((-1, -0.4), (0, -1.1), (0, -2)),
    _line((-1, 0.4), (0, 1.1), (0, 2)),
)
NPN = Outline(
    name="npn",
    pins={"base": (-2.0, 0.0), "collector": (0.0, -2.0), "emitter": (0.0, 2.0)},
    strokes=(*_BIPOLAR, _shape((-0.12, 1.02), (-0.66, 0.92), (-0.36, 0.57), filled=True)),
    extent=(-2.0, -2.0, 0.3, 2.0),
)
PNP = Outline(
    name="pnp",
    pins={"base": (-2.0, 0.0), "emitter": (0.0, -2.0), "collector": (0.0, 2.0)},
    strokes=(*_BIPOLAR, _shape((-0.86, -0.5), (-0.34, -0.57), (-0.62, -0.95), filled=True)),
    extent=(-2.0, -2.0, 0.3, 2.0),
)
_SECOND_BAR = _line((-1.35, -0.95), (-1.35, 0.95))
DARLINGTON_NPN = replace(NPN, name="darlington_npn", strokes=(*NPN.strokes, _SECOND_BAR))
DARLINGTON_PNP = replace(PNP, name="darlington_pnp", strokes=(*PNP.strokes, _SECOND_BAR))
PHOTOTRANSISTOR = Outline(
    name="phototransistor",
    pins={"collector": (0.0, -2.0), "emitter": (0.0, 2.0)},
    strokes=(
        *_BIPOLAR[1:],
        NPN.strokes[-1],
        *_arrow((-2.1, -0.75), (-1.3, -0.2), 0.42),
        *_arrow((-2.1, -0.05), (-1.3, 0.5), 0.42),
    ),
    extent=(-2.1, -2.0, 0.3, 2.0),
)


def _field_effect(name: str, top: str, bottom: str, *, n_channel: bool) -> Outline:
    """Enhancement type: broken channel; the arrow on the body points into an n-channel."""
    source = 0.7 if bottom == "source" else -0.7
    arrow = (
        _shape((-0.68, 0), (-0.22, -0.22), (-0.22, 0.22), filled=True)
        if n_channel
        else _shape((-0.05, 0), (-0.5, -0.22), (-0.5, 0.22), filled=True)
    )
    return Outline(
        name=name,
        pins={"gate": (-2.0, 0.0), top: (0.0, -2.0), bottom: (0.0, 2.0)},
        strokes=(
            _line((-2, 0), (-1.1, 0)),
            _line((-1.1, -0.85), (-1.1, 0.85)),
            _line((-0.75, -1.0), (-0.75, -0.4)),
            _line((-0.75, -0.28), (-0.75, 0.28)),
            _line((-0.75, 0.4), (-0.75, 1.0)),
            _line((-0.75, -0.7), (0, -0.7), (0, -2)),
            _line((-0.75, 0.7), (0, 0.7), (0, 2)),
            _line((-0.75, 0), (0, 0), (0, source)),
            arrow,
        ),
        extent=(-2.0, -2.0, 0.3, 2.0),
    )


NMOS = _field_effect("nmos", "drain", "source", n_channel=True)
PMOS = _field_effect("pmos", "source", "drain", n_channel=False)
THYRISTOR = replace(
    _diode("thyristor", _BAR, more=(_line((0.35, 0.6), (1.0, 1.0), (2.0, 1.0)),)),
    pins={"anode": (0.0, -2.0), "cathode": (0.0, 2.0), "gate": (2.0, 1.0)},
    extent=(-0.8, -2.0, 2.0, 2.0),
)
TRIAC = Outline(
    name="triac",
    pins={"main_2": (0.0, -2.0), "main_1": (0.0, 2.0), "gate": (2.0, 1.0)},
    strokes=(
        _line((0, -2), (0, -0.6)),
        _line((0, 0.6), (0, 2)),
        _line((-1.1, -0.6), (1.1, -0.6)),
        _line((-1.1, 0.6), (1.1, 0.6)),
        _shape((-1.0, -0.6), (0, -0.6), (-0.5, 0.6)),
        _shape((0, 0.6), (1.0, 0.6), (0.5, -0.6)),
        _line((0.55, 0.6), (1.1, 1.0), (2.0, 1.0)),
    ),
    extent=(-1.1, -2.0, 2.0, 2.0),
)
OPERATIONAL_AMPLIFIER = Outline(
    name="operational_amplifier",
    pins={
        "inverting": (-3.0, -1.0),
        "non_inverting": (-3.0, 1.0),
        "output": (3.0, 0.0),
        "supply_plus": (0.0, -2.0),
        "supply_minus": (0.0, 2.0),
    },
    strokes=(
        _shape((-2, -2.2), (2, 0), (-2, 2.2)),
        _line((-3, -1), (-2, -1)),
        _line((-3, 1), (-2, 1)),
        _line((2, 0), (3, 0)),
        _line((0, -2), (0, -1.1)),
        _line((0, 2), (0, 1.1)),
        _line((-1.7, -1), (-1.1, -1)),
        _line((-1.7, 1), (-1.1, 1)),
        _line((-1.4, 0.7), (-1.4, 1.3)),
    ),
    extent=(-3.0, -2.2, 3.0, 2.2),
)


def _winding(x: float, bulge: float, middle: float = 0.0) -> Polyline:
    turn = (-90.0, 90.0) if bulge > 0 else (-90.0, -270.0)
    return Polyline(
        points=tuple(p for k in range(4) for p in _arc((x, middle - 1.05 + 0.7 * k), 0.35, *turn))
    )


TRANSFORMER = Outline(
    name="transformer",
    pins={
        "primary_1": (-2.0, -2.0),
        "primary_2": (-2.0, 2.0),
        "secondary_1": (2.0, -2.0),
        "secondary_2": (2.0, 2.0),
    },
    strokes=(
        _line((-2, -2), (-0.9, -2), (-0.9, -1.4)),
        _winding(-0.9, 1.0),
        _line((-0.9, 1.4), (-0.9, 2), (-2, 2)),
        _line((2, -2), (0.9, -2), (0.9, -1.4)),
        _winding(0.9, -1.0),
        _line((0.9, 1.4), (0.9, 2), (2, 2)),
        _line((-0.15, -1.5), (-0.15, 1.5)),
        _line((0.15, -1.5), (0.15, 1.5)),
    ),
    extent=(-2.0, -2.0, 2.0, 2.0),
)
CONTACT = Outline(
    name="contact",
    pins=_TWO,
    strokes=(
        _line((0, -2), (0, -0.25)),
        Polyline(points=_arc((0, 0.1), 0.45, 180, 360)),
        _line((-0.3, 0.1), (0, -0.2), (0.3, 0.1)),
        _line((0, -0.2), (0, 2)),
    ),
    extent=(-0.5, -2.0, 0.5, 2.0),
    reversible=True,
)
CABLE = Outline(
    name="cable",
    pins={
        "near_plus": (-3.0, -1.0),
        "near_minus": (-3.0, 1.0),
        "far_plus": (3.0, -1.0),
        "far_minus": (3.0, 1.0),
    },
    strokes=(
        _line((-3, -1), (3, -1)),
        _line((-3, 1), (3, 1)),
        Polyline(
            points=tuple(
                (round(-1.6 + 0.35 * x, 3), round(1.5 * y, 3)) for x, y in _arc((0, 0), 1.0, 0, 360, 24)
            )
        ),
        Polyline(
            points=tuple(
                (round(1.6 + 0.35 * x, 3), round(1.5 * y, 3)) for x, y in _arc((0, 0), 1.0, 0, 360, 24)
            )
        ),
    ),
    extent=(-3.0, -1.5, 3.0, 1.5),
)
BATTERY = Outline(
    name="battery",
    pins=_PLUS_MINUS,
    strokes=(
        _line((0, -2), (0, -0.75)),
        _line((-1.0, -0.75), (1.0, -0.75)),
        _shape((-0.5, -0.38), (0.5, -0.38), (0.5, -0.2), (-0.5, -0.2), filled=True),
        _line((-1.0, 0.2), (1.0, 0.2)),
        _shape((-0.5, 0.57), (0.5, 0.57), (0.5, 0.75), (-0.5, 0.75), filled=True),
        _line((0, 0.75), (0, 2)),
        _line((-0.85, -1.3), (-0.35, -1.3)),
        _line((-0.6, -1.55), (-0.6, -1.05)),
    ),
)
TEST_POINT = Outline(
    name="test_point",
    pins={"1": (0.0, 1.0)},
    strokes=(_line((0, 1), (0, 0.35)), Circle(centre=(0, 0), radius=0.35)),
    extent=(-0.4, -0.4, 0.4, 1.0),
)
CHANGEOVER = Outline(
    name="changeover",
    pins={"common": (0.0, -2.0), "a": (0.0, 2.0), "b": (2.0, 2.0)},
    strokes=(
        _line((0, -2), (0, -0.9)),
        _line((0, -0.9), (-0.15, 0.95)),
        _line((0, 0.9), (0, 2)),
        _line((1, 0.9), (1, 2), (2, 2)),
    ),
    extent=(-0.5, -2.0, 2.0, 2.0),
)
OPTOCOUPLER = Outline(
    name="optocoupler",
    pins={"anode": (-3.0, -1.0), "cathode": (-3.0, 1.0), "collector": (3.0, -1.0), "emitter": (3.0, 1.0)},
    strokes=(
        _shape((-2, -1.8), (2, -1.8), (2, 1.8), (-2, 1.8)),
        _line((-3, -1), (-1.2, -1), (-1.2, -0.4)),
        _shape((-1.65, -0.4), (-0.75, -0.4), (-1.2, 0.35)),
        _line((-1.65, 0.35), (-0.75, 0.35)),
        _line((-1.2, 0.35), (-1.2, 1), (-3, 1)),
        *_arrow((-0.5, -0.35), (0.2, -0.35), 0.35),
        *_arrow((-0.5, 0.2), (0.2, 0.2), 0.35),
        _line((0.55, -0.7), (0.55, 0.7)),
        _line((0.55, -0.3), (1.2, -0.75), (1.2, -1), (3, -1)),
        _line((0.55, 0.3), (1.2, 0.75), (1.2, 1), (3, 1)),
        _shape((1.15, 0.72), (0.7, 0.65), (0.95, 0.32), filled=True),
    ),
    extent=(-3.0, -1.8, 3.0, 1.8),
)
RELAY = Outline(
    name="relay",
    pins={
        "coil_1": (-2.0, -3.0),
        "coil_2": (-2.0, 3.0),
        "common": (2.0, 3.0),
        "normally_open": (3.0, -3.0),
        "normally_closed": (1.0, -3.0),
    },
    strokes=(
        _line((-2, -3), (-2, -0.6)),
        _shape((-3, -0.6), (-1, -0.6), (-1, 0.6), (-3, 0.6)),
        _line((-2, 0.6), (-2, 3)),
        _line((-1, 0), (-0.5, 0)),
        _line((-0.2, 0), (0.3, 0)),
        _line((0.6, 0), (1.1, 0)),
        _line((2, 3), (2, 1), (1.35, -1.05)),
        _line((1, -3), (1, -1), (1.5, -1)),
        _line((3, -3), (3, -1), (2.6, -1)),
    ),
    extent=(-3.0, -3.0, 3.0, 3.0),
)
THREE_WINDING_TRANSFORMER = Outline(
    name="three_winding_transformer",
    pins={
        "primary_1": (-2.0, -3.0),
        "primary_2": (-2.0, 3.0),
        "secondary_1": (2.0, -4.0),
        "secondary_2": (2.0, -1.0),
        "tertiary_1": (2.0, 1.0),
        "tertiary_2": (2.0, 4.0),
    },
    strokes=(
        _line((-2, -3), (-0.9, -3), (-0.9, -1.4)),
        _winding(-0.9, 1.0),
        _line((-0.9, 1.4), (-0.9, 3), (-2, 3)),
        _line((2, -4), (0.9, -4), (0.9, -3.9)),
        _winding(0.9, -1.0, -2.5),
        _line((0.9, -1.1), (0.9, -1), (2, -1)),
        _line((2, 1), (0.9, 1), (0.9, 1.1)),
        _winding(0.9, -1.0, 2.5),
        _line((0.9, 3.9), (0.9, 4), (2, 4)),
        _line((-0.15, -3.8), (-0.15, 3.8)),
        _line((0.15, -3.8), (0.15, 3.8)),
    ),
    extent=(-2.0, -4.0, 2.0, 4.0),
)
