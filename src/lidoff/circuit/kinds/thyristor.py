"""Thyristors, triacs and diacs, by the two-transistor picture: an npn and a pnp that hold each other on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Array, Element, Kind, Law, Parameter, Parameters, Ports, Response
from lidoff.circuit.kinds.bipolar import BIPOLAR
from lidoff.circuit.kinds.wire import branch_of
from lidoff.circuit.laws import (
    BRANCH,
    CAPACITANCE,
    CONDUCTANCE,
    JUNCTION,
    LEAST_JUNCTION_RESISTANCE,
    junction_scale,
    thermal_voltage,
)
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import TEMPERATURE, positive, rating, state, zero_or_more

GATE_DROP = 0.7  # [V] of the inner junctions at `GATE_CURRENT`
GATE_CURRENT = 0.01  # [A]
NPN_GAIN = 1e4  # so large that its base takes nothing of the trigger current
LARGEST_PNP_GAIN = 50.0
BLOCKING_GAIN = 1e-3  # of an inner transistor run backwards, which must not let reverse current through
FIRING_VOLTAGE = 1.0  # [V] at which a forced gate gets its trigger current
CORNER = 0.02  # of the trigger current, rounding of its modulus
BREAK_TEST_CURRENT = 0.01  # [A] at which a diac's fall of voltage is told
BREAK_SLOPE = 0.02  # [V] over which its breakover sets in, and its lower voltage; small beside either
BREAK_REACH = 25.0  # slopes below which they have died out
BREAK_FALL = (
    0.9  # of the fall of voltage that comes with the current, the rest all at once at the holding current
)
CARRIED = (
    0.047  # of the holding current, in the four layers as they turn on: thermal voltage over gate voltage
)
PAIR_DROP = 0.75  # [V] across the four layers at `BREAK_TEST_CURRENT`
LEAST_DROP = 0.5  # [V] that is left of a diac's lower voltage where more is told to fall than there is


def _inner(p: Parameters, sign: float, gain: Array) -> Parameters:
    slope_voltage = thermal_voltage(p["temperature"])
    i_s, offset = junction_scale(np.full(1, GATE_DROP), np.full(1, GATE_CURRENT), slope_voltage)
    return {
        "sign": np.full(1, sign),
        "slope_voltage": slope_voltage,
        "saturation_current": i_s,
        "offset": offset,
        "current_gain": gain,
        "reverse_gain": np.full(1, BLOCKING_GAIN),
        "inverse_early": np.zeros(1),
    }


def _npn(p: Parameters) -> Parameters:
    return _inner(p, 1.0, np.full(1, NPN_GAIN))


def gate_design(trigger: Array, holding: Array, slope_voltage: Array) -> tuple[Array, Array]:
    """Shunt at the gate and gain of the pnp for which the pair turns on and lets go as told.

    Parameters
    ----------
    trigger, holding : ndarray
        Gate current that turns it on, main current at which it lets go [A].
    slope_voltage : ndarray
        Thermal voltage [V].

    Returns
    -------
    conductance, gain : ndarray
        Of the shunt [S]; of the pnp.

    Notes
    -----
    With ``v`` the gate voltage and ``i`` the npn's collector current, which the pnp returns ``gain`` times to the gate, the
    gate asks for ``G·v − gain·i``. Its maximum over ``v``, at ``i = G·V_T/gain``, is the trigger current ``G·(v − V_T)``;
    with no gate current it vanishes at ``i = G·v/gain``, where the main current ``(1 + gain)·i`` is the holding current.
    Both are solved for by a few rounds, since ``v`` moves but little. Where the holding current is told too near the trigger
    current, the gain stops at its largest value and the pair lets go below the told current.
    """

    def drop(current: Array) -> Array:
        return GATE_DROP + slope_voltage * np.log(np.maximum(current, 1e-15) / GATE_CURRENT)

    conductance = trigger / 0.6
    gain = np.minimum(trigger / np.maximum(holding - trigger, 1e-9), LARGEST_PNP_GAIN)
    for _ in range(8):
        conductance = trigger / np.maximum(drop(conductance * slope_voltage / gain) - slope_voltage, 0.1)
        kept = conductance * np.maximum(drop(holding / (1.0 + gain)), 0.1)
        gain = np.minimum(kept / np.maximum(holding - kept, 1e-9), LARGEST_PNP_GAIN)
    return conductance, gain


def _design(p: Parameters) -> tuple[Array, Array]:
    return gate_design(p["trigger_current"], p["holding_current"], thermal_voltage(p["temperature"]))


def _pnp(p: Parameters) -> Parameters:
    return _inner(p, -1.0, _design(p)[1])


def _shunt(p: Parameters) -> Parameters:
    return {"conductance": _design(p)[0]}


def _force(p: Parameters) -> Parameters:
    return {"conductance": p["state"] * 3.0 * p["trigger_current"] / FIRING_VOLTAGE}


def _layer(p: Parameters) -> Parameters:
    # so that gate and shunt have the told time constant; it is what gives the turn-on its course in time
    return {"capacitance": p["turn_on_time"] * _design(p)[0]}


def _series(p: Parameters) -> Parameters:
    return branch_of(p["series_resistance"])


def _half(anode: str, cathode: str, gate: str, name: str) -> tuple[Element, ...]:
    """Four layers from anode to cathode, the gate next to the cathode."""
    return (
        *_layers(anode, cathode, gate, name),
        Element(law=CONDUCTANCE, joins=(anode, gate), derive=_force),
    )


def _layers(anode: str, cathode: str, gate: str, name: str) -> tuple[Element, ...]:
    """The same, with nothing that fires it."""
    inner = f"~{name}_layer"
    return (
        Element(law=BIPOLAR, joins=(inner, gate, cathode), derive=_npn),
        Element(law=BIPOLAR, joins=(gate, inner, anode), derive=_pnp),
        Element(law=CONDUCTANCE, joins=(gate, cathode), derive=_shunt),
        Element(law=CAPACITANCE, joins=(gate, cathode), derive=_layer),
        Element(law=CAPACITANCE, joins=(anode, inner), derive=_layer),
    )


def _thyristor(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (
        *_half("~anode", "cathode", "gate", "inner"),
        Element(law=BRANCH, joins=("anode", "~anode"), derive=_series),
    )


def _sense(ports: Ports, p: Parameters) -> Response:
    # current in the gate's resistance, its modulus handed to the gate of the half that is to conduct
    (v,) = ports
    conductance = p["conductance"]
    current = conductance * v
    corner = CORNER * p["trigger_current"]
    root = np.hypot(current, corner)
    size, slope = root - corner, current / root * conductance
    return Response((current, size, size), (conductance + np.zeros_like(v), slope, slope))


GATE = Law(
    name="triac gate",
    terminals=("gate", "main_1", "main_2", "first", "second"),
    ports=({"gate": 1.0, "main_1": -1.0},),
    rows=({"gate": 1.0, "main_1": -1.0}, {"main_1": 1.0, "first": -1.0}, {"main_2": 1.0, "second": -1.0}),
    pairs=((0, 0), (1, 0), (2, 0)),
    respond=_sense,
)


def _triac_gate(p: Parameters) -> Parameters:
    return {"conductance": p["trigger_current"] / p["gate_voltage"], "trigger_current": p["trigger_current"]}


def _triac(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (
        *_half("~main_2", "main_1", "~first_gate", "first"),
        *_half("main_1", "~main_2", "~second_gate", "second"),
        Element(
            law=GATE, joins=("gate", "main_1", "~main_2", "~first_gate", "~second_gate"), derive=_triac_gate
        ),
        Element(law=BRANCH, joins=("main_2", "~main_2"), derive=_series),
    )


def _sudden(volts: Array, current: Array, resistance: Array) -> Parameters:
    """A junction that carries nothing until it carries `current` at `volts`."""
    slope, ohms = np.full(1, BREAK_SLOPE), np.maximum(resistance, LEAST_JUNCTION_RESISTANCE)
    return {
        "slope_voltage": slope,
        "resistance": ohms,
        "offset": np.maximum(volts - current * ohms - BREAK_REACH * BREAK_SLOPE, 0.0),
        "saturation_current": current / np.expm1(BREAK_REACH),
    }


def _pair(p: Parameters) -> Parameters:
    """Parameters of a diac's four layers: by the time the gate has its trigger current, they carry some themselves."""
    own = CARRIED * p["holding_current"]
    return {**p, "trigger_current": np.maximum(p["breakover_current"] - own, 0.25 * p["breakover_current"])}


def _in_pair(element: Element) -> Element:
    derive = element.derive
    return replace(element, derive=lambda p: derive(_pair(p)))


def _lower(p: Parameters) -> Array:
    """What stays of a diac's voltage beside its four layers, at the test current."""
    return np.maximum(p["breakover_voltage"] - p["breakback_voltage"] - PAIR_DROP, LEAST_DROP)


def _staying(p: Parameters) -> Parameters:
    return _sudden(_lower(p), np.full(1, BREAK_TEST_CURRENT), p["series_resistance"])


def _breaking(p: Parameters) -> Parameters:
    # What breaks over gives the gate its trigger current; gate and lower voltage have their share of the whole by then. As the
    # pair holds itself on, less of that current is needed, down to none at the holding current: a resistance in its way makes
    # the voltage fall meanwhile, so that no current between the two can rest there.
    trigger = p["trigger_current"]
    gate = trigger / _design(p)[0] + thermal_voltage(p["temperature"])
    missing = p["series_resistance"] * (BREAK_TEST_CURRENT - trigger)
    stays = _lower(p) - missing + BREAK_SLOPE * np.log(trigger / BREAK_TEST_CURRENT)
    inner = np.maximum(p["breakover_voltage"] - stays - gate, 0.0)
    falls = np.clip(inner - BREAK_REACH * BREAK_SLOPE, 0.0, BREAK_FALL * inner)
    return _sudden(inner, trigger, falls / trigger)


def _leaking(share: Callable[[Parameters], Array]) -> Callable[[Parameters], Parameters]:
    return lambda p: {"conductance": 1.0 / (p["off_resistance"] * share(p))}


def _staying_share(p: Parameters) -> Array:
    return _lower(p) / p["breakover_voltage"]


def _diac(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    middle, pair = "~middle", ("~middle", "2")
    return (
        Element(law=JUNCTION, joins=("1", middle), derive=_staying),
        Element(law=JUNCTION, joins=(middle, "1"), derive=_staying),
        # Leakage shares the voltage as breakover does, so that neither half of the way sees more than its own.
        Element(law=CONDUCTANCE, joins=("1", middle), derive=_leaking(_staying_share)),
        Element(law=CONDUCTANCE, joins=pair, derive=_leaking(lambda p: 1.0 - _staying_share(p))),
        *map(_in_pair, _layers(middle, "2", "~first_gate", "first")),
        *map(_in_pair, _layers("2", middle, "~second_gate", "second")),
        _in_pair(Element(law=JUNCTION, joins=(middle, "~first_gate"), derive=_breaking)),
        _in_pair(Element(law=JUNCTION, joins=("2", "~second_gate"), derive=_breaking)),
    )


_CURRENT, _CURRENT_RATING = rating("current_rating", "A", "current", 0.8, "highest effective current")
_BREAK_POWER, _BREAK_RATING = rating("power_rating", "W", "power", 0.15, "power it may turn into heat")
_VOLTAGE, _VOLTAGE_RATING = rating("voltage_rating", "V", "voltage", 400.0, "highest voltage that it blocks")
_STATE = state(
    "state",
    {"by its gate": 0.0, "fired": 1.0},
    "by its gate",
    "whether its gate decides, or it is fired all the time",
)
_SOURCE = (
    "two-transistor picture of a four-layer switch: trigger current by the gate's shunt, holding current by the gain "
    "of the pnp"
)


def _trigger(trigger: float, holding: float) -> tuple[Parameter, ...]:
    return (
        positive("trigger_current", "A", trigger, "gate current that turns it on", spread=0.8),
        positive(
            "holding_current",
            "A",
            holding,
            "main current below which it lets go; above the trigger current",
            spread=0.8,
        ),
        positive("turn_on_time", "s", 1e-6, "in which a generous gate current turns it on", spread=0.5),
        zero_or_more("series_resistance", "Ω", 0.1, "rise of its on-state voltage by current", spread=0.5),
    )


THYRISTOR = Kind(
    name="thyristor",
    title="thyristor",
    letters=("Q", "T", "D"),
    pins=("anode", "cathode", "gate"),
    path=("anode", "cathode"),
    elements=_thyristor,
    parameters=(*_trigger(0.2e-3, 5e-3), _STATE, TEMPERATURE, _CURRENT, _VOLTAGE),
    ratings=(_CURRENT_RATING, _VOLTAGE_RATING),
    main_value="trigger_current",
    outline=outlines.THYRISTOR,
    controls=(("gate", "anode"),),
    says="conducts from anode to cathode once its gate has been fired, until its current falls below the holding current",
    source=_SOURCE,
)
TRIAC_KIND = Kind(
    name="triac",
    title="triac",
    letters=("Q", "T"),
    pins=("main_1", "main_2", "gate"),
    path=("main_2", "main_1"),
    elements=_triac,
    parameters=(
        *_trigger(5e-3, 10e-3),
        positive("gate_voltage", "V", 0.8, "gate against main terminal 1 at the trigger current", within=0.2),
        _STATE,
        TEMPERATURE,
        _CURRENT,
        _VOLTAGE,
    ),
    ratings=(_CURRENT_RATING, _VOLTAGE_RATING),
    main_value="trigger_current",
    outline=outlines.TRIAC,
    controls=(("gate", "main_2"),),
    says="conducts both ways once its gate has been fired by a current of either sign, until its current falls below the "
    "holding current; that the four quadrants differ is left out",
    source=_SOURCE,
)
_DB3 = "32 V type with the number 3 in its name, from memory"
DIAC_KIND = Kind(
    name="diac",
    title="diac",
    letters=("D", "DI", "DB"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_diac,
    parameters=(
        positive(
            "breakover_voltage", "V", 32.0, "at which it breaks over, either way", within=4.0, source=_DB3
        ),
        positive(
            "breakback_voltage",
            "V",
            8.0,
            "by which its voltage falls from there to 10 mA; less than the breakover voltage",
            within=3.0,
            source=_DB3,
        ),
        positive("breakover_current", "A", 70e-6, "that it draws as it breaks over", spread=0.8, source=_DB3),
        positive(
            "holding_current",
            "A",
            1e-3,
            "below which it blocks again; ten times the breakover current or more",
            spread=0.8,
        ),
        positive("off_resistance", "Ω", 10e6, "while it blocks", spread=0.8),
        positive("turn_on_time", "s", 1e-6, "in which it breaks over", spread=0.5),
        zero_or_more("series_resistance", "Ω", 2.0, "rise of its lower voltage by current", spread=0.5),
        TEMPERATURE,
        _BREAK_POWER,
    ),
    ratings=(_BREAK_RATING,),
    main_value="breakover_voltage",
    outline=outlines.DIAC,
    says="blocks both ways up to its breakover voltage, then falls back to a lower one and conducts until its current falls "
    "below the holding current; fires triacs",
    source="two thyristors back to back, each fired by a breakdown of its own, in series with the voltage that stays; "
    f"{_SOURCE}",
)

MEMBERS = (DIAC_KIND, THYRISTOR, TRIAC_KIND)
