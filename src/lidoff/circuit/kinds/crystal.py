"""Quartz crystals and ceramic resonators by their motional branch."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Parameters
from lidoff.circuit.laws import CAPACITANCE, INDUCTANCE
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating


def _mass(p: Parameters) -> Parameters:
    return {
        "voltage": np.zeros(1),
        "connected": np.ones(1),
        "resistance": p["motional_resistance"],
        "inductance": 1.0 / ((2.0 * np.pi * p["frequency"]) ** 2 * p["motional_capacitance"]),
    }


def _elements(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (
        Element(law=INDUCTANCE, joins=("1", "~motion"), derive=_mass),
        Element(
            law=CAPACITANCE,
            joins=("~motion", "2"),
            derive=lambda p: {"capacitance": p["motional_capacitance"]},
        ),
        Element(law=CAPACITANCE, joins=("1", "2"), derive=lambda p: {"capacitance": p["shunt_capacitance"]}),
    )


_POWER, _POWER_RATING = rating("power_rating", "W", "power", 100e-6, "drive level that does not damage it")

CRYSTAL = Kind(
    name="crystal",
    outline=outlines.CRYSTAL,
    title="crystal",
    letters=("Y", "X", "XTAL"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_elements,
    parameters=(
        positive("frequency", "Hz", 12e6, "series resonance", spread=30e-6),
        positive("motional_resistance", "Ω", 50.0, "equivalent series resistance", spread=0.5),
        positive("motional_capacitance", "F", 10e-15, "of the series branch", spread=0.5),
        positive("shunt_capacitance", "F", 3e-12, "of the electrodes", spread=0.3),
        _POWER,
    ),
    ratings=(_POWER_RATING,),
    main_value="frequency",
    says="a resonator of very little loss; carries no direct current",
    source="equivalent circuit after S. Butterworth and K. S. Van Dyke, as in IEC 60444",
)

MEMBERS = (CRYSTAL,)
