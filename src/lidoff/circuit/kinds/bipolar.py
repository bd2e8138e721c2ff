"""Bipolar transistors: npn, pnp and Darlington pairs, by the transport form of the Ebers-Moll equations."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Law, Parameter, Parameters, Ports, Response
from lidoff.circuit.kinds.wire import branch_of
from lidoff.circuit.laws import (
    BRANCH,
    JUNCTION,
    LEAST_JUNCTION_RESISTANCE,
    eased,
    exponential,
    junction_scale,
    knee_limited,
    thermal_voltage,
)
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import TEMPERATURE, positive, rating, signed, zero_or_more
from lidoff.circuit.smooth import positive_part

EARLY_CORNER = np.full(
    1, 0.01
)  # [V] rounding where the collector junction turns; far below any collector voltage

COLLECTOR_DROP = 0.4
"""Voltage over the collector's own resistance at the current rating [V]: 2 Ω for 200 mA. With the junctions' share and limits
of ± 100 % it spans what common small types show typically, some 0.1 V at 50 mA and 5 mA into the base, and what their sheets
guarantee there, 0.3 V; from memory of these sheets."""

SOURCE = (
    "J. J. Ebers, J. L. Moll, Proc. IRE 42(12), 1761-1772, 1954, in transport form; collector voltage dependence after "
    "J. M. Early, Proc. IRE 40(11), 1401-1406, 1952"
)


def _transport(ports: Ports, p: Parameters) -> Response:
    sign, slope_voltage = p["sign"], p["slope_voltage"]
    x_e = (sign * ports[0] - p["offset"]) / slope_voltage
    x_c = (sign * ports[1] - p["offset"]) / slope_voltage
    i_s = p["saturation_current"]
    forward, reverse = exponential(x_e), exponential(x_c)
    g_e = i_s / slope_voltage * np.exp(np.minimum(x_e, 80.0))
    g_c = i_s / slope_voltage * np.exp(np.minimum(x_c, 80.0))
    spread, spread_slope = positive_part(-sign * ports[1], EARLY_CORNER)
    early = 1.0 + p["inverse_early"] * spread
    transport = i_s * (forward - reverse)
    return Response(
        (
            sign * transport * early,
            sign * i_s / p["current_gain"] * (forward - 1.0),
            sign * i_s / p["reverse_gain"] * (reverse - 1.0),
        ),
        (
            g_e * early,
            -g_c * early - transport * p["inverse_early"] * spread_slope,
            g_e / p["current_gain"],
            g_c / p["reverse_gain"],
        ),
    )


def _limit(new: Ports, old: Ports, p: Parameters) -> Ports:
    sign, offset = p["sign"], p["offset"]
    bare = np.full_like(p["saturation_current"], LEAST_JUNCTION_RESISTANCE)
    limited = []
    for fresh, before in zip(new, old, strict=True):
        start, i_s, slope_voltage = sign * before - offset, p["saturation_current"], p["slope_voltage"]
        held = knee_limited(sign * fresh - offset, start, i_s, slope_voltage, bare)
        held = eased(held, start, i_s, slope_voltage)
        limited.append(sign * (held + offset))
    return tuple(limited)


BIPOLAR = Law(
    name="bipolar transistor",
    terminals=("collector", "base", "emitter"),
    ports=({"base": 1.0, "emitter": -1.0}, {"base": 1.0, "collector": -1.0}),
    rows=(
        {"collector": 1.0, "emitter": -1.0},
        {"base": 1.0, "emitter": -1.0},
        {"base": 1.0, "collector": -1.0},
    ),
    pairs=((0, 0), (0, 1), (1, 0), (2, 1)),
    respond=_transport,
    limit=_limit,
)

Derive = Callable[[Parameters], Parameters]


def transistor_law(
    sign: float, *, gain: str = "current_gain", early: bool = False, saturation: bool = False
) -> Derive:
    """From a part's parameters to those of the law.

    Parameters
    ----------
    sign : float
        1 for npn, −1 for pnp.
    gain : str
        Parameter that holds the current gain.
    early, saturation : bool
        Whether the part tells its Early voltage, its saturation current.
    """

    def derive(p: Parameters) -> Parameters:
        slope_voltage = p["emission"] * thermal_voltage(p["temperature"])
        if saturation:
            i_s, offset = p["saturation_current"], np.zeros(1)
        else:
            drop = p["base_emitter_drop"] + p["drop_per_kelvin"] * (p["temperature"] - 25.0)
            i_s, offset = junction_scale(drop, p["test_current"], slope_voltage)
        return {
            "sign": np.full(1, sign),
            "slope_voltage": slope_voltage,
            "saturation_current": i_s,
            "offset": offset,
            "current_gain": p[gain],
            "reverse_gain": p["reverse_gain"],
            "inverse_early": 1.0 / p["early_voltage"] if early else np.zeros(1),
        }

    return derive


def _base_resistance(p: Parameters) -> Parameters:
    return branch_of(p["base_resistance"])


def _collector_resistance(p: Parameters) -> Parameters:
    return branch_of(p["collector_resistance"])


def _single(sign: float) -> Callable[[Part], tuple[Element, ...]]:
    def elements(part: Part) -> tuple[Element, ...]:
        derive = transistor_law(
            sign, early="early_voltage" in part.values, saturation="saturation_current" in part.values
        )
        base = "~base" if "base_resistance" in part.values else "base"
        collector = "collector" if part.values.get("collector_resistance") == 0.0 else "~collector"
        found = [Element(law=BIPOLAR, joins=(collector, base, "emitter"), derive=derive)]
        if base != "base":
            found.append(Element(law=BRANCH, joins=("base", base), derive=_base_resistance))
        if collector != "collector":
            found.append(Element(law=BRANCH, joins=("collector", collector), derive=_collector_resistance))
        return tuple(found)

    return elements


def _of_collector(part: Part) -> tuple[Parameter, ...]:
    """Collector resistance of one transistor: larger dies, of higher current rating, have less."""
    rated = part.values.get("current_rating")
    amperes = rated if isinstance(rated, float | int) and rated > 0.0 else _IC.typical or 1.0
    return (
        zero_or_more(
            "collector_resistance",
            "Ω",
            COLLECTOR_DROP / amperes,
            "resistance in series with the collector, which saturation leaves over; untold, "
            f"{COLLECTOR_DROP:g} V over it at the current rating",
            spread=1.0,
            source="spans what data sheets of small transistors show and guarantee in saturation, from memory",
        ),
    )


def _back_diode(p: Parameters) -> Parameters:
    slope_voltage = thermal_voltage(p["temperature"])
    i_s, offset = junction_scale(p["base_emitter_drop"], p["test_current"], slope_voltage)
    return {
        "slope_voltage": slope_voltage,
        "resistance": np.zeros(1),
        "offset": offset,
        "saturation_current": i_s,
    }


def _pair(sign: float) -> Callable[[Part], tuple[Element, ...]]:
    def elements(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
        ends = ("emitter", "collector") if sign > 0 else ("collector", "emitter")
        return (
            Element(
                law=BIPOLAR,
                joins=("collector", "base", "~middle"),
                derive=transistor_law(sign, gain="first_gain"),
            ),
            Element(
                law=BIPOLAR,
                joins=("collector", "~middle", "emitter"),
                derive=transistor_law(sign, gain="second_gain"),
            ),
            Element(law=BRANCH, joins=("base", "~middle"), derive=lambda p: branch_of(p["first_resistance"])),
            Element(
                law=BRANCH, joins=("~middle", "emitter"), derive=lambda p: branch_of(p["second_resistance"])
            ),
            Element(law=JUNCTION, joins=ends, derive=_back_diode),
        )

    return elements


def drop_parameters(drop: float, test_current: float) -> tuple[Parameter, ...]:
    """Parameters of a base-emitter junction."""
    return (
        positive(
            "base_emitter_drop", "V", drop, "base-emitter voltage at the test current and 25 °C", within=0.05
        ),
        positive("test_current", "A", test_current, "collector current at which the drop is told"),
        signed(
            "drop_per_kelvin",
            "V/K",
            -0.002,
            "change of the drop with temperature",
            source="about −2 mV/K for a silicon junction, common practice, no source",
        ),
        positive("emission", "1", 1.0, "emission coefficient; small values make an abrupt, fixed drop"),
        positive("reverse_gain", "1", 3.0, "current gain with collector and emitter exchanged", spread=0.9),
        TEMPERATURE,
    )


_GAIN_SOURCE = "100 to 400 within one type without grading, common practice, no source"
_CE, _CE_RATING = rating(
    "collector_emitter_rating", "V", "collector-emitter", 40.0, "highest collector-emitter voltage"
)
_IC, _IC_RATING = rating("current_rating", "A", "current", 0.2, "highest continuous collector current")
_POWER, _POWER_RATING = rating("power_rating", "W", "power", 0.3, "power it may turn into heat at 25 °C")
_DCE, _DCE_RATING = rating(
    "collector_emitter_rating", "V", "collector-emitter", 60.0, "highest collector-emitter voltage"
)
_DIC, _ = rating("current_rating", "A", "current", 4.0, "highest continuous collector current")
_DPOWER, _ = rating("power_rating", "W", "power", 1.5, "power it may turn into heat without heat sink")


def _transistor(name: str, title: str, sign: float, path: tuple[str, str]) -> Kind:
    return Kind(
        name=name,
        title=title,
        letters=("Q", "T"),
        pins=("collector", "base", "emitter"),
        path=path,
        elements=_single(sign),
        outline=outlines.NPN if sign > 0 else outlines.PNP,
        parameters=(
            positive(
                "current_gain",
                "1",
                200.0,
                "collector current over base current",
                spread=0.6,
                source=_GAIN_SOURCE,
            ),
            *drop_parameters(0.65, 0.001),
            _CE,
            _IC,
            _POWER,
        ),
        only_if_told=(
            positive(
                "early_voltage",
                "V",
                None,
                "Early voltage; without it the current ignores the collector voltage",
            ),
            positive("saturation_current", "A", None, "I_s, in place of the base-emitter drop"),
            zero_or_more("base_resistance", "Ω", None, "resistance in series with the base"),
        ),
        own_parameters=_of_collector,
        ratings=(_CE_RATING, _IC_RATING, _POWER_RATING),
        main_value="current_gain",
        controls=(("base", "collector"),),
        says="a small base current commands a larger collector current",
        source=SOURCE,
    )


def _darlington(name: str, title: str, sign: float, path: tuple[str, str]) -> Kind:
    return Kind(
        name=name,
        title=title,
        letters=("Q", "T"),
        pins=("collector", "base", "emitter"),
        path=path,
        elements=_pair(sign),
        outline=outlines.DARLINGTON_NPN if sign > 0 else outlines.DARLINGTON_PNP,
        parameters=(
            positive("first_gain", "1", 50.0, "current gain of the first transistor", spread=0.5),
            positive("second_gain", "1", 50.0, "current gain of the second transistor", spread=0.5),
            positive("first_resistance", "Ω", 8000.0, "from the base to the second base", spread=0.3),
            positive("second_resistance", "Ω", 120.0, "from the second base to the emitter", spread=0.3),
            *drop_parameters(0.7, 0.1),
            _DCE,
            _DIC,
            _DPOWER,
        ),
        ratings=(_DCE_RATING, _IC_RATING, _POWER_RATING),
        main_value="first_gain",
        controls=(("base", "collector"),),
        says="two transistors in one body: very high current gain, two junctions between base and emitter",
        source=f"{SOURCE}; inner resistors and back diode as in common power types, common practice, no source",
    )


MEMBERS = (
    _darlington("darlington_npn", "npn Darlington transistor", 1.0, ("collector", "emitter")),
    _darlington("darlington_pnp", "pnp Darlington transistor", -1.0, ("emitter", "collector")),
    _transistor("npn", "npn transistor", 1.0, ("collector", "emitter")),
    _transistor("pnp", "pnp transistor", -1.0, ("emitter", "collector")),
)
