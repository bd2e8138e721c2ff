"""Enhancement MOSFETs, n- and p-channel, with the body diode.

The channel is a smooth bridge between the square law and the exponential tail below the threshold: the interpolation of Enz,
Krummenacher and Vittoz with a slope factor of one, so that strong inversion is exactly ``k/2·(v_gs − v_t)²``, and exactly
``k·((v_gs − v_t)·v_ds − v_ds²/2)`` below pinch-off.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Law, Parameter, Parameters, Ports, Response
from lidoff.circuit.laws import CAPACITANCE, JUNCTION, junction_scale, thermal_voltage
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import TEMPERATURE, positive, rating, signed, zero_or_more
from lidoff.circuit.smooth import logistic

LENGTHENING_CORNER = 0.01  # [V] rounding of |v_ds| in the factor 1 + λ·|v_ds|


def _channel(ports: Ports, p: Parameters) -> Response:
    sign, k = p["sign"], p["transconductance"]
    v_gs, v_gd = sign * ports[0], sign * ports[1]
    width = 2.0 * p["thermal_voltage"]
    source_end, drain_end = (v_gs - p["threshold"]) / width, (v_gd - p["threshold"]) / width
    at_source, at_drain = np.logaddexp(0.0, source_end), np.logaddexp(0.0, drain_end)
    scale = 0.5 * k * width**2  # 2·k·V_T²
    plain = scale * (at_source**2 - at_drain**2)
    v_ds = v_gs - v_gd
    root = np.hypot(v_ds, LENGTHENING_CORNER)
    longer = 1.0 + p["lengthening"] * (root - LENGTHENING_CORNER)
    tilt = p["lengthening"] * v_ds / root * plain
    g_s = 2.0 * scale / width * at_source * logistic(source_end)
    g_d = 2.0 * scale / width * at_drain * logistic(drain_end)
    return Response((sign * plain * longer,), (g_s * longer + tilt, -g_d * longer - tilt))


def _limit(new: Ports, old: Ports, p: Parameters) -> Ports:
    # Above the threshold the current grows with the square: a step may double the drive and add a volt, no more.
    sign, threshold = p["sign"], p["threshold"]
    limited = []
    for fresh, before in zip(new, old, strict=True):
        drive = sign * before - threshold
        highest = np.maximum(sign * before, threshold + 2.0 * np.maximum(drive, 0.0) + 1.0)
        limited.append(sign * np.minimum(sign * fresh, highest))
    return tuple(limited)


CHANNEL = Law(
    name="channel",
    terminals=("gate", "drain", "source"),
    ports=({"gate": 1.0, "source": -1.0}, {"gate": 1.0, "drain": -1.0}),
    rows=({"drain": 1.0, "source": -1.0},),
    pairs=((0, 0), (0, 1)),
    respond=_channel,
    limit=_limit,
)


def _law(sign: float, *, told: bool, lengthening: bool) -> Callable[[Parameters], Parameters]:
    def derive(p: Parameters) -> Parameters:
        if told:
            k = p["transconductance"]
        else:  # deep in the ohmic region r = 1/(k·(v_gs − v_t))
            drive = np.maximum(p["gate_drive"] - p["threshold"], 0.05)
            k = 1.0 / (p["on_resistance"] * drive)
        return {
            "sign": np.full(1, sign),
            "threshold": p["threshold"],
            "transconductance": k,
            "thermal_voltage": thermal_voltage(p["temperature"]),
            "lengthening": p["lengthening"] if lengthening else np.zeros(1),
        }

    return derive


def _body(p: Parameters) -> Parameters:
    slope_voltage = p["body_emission"] * thermal_voltage(p["temperature"])
    i_s, offset = junction_scale(p["body_drop"], p["body_test_current"], slope_voltage)
    return {
        "slope_voltage": slope_voltage,
        "resistance": np.zeros(1),
        "offset": offset,
        "saturation_current": i_s,
    }


def _gate(p: Parameters) -> Parameters:
    return {"capacitance": p["gate_charge"] / p["gate_drive"]}


def _elements(sign: float) -> Callable[[Part], tuple[Element, ...]]:
    def elements(part: Part) -> tuple[Element, ...]:
        derive = _law(sign, told="transconductance" in part.values, lengthening="lengthening" in part.values)
        body = ("source", "drain") if sign > 0 else ("drain", "source")
        found = [
            Element(law=CHANNEL, joins=("gate", "drain", "source"), derive=derive),
            Element(law=JUNCTION, joins=body, derive=_body),
        ]
        if "gate_charge" in part.values:
            found.append(Element(law=CAPACITANCE, joins=("gate", "source"), derive=_gate))
        return tuple(found)

    return elements


_ON_SOURCE = "a small switching type of the SOT-23 size, common practice, no source"
_DS, _DS_RATING = rating("drain_source_rating", "V", "drain-source", 20.0, "highest drain-source voltage")
_GS, _GS_RATING = rating("gate_source_rating", "V", "gate-source", 12.0, "highest gate-source voltage")
_ID, _ID_RATING = rating("current_rating", "A", "current", 2.0, "highest continuous drain current")
_POWER, _POWER_RATING = rating("power_rating", "W", "power", 0.35, "power it may turn into heat at 25 °C")

_PARAMETERS: tuple[Parameter, ...] = (
    signed(
        "threshold",
        "V",
        1.0,
        "gate-source voltage at which the channel begins; counted positive for both channels of enhancement types",
        within=0.4,
    ),
    positive(
        "on_resistance", "Ω", 0.05, "channel resistance at the gate drive", spread=0.3, source=_ON_SOURCE
    ),
    positive("gate_drive", "V", 4.5, "gate-source voltage at which the on-resistance is told"),
    positive("body_drop", "V", 0.8, "forward drop of the body diode", within=0.1),
    positive("body_test_current", "A", 0.5, "current at which the body diode's drop is told"),
    positive("body_emission", "1", 1.2, "emission coefficient of the body diode"),
    TEMPERATURE,
    _DS,
    _GS,
    _ID,
    _POWER,
)
_SOURCE = (
    "C. C. Enz, F. Krummenacher, E. A. Vittoz, Analog Integrated Circuits and Signal Processing 8, 83-114, 1995, with slope "
    "factor 1; square law of W. Shockley and others in its limits"
)


def _mosfet(name: str, title: str, sign: float, path: tuple[str, str]) -> Kind:
    return Kind(
        name=name,
        title=title,
        letters=("Q", "T"),
        pins=("gate", "drain", "source"),
        path=path,
        elements=_elements(sign),
        outline=outlines.NMOS if sign > 0 else outlines.PMOS,
        parameters=_PARAMETERS,
        only_if_told=(
            positive(
                "transconductance", "A/V²", None, "k in k/2·(v_gs − v_t)², in place of the on-resistance"
            ),
            zero_or_more(
                "lengthening",
                "1/V",
                None,
                "relative rise of the drain current for each volt of drain voltage",
            ),
            positive(
                "gate_charge",
                "C",
                None,
                "charge that brings the gate to its drive, as a capacitance to the source",
            ),
        ),
        ratings=(_DS_RATING, _GS_RATING, _ID_RATING, _POWER_RATING),
        main_value="on_resistance",
        controls=(("gate", "drain"),),
        says="the gate's voltage opens a channel between drain and source; a diode lies across it",
        source=_SOURCE,
    )


MEMBERS = (
    _mosfet("mosfet_n", "n-channel MOSFET", 1.0, ("drain", "source")),
    _mosfet("mosfet_p", "p-channel MOSFET", -1.0, ("source", "drain")),
)
