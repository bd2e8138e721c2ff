"""A bimetal switch that opens when it is hot."""

from __future__ import annotations

from lidoff.circuit.kind import Element, Kind, Parameter, Parameters
from lidoff.circuit.laws import CONDUCTANCE
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, state

CLOSED, OPEN = 20e-3, 1e9
"""Resistance of its contacts [Ω]: typical, common practice, no source."""


def _contacts(p: Parameters) -> Parameters:
    return {"conductance": p["state"] / CLOSED + (1.0 - p["state"]) / OPEN}


def _elements(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=CONDUCTANCE, joins=("1", "2"), derive=_contacts),)


MEMBERS = (
    Kind(
        name="bimetal_switch",
        title="bimetal switch",
        letters=("F", "S"),
        pins=("1", "2"),
        path=("1", "2"),
        elements=_elements,
        parameters=(
            state("state", {"hot": 0.0, "cold": 1.0}, "cold", "whether it has opened"),
            Parameter(
                name="opens_at", unit="°C", typical=85.0, minimum=-50.0, says="temperature at which it opens"
            ),
            positive("current_rating", "A", 5.0, "current it may carry"),
        ),
        main_value="opens_at",
        says="opens when it gets hot, and closes again when it has cooled",
        source="behavioural: two states, no snap and no hysteresis",
    ),
)
