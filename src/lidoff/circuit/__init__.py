"""Parts, pins and nets, the kinds of part, and the solving of what they make together.

This room knows circuits and their equations. It knows nothing of photos, files and pages.
"""

from lidoff.circuit.check import WiringFault, check_circuit, check_pins
from lidoff.circuit.kind import (
    Element,
    Kind,
    Law,
    Parameter,
    Rating,
    Response,
    all_kinds,
    kind_of,
    settings_of,
)
from lidoff.circuit.netlist import Circuit, Part, Pin, Situation, Spread
from lidoff.circuit.operating import operating_point, situation_table, solve_table, supplies_of
from lidoff.circuit.outlines import Circle, Outline, Polyline
from lidoff.circuit.solution import OperatingPoint, Solution
from lidoff.circuit.spread import Prediction, Spreading, predict_spread, strongest, uncertain_parameters

__all__ = [
    "Circle",
    "Circuit",
    "Element",
    "Kind",
    "Law",
    "OperatingPoint",
    "Outline",
    "Parameter",
    "Part",
    "Pin",
    "Polyline",
    "Prediction",
    "Rating",
    "Response",
    "Situation",
    "Solution",
    "Spread",
    "Spreading",
    "WiringFault",
    "all_kinds",
    "check_circuit",
    "check_pins",
    "kind_of",
    "operating_point",
    "predict_spread",
    "settings_of",
    "situation_table",
    "solve_table",
    "strongest",
    "supplies_of",
    "uncertain_parameters",
]
