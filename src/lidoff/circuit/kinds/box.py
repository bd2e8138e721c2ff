"""What is not understood yet, or lies outside: boxes with measured pins, connectors, test points."""

from __future__ import annotations

from collections.abc import Callable

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Parameter, Parameters
from lidoff.circuit.laws import CONDUCTANCE
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, signed
from lidoff.circuit.steering import STEADY_DRAW, steady_draw
from lidoff.errors import CircuitFault

CURRENT = "current_"
RESISTANCE = "resistance_"


def _ground(part: Part) -> str:
    grounds = sorted(pin for pin in part.pins if part.pin_roles.get(pin, "") == "ground")
    return grounds[0] if grounds else ""


def _drawing_pins(part: Part) -> tuple[str, ...]:
    return tuple(sorted(pin for pin in part.pins if part.pin_roles.get(pin, "") != "ground"))


def _pairs(part: Part) -> tuple[tuple[str, str, str], ...]:
    """(parameter, pin, pin) of every resistance between two pins that the part tells."""
    pins = sorted(part.pins)
    names = {f"{RESISTANCE}{one}_{other}": (one, other) for one in pins for other in pins if one != other}
    return tuple((name, *names[name]) for name in sorted(part.values) if name in names)


def _drawn(pin: str) -> Callable[[Parameters], Parameters]:
    return lambda p: steady_draw(p[f"{CURRENT}{pin}"])


def _through(name: str) -> Callable[[Parameters], Parameters]:
    return lambda p: {"conductance": 1.0 / p[name]}


def _elements(part: Part) -> tuple[Element, ...]:
    ground = _ground(part)
    told = sorted(name for name in part.values if name.startswith(CURRENT))
    if told and not ground:
        raise CircuitFault(
            f"{part.reference}: {told[0]} must leave the box somewhere, and no pin has the role ground",
            remedy='name the pin that takes the current back in pin_roles, such as pin_roles = { 1 = "ground" }',
        )
    drawn = [
        Element(law=STEADY_DRAW, joins=(pin, ground), derive=_drawn(pin))
        for pin in (_drawing_pins(part) if ground else ())
    ]
    between = [
        Element(law=CONDUCTANCE, joins=(one, other), derive=_through(name))
        for name, one, other in _pairs(part)
    ]
    return (*drawn, *between)


def _own(part: Part) -> tuple[Parameter, ...]:
    pins = _drawing_pins(part) if _ground(part) else ()
    told = [pin for pin in _drawing_pins(part) if f"{CURRENT}{pin}" in part.values]
    currents = [
        signed(
            f"{CURRENT}{pin}",
            "A",
            0.0,
            f"current drawn from pin {pin} and given back at ground, as long as it has voltage",
            spread=0.1,
            source="nothing is assumed of what has not been measured",
        )
        for pin in sorted({*pins, *told})
    ]
    resistances = [
        positive(name, "Ω", None, f"measured between pins {one} and {other}", spread=0.1)
        for name, one, other in _pairs(part)
    ]
    return (*currents, *resistances)


def _nothing(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return ()


BOX_KIND = Kind(
    name="box",
    title="part of unknown content",
    letters=("U", "A"),
    pins=(),
    elements=_elements,
    own_parameters=_own,
    unknown=True,
    example_pins={"vcc": "supply", "gnd": "ground", "out": "output"},
    example={"current_vcc": 0.002, "resistance_out_gnd": 10e3},
    says="whatever is not understood: draws what was measured at each pin (current_<pin>), with measured resistances between "
    "pins (resistance_<pin>_<pin>); nothing else is assumed",
    source="measured currents and resistances as told; none are assumed",
)
CONNECTOR = Kind(
    name="connector",
    title="connector",
    letters=("J", "X"),
    pins=(),
    elements=_nothing,
    example_pins={"1": "", "2": ""},
    says="where wires from outside reach the circuit; its pins are joined to nothing inside",
    source="no equations",
)
TEST_POINT = Kind(
    name="test_point",
    outline=outlines.TEST_POINT,
    title="test point",
    letters=("TP",),
    pins=("1",),
    elements=_nothing,
    says="a place to touch with a probe",
    source="no equations",
)

MEMBERS = (BOX_KIND, CONNECTOR, TEST_POINT)
