"""The folder that holds one device: its format, loading and saving, and the analysis of all that it says.

This room knows files and everything below. It knows nothing of pages and of the web.
"""

from lidoff.dossier.analyse import Progress, analyse
from lidoff.dossier.analysis import (
    Analysis,
    Check,
    PartState,
    SituationResult,
    SolvedSituation,
    Stress,
    SupplyState,
    UnsolvedSituation,
)
from lidoff.dossier.entries import (
    Board,
    Device,
    Dossier,
    PartEntry,
    Photo,
    Publication,
    SituationEntry,
    Wire,
)
from lidoff.dossier.loading import FILE_NAME, LARGEST_FILE, dossier_from_text, load_dossier
from lidoff.dossier.published import ANALYSIS_VERSION, analysis_json, analysis_schema, dossier_schema
from lidoff.dossier.saving import dossier_text, save_dossier, write_whole
from lidoff.dossier.starting import FOLDERS, start_dossier
from lidoff.dossier.wiring import circuit_of, part_of, situations_of

__all__ = [
    "ANALYSIS_VERSION",
    "FILE_NAME",
    "FOLDERS",
    "LARGEST_FILE",
    "Analysis",
    "Board",
    "Check",
    "Device",
    "Dossier",
    "PartEntry",
    "PartState",
    "Photo",
    "Progress",
    "Publication",
    "SituationEntry",
    "SituationResult",
    "SolvedSituation",
    "Stress",
    "SupplyState",
    "UnsolvedSituation",
    "Wire",
    "analyse",
    "analysis_json",
    "analysis_schema",
    "circuit_of",
    "dossier_from_text",
    "dossier_schema",
    "dossier_text",
    "load_dossier",
    "part_of",
    "save_dossier",
    "situations_of",
    "start_dossier",
    "write_whole",
]
