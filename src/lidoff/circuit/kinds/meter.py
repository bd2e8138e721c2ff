"""The ohm, diode and continuity ranges of a handheld meter, as a part that can touch any two nets.

Such a meter drives a test current as long as its open-circuit voltage allows, and tells the voltage that results.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from lidoff.circuit.kind import Element, Kind, Parameter, Parameters
from lidoff.circuit.laws import CONDUCTANCE, INJECTION, JUNCTION
from lidoff.circuit.netlist import Part

CLAMP_SLOPE = 2e-3  # [V] how sharply the test voltage is held below the open-circuit voltage
CLAMP_START = 0.1  # [V] level from which the clamp's junction is counted; cancels in its offset

TEST_CURRENT = Parameter(
    name="test_current", unit="A", typical=1e-3, minimum=0.0, above=True, says="current driven out of red"
)
OPEN_VOLTAGE = Parameter(
    name="open_voltage", unit="V", typical=3.0, minimum=0.0, above=True, says="voltage with the probes apart"
)
LEAD_RESISTANCE = Parameter(
    name="lead_resistance",
    unit="Ω",
    typical=0.1,
    minimum=0.0,
    above=True,
    says="each test lead and its contact",
)


def _touches(part: Part) -> tuple[Parameter, ...]:
    return tuple(
        Parameter(
            name=f"{colour} on {pin}",
            unit="",
            typical=0.0,
            words={"touching": 1.0, "apart": 0.0},
            minimum=0.0,
            maximum=1.0,
            says=f"whether the {colour} probe touches {pin}",
        )
        for pin in part.pins
        for colour in ("red", "black")
    )


def _elements(part: Part) -> tuple[Element, ...]:
    probes = tuple(
        Element(law=CONDUCTANCE, joins=(pin, f"~{colour}"), derive=_touching(f"{colour} on {pin}"))
        for pin in part.pins
        for colour in ("red", "black")
    )
    return (
        *probes,
        Element(law=INJECTION, joins=("~black", "~red"), derive=lambda p: {"current": p["test_current"]}),
        Element(law=JUNCTION, joins=("~red", "~black"), derive=_clamp),
    )


def _touching(name: str) -> Callable[[Parameters], Parameters]:
    def derive(p: Parameters) -> Parameters:
        return {"conductance": p[name] / p["lead_resistance"]}

    return derive


def _clamp(p: Parameters) -> Parameters:
    start = CLAMP_START * np.ones_like(p["open_voltage"])
    return {
        "saturation_current": p["test_current"] / np.expm1(start / CLAMP_SLOPE),
        "slope_voltage": np.full_like(start, CLAMP_SLOPE),
        "resistance": np.full_like(start, 1e-3),
        "offset": p["open_voltage"] - start,
    }


METER = Kind(
    name="meter",
    title="meter on its ohm, diode or continuity range",
    letters=("M",),
    pins=(),
    elements=_elements,
    parameters=(TEST_CURRENT, OPEN_VOLTAGE, LEAD_RESISTANCE),
    own_parameters=_touches,
    example_pins={"a": "", "b": ""},
    example={"red on a": "touching", "black on b": "touching"},
    main_value="test_current",
    says="drives a small known current between its probes and tells the voltage",
    source="test current and open-circuit voltage as handheld meters print them; common practice, no source",
)

MEMBERS = (METER,)
