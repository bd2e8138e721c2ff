"""Outlines of assemblies: amplifiers, gates, transformers, relays, optocouplers, bridge rectifiers; after IEC 60617."""

from __future__ import annotations

from collections.abc import Mapping

from lidoff.circuit.strokes import Circle, Letters, Outline, Polyline, Stroke, arc, arrow, line, shape

__all__ = [
    "BRIDGE_RECTIFIER",
    "CABLE",
    "LOGIC",
    "OPERATIONAL_AMPLIFIER",
    "OPTOCOUPLER",
    "RELAY",
    "THREE_WINDING_TRANSFORMER",
    "TRANSFORMER",
]


def _winding(x: float, bulge: float, middle: float = 0.0) -> Polyline:
    turn = (-90.0, 90.0) if bulge > 0 else (-90.0, -270.0)
    return Polyline(points=tuple(p for k in range(4) for p in arc((x, middle - 1.05 + 0.7 * k), 0.35, *turn)))


def _dot(x: float, y: float) -> Circle:
    """Polarity mark beside the end of a winding; all marked ends are of the same polarity (IEC 60617, from memory)."""
    return Circle(centre=(x, y), radius=0.16, filled=True)


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
        shape((-2, -2.2), (2, 0), (-2, 2.2)),
        line((-3, -1), (-2, -1)),
        line((-3, 1), (-2, 1)),
        line((2, 0), (3, 0)),
        line((0, -2), (0, -1.1)),
        line((0, 2), (0, 1.1)),
        line((-1.7, -1), (-1.1, -1)),
        line((-1.7, 1), (-1.1, 1)),
        line((-1.4, 0.7), (-1.4, 1.3)),
    ),
    extent=(-3.0, -2.2, 3.0, 2.2),
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
        line((-2, -2), (-0.9, -2), (-0.9, -1.4)),
        _winding(-0.9, 1.0),
        line((-0.9, 1.4), (-0.9, 2), (-2, 2)),
        line((2, -2), (0.9, -2), (0.9, -1.4)),
        _winding(0.9, -1.0),
        line((0.9, 1.4), (0.9, 2), (2, 2)),
        line((-0.15, -1.5), (-0.15, 1.5)),
        line((0.15, -1.5), (0.15, 1.5)),
        _dot(-1.35, -1.4),
        _dot(1.35, -1.4),
    ),
    extent=(-2.0, -2.0, 2.0, 2.0),
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
        line((-3, -1), (3, -1)),
        line((-3, 1), (3, 1)),
        Polyline(
            points=tuple(
                (round(-1.6 + 0.35 * x, 3), round(1.5 * y, 3)) for x, y in arc((0, 0), 1.0, 0, 360, 24)
            )
        ),
        Polyline(
            points=tuple(
                (round(1.6 + 0.35 * x, 3), round(1.5 * y, 3)) for x, y in arc((0, 0), 1.0, 0, 360, 24)
            )
        ),
    ),
    extent=(-3.0, -1.5, 3.0, 1.5),
)
OPTOCOUPLER = Outline(
    name="optocoupler",
    pins={"anode": (-3.0, -1.0), "cathode": (-3.0, 1.0), "collector": (3.0, -1.0), "emitter": (3.0, 1.0)},
    strokes=(
        shape((-2, -1.8), (2, -1.8), (2, 1.8), (-2, 1.8)),
        line((-3, -1), (-1.2, -1), (-1.2, -0.4)),
        shape((-1.65, -0.4), (-0.75, -0.4), (-1.2, 0.35)),
        line((-1.65, 0.35), (-0.75, 0.35)),
        line((-1.2, 0.35), (-1.2, 1), (-3, 1)),
        *arrow((-0.5, -0.35), (0.2, -0.35), 0.35),
        *arrow((-0.5, 0.2), (0.2, 0.2), 0.35),
        line((0.55, -0.7), (0.55, 0.7)),
        line((0.55, -0.3), (1.2, -0.75), (1.2, -1), (3, -1)),
        line((0.55, 0.3), (1.2, 0.75), (1.2, 1), (3, 1)),
        shape((1.15, 0.72), (0.7, 0.65), (0.95, 0.32), filled=True),
    ),
    extent=(-3.0, -1.8, 3.0, 1.8),
)
_COIL_AND_CONTACTS = (
    line((-2, -3), (-2, -0.6)),
    shape((-3, -0.6), (-1, -0.6), (-1, 0.6), (-3, 0.6)),
    line((-2, 0.6), (-2, 3)),
    line((-1, 0), (-0.5, 0)),
    line((-0.2, 0), (0.3, 0)),
    line((0.6, 0), (1.1, 0)),
    line((1, -3), (1, -1), (1.5, -1)),
    line((3, -3), (3, -1), (2.6, -1)),
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
    strokes=(*_COIL_AND_CONTACTS, line((2, 3), (2, 1), (1.35, -1.05))),
    extent=(-3.0, -3.0, 3.0, 3.0),
    moved={"normally_open": (*_COIL_AND_CONTACTS, line((2, 3), (2, 1), (2.7, -1.15)))},
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
        line((-2, -3), (-0.9, -3), (-0.9, -1.4)),
        _winding(-0.9, 1.0),
        line((-0.9, 1.4), (-0.9, 3), (-2, 3)),
        line((2, -4), (0.9, -4), (0.9, -3.9)),
        _winding(0.9, -1.0, -2.5),
        line((0.9, -1.1), (0.9, -1), (2, -1)),
        line((2, 1), (0.9, 1), (0.9, 1.1)),
        _winding(0.9, -1.0, 2.5),
        line((0.9, 3.9), (0.9, 4), (2, 4)),
        line((-0.15, -3.8), (-0.15, 3.8)),
        line((0.15, -3.8), (0.15, 3.8)),
        _dot(-1.35, -1.4),
        _dot(1.35, -3.4),
        _dot(1.35, 1.6),
    ),
    extent=(-2.0, -4.0, 2.0, 4.0),
)
BRIDGE_RECTIFIER = Outline(
    name="bridge_rectifier",
    pins={"ac_1": (-3.0, -1.0), "ac_2": (-3.0, 1.0), "plus": (3.0, -1.0), "minus": (3.0, 1.0)},
    strokes=(
        shape((-2, -2), (2, -2), (2, 2), (-2, 2)),
        line((-3, -1), (-2, -1)),
        line((-3, 1), (-2, 1)),
        line((2, -1), (3, -1)),
        line((2, 1), (3, 1)),
        line((-0.9, 0), (-0.35, 0)),
        shape((-0.35, -0.5), (-0.35, 0.5), (0.45, 0)),
        line((0.45, -0.5), (0.45, 0.5)),
        line((0.45, 0), (1.0, 0)),
        Letters(text="~", centre=(-1.5, -1.0), size=1.0),
        Letters(text="~", centre=(-1.5, 1.0), size=1.0),
        Letters(text="+", centre=(1.5, -1.0), size=1.0),
        Letters(text="−", centre=(1.5, 1.0), size=1.0),
    ),
    extent=(-3.0, -2.0, 3.0, 2.0),
)


def _gate(name: str, sign: str, inputs: tuple[str, ...], *, inverts: bool) -> Outline:
    """A rectangle with the qualifying sign; a small circle at an inverting output."""
    rows = {"input": 0.0} if len(inputs) == 1 else dict(zip(inputs, (-1.0, 1.0), strict=True))
    tip = 1.95 if inverts else 1.5
    strokes: list[Stroke] = [
        shape((-1.5, -1.9), (1.5, -1.9), (1.5, 1.9), (-1.5, 1.9)),
        *(line((-3, y), (-1.5, y)) for y in rows.values()),
        line((tip, 0), (3, 0)),
        line((0, -3), (0, -1.9)),
        line((0, 3), (0, 1.9)),
        Letters(text=sign, centre=(0, -0.2), size=1.2),
    ]
    if inverts:
        strokes.append(Circle(centre=(1.72, 0), radius=0.22))
    return Outline(
        name=name,
        pins={
            **{pin: (-3.0, y) for pin, y in rows.items()},
            "output": (3.0, 0.0),
            "supply": (0.0, -3.0),
            "ground": (0.0, 3.0),
        },
        strokes=tuple(strokes),
        extent=(-3.0, -3.0, 3.0, 3.0),
    )


_TWO_INPUTS = ("input_1", "input_2")
LOGIC: Mapping[str, Outline] = {
    "and_gate": _gate("and_gate", "&", _TWO_INPUTS, inverts=False),
    "buffer": _gate("buffer", "1", ("input",), inverts=False),
    "inverter": _gate("inverter", "1", ("input",), inverts=True),
    "nand_gate": _gate("nand_gate", "&", _TWO_INPUTS, inverts=True),
    "nor_gate": _gate("nor_gate", "≥1", _TWO_INPUTS, inverts=True),
    "or_gate": _gate("or_gate", "≥1", _TWO_INPUTS, inverts=False),
    "xor_gate": _gate("xor_gate", "=1", _TWO_INPUTS, inverts=False),
}
"""Outlines of gates by the name of their kind; qualifying signs of IEC 60617-12."""
