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
from lidoff.hazards.limits import FROM_MEMORY, LimitTable, limit_table, straight_between
from lidoff.hazards.subject import (
    Repeating,
    Subject,
    is_alternating,
    is_connected,
    is_unpluggable,
    unplugged,
)
from lidoff.hazards.told import (
    DISTANCE_UNITS,
    LIGHT_UNITS,
    MATERIAL_GROUPS,
    OVERVOLTAGE_CATEGORIES,
    POLLUTION_DEGREES,
    SURFACES,
    Distance,
    Light,
)

__all__ = [
    "DISTANCE_UNITS",
    "FROM_MEMORY",
    "LIGHT_UNITS",
    "MATERIAL_GROUPS",
    "OUTCOMES",
    "OVERVOLTAGE_CATEGORIES",
    "POLLUTION_DEGREES",
    "SURFACES",
    "Distance",
    "Hazard",
    "HazardCheck",
    "Light",
    "LimitTable",
    "Outcome",
    "Repeating",
    "Subject",
    "all_hazard_checks",
    "at_least",
    "at_most",
    "hazard_findings",
    "is_alternating",
    "is_connected",
    "is_unpluggable",
    "limit_table",
    "look_for_hazards",
    "straight_between",
    "unplugged",
]
