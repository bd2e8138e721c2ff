"""Outlines of junctions, transistors and thyristors, after IEC 60617; path pins lie in one column, the first on top."""

from __future__ import annotations

from dataclasses import replace

from lidoff.circuit.strokes import Outline, Polyline, Stroke, arrow, line, shape, upturned

__all__ = [
    "DARLINGTON_NPN",
    "DARLINGTON_PNP",
    "DIAC",
    "DIODE",
    "LED",
    "NMOS",
    "NPN",
    "PHOTODIODE",
    "PHOTOTRANSISTOR",
    "PMOS",
    "PNP",
    "SCHOTTKY",
    "SHUNT_REFERENCE",
    "SUPPRESSOR",
    "THYRISTOR",
    "TRIAC",
    "ZENER",
]

_LIGHT_OUT = (*arrow((0.8, -0.5), (1.4, -1.1), 0.42), *arrow((0.95, 0.1), (1.55, -0.5), 0.42))


def _diode(
    name: str, *bar: Polyline, more: tuple[Stroke, ...] = (), left: float = -0.8, right: float = 0.8
) -> Outline:
    """Anode on top, the arrow pointing down."""
    return Outline(
        name=name,
        pins={"anode": (0.0, -2.0), "cathode": (0.0, 2.0)},
        strokes=(
            line((0, -2), (0, -0.6)),
            shape((-0.75, -0.6), (0.75, -0.6), (0, 0.6)),
            line((0, 0.6), (0, 2)),
            *bar,
            *more,
        ),
        extent=(left, -2.0, right, 2.0),
    )  # fmt: skip


_BAR = line((-0.75, 0.6), (0.75, 0.6))
DIODE = _diode("diode", _BAR)
LED = _diode("led", _BAR, more=_LIGHT_OUT, right=1.55)
_LIGHT_BELOW = (*arrow((1.85, 0.6), (1.05, 0.0), 0.42), *arrow((1.75, 1.2), (0.95, 0.6), 0.42))
PHOTODIODE = upturned(_diode("photodiode", _BAR, more=_LIGHT_BELOW, right=1.9))
SCHOTTKY = _diode(
    "schottky", line((-0.45, 0.3), (-0.75, 0.3), (-0.75, 0.6), (0.75, 0.6), (0.75, 0.9), (0.45, 0.9))
)
ZENER = upturned(_diode("zener", line((-0.75, 0.25), (-0.75, 0.6), (0.75, 0.6))))
SUPPRESSOR = upturned(
    _diode("suppressor", line((-1.0, 0.25), (-0.75, 0.6), (0.75, 0.6), (1.0, 0.95)), left=-1.0, right=1.0)
)
SHUNT_REFERENCE = replace(
    upturned(_diode("shunt_reference", line((-0.75, 0.25), (-0.75, 0.6), (0.75, 0.6)))),
    pins={"cathode": (0.0, -2.0), "anode": (0.0, 2.0), "reference": (-2.0, 0.0)},
)
SHUNT_REFERENCE = replace(
    SHUNT_REFERENCE,
    strokes=(*SHUNT_REFERENCE.strokes, line((-2.0, 0.0), (-0.38, 0.0))),
    extent=(-2.0, -2.0, 0.8, 2.0),
)


_BIPOLAR = (
    line((-2, 0), (-1, 0)),
    line((-1, -0.95), (-1, 0.95)),
    line((-1, -0.4), (0, -1.1), (0, -2)),
    line((-1, 0.4), (0, 1.1), (0, 2)),
)
NPN = Outline(
    name="npn",
    pins={"base": (-2.0, 0.0), "collector": (0.0, -2.0), "emitter": (0.0, 2.0)},
    strokes=(*_BIPOLAR, shape((-0.12, 1.02), (-0.66, 0.92), (-0.36, 0.57), filled=True)),
    extent=(-2.0, -2.0, 0.3, 2.0),
)
PNP = Outline(
    name="pnp",
    pins={"base": (-2.0, 0.0), "emitter": (0.0, -2.0), "collector": (0.0, 2.0)},
    strokes=(*_BIPOLAR, shape((-0.86, -0.5), (-0.34, -0.57), (-0.62, -0.95), filled=True)),
    extent=(-2.0, -2.0, 0.3, 2.0),
)
_SECOND_BAR = line((-1.35, -0.95), (-1.35, 0.95))
DARLINGTON_NPN = replace(NPN, name="darlington_npn", strokes=(*NPN.strokes, _SECOND_BAR))
DARLINGTON_PNP = replace(PNP, name="darlington_pnp", strokes=(*PNP.strokes, _SECOND_BAR))
PHOTOTRANSISTOR = Outline(
    name="phototransistor",
    pins={"collector": (0.0, -2.0), "emitter": (0.0, 2.0)},
    strokes=(
        *_BIPOLAR[1:],
        NPN.strokes[-1],
        *arrow((-2.1, -0.75), (-1.3, -0.2), 0.42),
        *arrow((-2.1, -0.05), (-1.3, 0.5), 0.42),
    ),
    extent=(-2.1, -2.0, 0.3, 2.0),
)


def _field_effect(name: str, top: str, bottom: str, *, n_channel: bool) -> Outline:
    """Enhancement type: broken channel; the arrow on the body points into an n-channel."""
    source = 0.7 if bottom == "source" else -0.7
    arrow = (
        shape((-0.68, 0), (-0.22, -0.22), (-0.22, 0.22), filled=True)
        if n_channel
        else shape((-0.05, 0), (-0.5, -0.22), (-0.5, 0.22), filled=True)
    )
    return Outline(
        name=name,
        pins={"gate": (-2.0, 0.0), top: (0.0, -2.0), bottom: (0.0, 2.0)},
        strokes=(
            line((-2, 0), (-1.1, 0)),
            line((-1.1, -0.85), (-1.1, 0.85)),
            line((-0.75, -1.0), (-0.75, -0.4)),
            line((-0.75, -0.28), (-0.75, 0.28)),
            line((-0.75, 0.4), (-0.75, 1.0)),
            line((-0.75, -0.7), (0, -0.7), (0, -2)),
            line((-0.75, 0.7), (0, 0.7), (0, 2)),
            line((-0.75, 0), (0, 0), (0, source)),
            arrow,
        ),
        extent=(-2.0, -2.0, 0.3, 2.0),
    )


NMOS = _field_effect("nmos", "drain", "source", n_channel=True)
PMOS = _field_effect("pmos", "source", "drain", n_channel=False)
THYRISTOR = replace(
    _diode("thyristor", _BAR, more=(line((0.35, 0.6), (1.0, 1.0), (2.0, 1.0)),)),
    pins={"anode": (0.0, -2.0), "cathode": (0.0, 2.0), "gate": (2.0, 1.0)},
    extent=(-0.8, -2.0, 2.0, 2.0),
)
TRIAC = Outline(
    name="triac",
    pins={"main_2": (0.0, -2.0), "main_1": (0.0, 2.0), "gate": (2.0, 1.0)},
    strokes=(
        line((0, -2), (0, -0.6)),
        line((0, 0.6), (0, 2)),
        line((-1.1, -0.6), (1.1, -0.6)),
        line((-1.1, 0.6), (1.1, 0.6)),
        shape((-1.0, -0.6), (0, -0.6), (-0.5, 0.6)),
        shape((0, 0.6), (1.0, 0.6), (0.5, -0.6)),
        line((0.55, 0.6), (1.1, 1.0), (2.0, 1.0)),
    ),
    extent=(-1.1, -2.0, 2.0, 2.0),
)
DIAC = Outline(
    name="diac",
    pins={"1": (0.0, -2.0), "2": (0.0, 2.0)},
    strokes=TRIAC.strokes[:-1],
    extent=(-1.1, -2.0, 1.1, 2.0),
    reversible=True,
)
