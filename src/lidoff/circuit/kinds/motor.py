"""Brushed motors, with their speed as an unknown of the circuit."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Law, Parameters, Ports, Response
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, state, zero_or_more
from lidoff.circuit.smooth import band_limited

TURNING = 1.0  # [rad/s] speed at which friction has reached most of its value, one turn in six seconds


def _run(ports: Ports, p: Parameters) -> Response:
    # v = R·i + k·ω;  k·i = friction(ω) + damping·ω while it may turn, ω = 0 while it is stalled
    v, i, speed = ports
    k, turns = p["constant"], p["turns"]
    drag = np.tanh(speed / TURNING)
    friction_slope = p["friction"] / TURNING * (1.0 - drag**2) + p["damping"]
    like = np.zeros_like(v)
    voltage_left = v - p["resistance"] * i - k * speed
    torque_left = turns * (k * i - p["friction"] * drag - p["damping"] * speed) - (1.0 - turns) * k * speed
    return Response(
        (i, voltage_left, torque_left),
        (
            np.ones_like(i),
            np.ones_like(v),
            -p["resistance"] + like,
            -k + like,
            turns * k + like,
            -turns * friction_slope - (1.0 - turns) * k,
        ),
    )


def _keep(ports: Ports, p: Parameters) -> Response:
    _, i, speed = ports
    inductance, inertia = p["inductance"] + np.zeros_like(i), p["turns"] * p["inertia"] + np.zeros_like(i)
    return Response((-inductance * i, -inertia * speed), (-inductance, -inertia))


def _limit(new: Ports, old: Ports, p: Parameters) -> Ports:  # noqa: ARG001
    edge = np.full_like(new[2], 3.0 * TURNING)
    return (new[0], new[1], band_limited(new[2], old[2], -edge, edge, edge))


MOTOR_LAW = Law(
    name="brushed motor",
    terminals=("plus", "minus"),
    unknowns=("current", "speed"),
    ports=({"plus": 1.0, "minus": -1.0}, {"current": 1.0}, {"speed": 1.0}),
    rows=({"plus": 1.0, "minus": -1.0}, {"current": 1.0}, {"speed": 1.0}),
    pairs=((0, 1), (1, 0), (1, 1), (1, 2), (2, 1), (2, 2)),
    respond=_run,
    store=_keep,
    store_rows=({"current": 1.0}, {"speed": 1.0}),
    store_pairs=((0, 1), (1, 2)),
    limit=_limit,
)


def _elements(part: Part) -> tuple[Element, ...]:
    def derive(p: Parameters) -> Parameters:
        k = p["back_emf_constant"]
        zero = np.zeros(1)
        return {
            "resistance": p["resistance"],
            "constant": k,
            "friction": k * p["no_load_current"] + p["load_torque"],
            "damping": p["load_damping"] if "load_damping" in part.values else zero,
            "turns": p["state"],
            "inductance": p["inductance"] if "inductance" in part.values else zero,
            "inertia": p["inertia"] if "inertia" in part.values else zero,
        }

    return (Element(law=MOTOR_LAW, joins=("plus", "minus"), derive=derive),)


_VOLTAGE, _VOLTAGE_RATING = rating("voltage_rating", "V", "voltage", 6.0, "highest continuous voltage")
_CURRENT, _CURRENT_RATING = rating("current_rating", "A", "current", 0.5, "highest continuous current")
_SMALL = "a small motor of the 130 size, common practice, no source"

MOTOR = Kind(
    name="motor",
    title="brushed motor",
    letters=("M",),
    pins=("plus", "minus"),
    path=("plus", "minus"),
    elements=_elements,
    parameters=(
        positive("resistance", "Ω", 2.0, "of winding and brushes, shaft held", spread=0.2, source=_SMALL),
        positive(
            "back_emf_constant",
            "V·s/rad",
            0.0022,
            "voltage by speed, torque by current",
            spread=0.2,
            source=_SMALL,
        ),
        zero_or_more(
            "no_load_current", "A", 0.1, "current of the free-running motor", spread=0.3, source=_SMALL
        ),
        zero_or_more(
            "load_torque", "N·m", 0.0, "steady torque of what it drives, against the motion", spread=0.3
        ),
        state("state", {"running": 1.0, "stalled": 0.0}, "running", "whether its shaft may turn"),
        _VOLTAGE,
        _CURRENT,
    ),
    only_if_told=(
        zero_or_more(
            "load_damping", "N·m·s/rad", None, "torque of what it drives in proportion to the speed"
        ),
        zero_or_more("inductance", "H", None, "inductance of the winding"),
        zero_or_more("inertia", "kg·m²", None, "moment of inertia, rotor and load"),
    ),
    ratings=(_VOLTAGE_RATING, _CURRENT_RATING),
    main_value="resistance",
    outline=outlines.MOTOR,
    says="turns; its speed is an unknown of the circuit, and its current is highest when it is stalled",
    source="v = R·i + L·di/dt + k·ω and J·dω/dt = k·i − T, the permanent-magnet motor of any textbook",
)

MEMBERS = (MOTOR,)
