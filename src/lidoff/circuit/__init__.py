"""Parts, pins and nets, the kinds of part, and the solving of what they make together.

This room knows circuits and their equations. It knows nothing of photos, files and pages.
"""

from lidoff.circuit.article import with_article
from lidoff.circuit.check import WiringFault, check_circuit, check_pins
from lidoff.circuit.contacts import touched
from lidoff.circuit.designator import check_reference
from lidoff.circuit.fault import (
    Fault,
    all_faults,
    bridge,
    drift,
    open_part,
    open_pin,
    short,
    solve_faults,
)
from lidoff.circuit.figures import Figures, figures
from lidoff.circuit.fit import Fit, Free, Observation, fit
from lidoff.circuit.holding import Leaving, leaving
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
from lidoff.circuit.operating import nets_adrift, operating_point, situation_table, solve_table, supplies_of
from lidoff.circuit.outlines import Circle, Outline, Polyline
from lidoff.circuit.periodic import periodic_steady_state
from lidoff.circuit.periodic_spread import PeriodicSpread, periodic_spread
from lidoff.circuit.probing import (
    CONTINUITY,
    DIODE_RANGE,
    OHM_RANGE,
    MeterRange,
    Probed,
    all_pairs,
    probe,
)
from lidoff.circuit.sensitivity import Sensitivity, sensitivities
from lidoff.circuit.small_signal import FrequencyResponse, corner_frequencies, impedance, transfer
from lidoff.circuit.solution import OperatingPoint, Solution
from lidoff.circuit.solve.stepping import Tolerance
from lidoff.circuit.spread import Prediction, Spreading, predict_spread, strongest, uncertain_parameters
from lidoff.circuit.standing_in import (
    Replaced,
    at_rest,
    can_be_left_out,
    in_force,
    over_time,
    replaced_at_rest,
)
from lidoff.circuit.tolerance import Corners, random_builds, worst_corners
from lidoff.circuit.unfixed import bridges_islands, rests_on_loose
from lidoff.circuit.waveform import PowerFigures, Waveforms, waveform

__all__ = [
    "CONTINUITY",
    "DIODE_RANGE",
    "OHM_RANGE",
    "Circle",
    "Circuit",
    "Corners",
    "Element",
    "Fault",
    "Figures",
    "Fit",
    "Free",
    "FrequencyResponse",
    "Kind",
    "Law",
    "Leaving",
    "MeterRange",
    "Observation",
    "OperatingPoint",
    "Outline",
    "Parameter",
    "Part",
    "PeriodicSpread",
    "Pin",
    "Polyline",
    "PowerFigures",
    "Prediction",
    "Probed",
    "Rating",
    "Replaced",
    "Response",
    "Sensitivity",
    "Situation",
    "Solution",
    "Spread",
    "Spreading",
    "Tolerance",
    "Waveforms",
    "WiringFault",
    "all_faults",
    "all_kinds",
    "all_pairs",
    "at_rest",
    "bridge",
    "bridges_islands",
    "can_be_left_out",
    "check_circuit",
    "check_pins",
    "check_reference",
    "corner_frequencies",
    "drift",
    "figures",
    "fit",
    "impedance",
    "in_force",
    "kind_of",
    "leaving",
    "nets_adrift",
    "open_part",
    "open_pin",
    "operating_point",
    "over_time",
    "periodic_spread",
    "periodic_steady_state",
    "predict_spread",
    "probe",
    "random_builds",
    "replaced_at_rest",
    "rests_on_loose",
    "sensitivities",
    "settings_of",
    "short",
    "situation_table",
    "solve_faults",
    "solve_table",
    "strongest",
    "supplies_of",
    "touched",
    "transfer",
    "uncertain_parameters",
    "waveform",
    "with_article",
    "worst_corners",
]
