"""Checks for danger: what is held against which limit, by which table, and what is not looked at.

This room knows circuits, their solutions and what the dossier tells beside them. It knows nothing of pages and files. No answer
says that a device does no harm: it says what was checked, against what, and what was not.
"""

from lidoff.hazards.check import (
    OUTCOMES,
    Hazard,
    HazardCheck,
    Outcome,
    all_hazard_checks,
    at_least,
    at_most,
    hazard_findings,
    look_for_hazards,
)
from lidoff.hazards.dangers import Danger, danger_findings, dangers_of
from lidoff.hazards.fault_effect import FaultEffect, Overload, Tint, fault_tints
from lidoff.hazards.limits import FROM_MEMORY, LimitTable, limit_table, straight_between
from lidoff.hazards.single_faults import fault_effects
from lidoff.hazards.spectra import measured_spectrum
from lidoff.hazards.stress import Stress, stresses_of, usual_share
from lidoff.hazards.subject import (
    Repeating,
    Subject,
    alternating_supplies,
    half_full,
    is_alternating,
    is_connected,
    is_unpluggable,
    unplugged,
)
from lidoff.hazards.told import (
    CELL_UNITS,
    DISTANCE_UNITS,
    LAMP_USES,
    LASER_CLASSES,
    LASER_UNITS,
    LIGHT_UNITS,
    MATERIAL_GROUPS,
    OVERVOLTAGE_CATEGORIES,
    POLLUTION_DEGREES,
    PROTECTION,
    PROTECTION_CLASSES,
    SURFACE_MATERIALS,
    SURFACE_UNITS,
    SURFACES,
    TOUCHES,
    CellTold,
    Distance,
    Laser,
    Light,
    Surface,
)
from lidoff.hazards.watching import is_cell

__all__ = [
    "CELL_UNITS",
    "DISTANCE_UNITS",
    "FROM_MEMORY",
    "LAMP_USES",
    "LASER_CLASSES",
    "LASER_UNITS",
    "LIGHT_UNITS",
    "MATERIAL_GROUPS",
    "OUTCOMES",
    "OVERVOLTAGE_CATEGORIES",
    "POLLUTION_DEGREES",
    "PROTECTION",
    "PROTECTION_CLASSES",
    "SURFACES",
    "SURFACE_MATERIALS",
    "SURFACE_UNITS",
    "TOUCHES",
    "CellTold",
    "Danger",
    "Distance",
    "FaultEffect",
    "Hazard",
    "HazardCheck",
    "Laser",
    "Light",
    "LimitTable",
    "Outcome",
    "Overload",
    "Repeating",
    "Stress",
    "Subject",
    "Surface",
    "Tint",
    "all_hazard_checks",
    "alternating_supplies",
    "at_least",
    "at_most",
    "danger_findings",
    "dangers_of",
    "fault_effects",
    "fault_tints",
    "half_full",
    "hazard_findings",
    "is_alternating",
    "is_cell",
    "is_connected",
    "is_unpluggable",
    "limit_table",
    "look_for_hazards",
    "measured_spectrum",
    "straight_between",
    "stresses_of",
    "unplugged",
    "usual_share",
]
