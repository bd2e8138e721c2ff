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
    SupplyState,
    UnsolvedSituation,
)
from lidoff.dossier.board_files import board_text
from lidoff.dossier.board_work import TracedOnDisk, save_board, trace_dossier
from lidoff.dossier.drawing import DrawingChoices, drawing_options
from lidoff.dossier.drawn import DrawingWish, drawing_of
from lidoff.dossier.drawn_figures import AC_MEANS, SolvedFigures, figures_drawn, unfixed_over
from lidoff.dossier.entries import (
    Board,
    Decision,
    Device,
    Dossier,
    OwnWords,
    PartEntry,
    Photo,
    Publication,
    SituationEntry,
    Wire,
)
from lidoff.dossier.formats import NEWEST
from lidoff.dossier.loading import FILE_NAME, LARGEST_FILE, dossier_from_text, load_dossier
from lidoff.dossier.log_readings import log_summaries, readings_offered
from lidoff.dossier.logs import LOGS_FOLDER
from lidoff.dossier.migrating import Migrated
from lidoff.dossier.opening import migrate_folder
from lidoff.dossier.periods import changes_with_time, shows_an_instant
from lidoff.dossier.proposals import Proposal
from lidoff.dossier.published import ANALYSIS_VERSION, analysis_json, analysis_schema, dossier_schema
from lidoff.dossier.reasoning import Reasoned, fit_of, next_readings_of, proposals_json, slips_of
from lidoff.dossier.saving import dossier_text, save_dossier, write_whole
from lidoff.dossier.starting import FOLDERS, start_dossier
from lidoff.dossier.toml_text import toml_text
from lidoff.dossier.traced import Disagreement, board_from_text, board_texts, merged_parts
from lidoff.dossier.wiring import circuit_of, part_of, situations_of

__all__ = [
    "AC_MEANS",
    "ANALYSIS_VERSION",
    "FILE_NAME",
    "FOLDERS",
    "LARGEST_FILE",
    "LOGS_FOLDER",
    "NEWEST",
    "Analysis",
    "Board",
    "Check",
    "Decision",
    "Device",
    "Disagreement",
    "Dossier",
    "DrawingChoices",
    "DrawingWish",
    "Migrated",
    "OwnWords",
    "PartEntry",
    "PartState",
    "Photo",
    "Progress",
    "Proposal",
    "Publication",
    "Reasoned",
    "SituationEntry",
    "SituationResult",
    "SolvedFigures",
    "SolvedSituation",
    "SupplyState",
    "TracedOnDisk",
    "UnsolvedSituation",
    "Wire",
    "analyse",
    "analysis_json",
    "analysis_schema",
    "board_from_text",
    "board_text",
    "board_texts",
    "changes_with_time",
    "circuit_of",
    "dossier_from_text",
    "dossier_schema",
    "dossier_text",
    "drawing_of",
    "drawing_options",
    "figures_drawn",
    "fit_of",
    "load_dossier",
    "log_summaries",
    "merged_parts",
    "migrate_folder",
    "next_readings_of",
    "part_of",
    "proposals_json",
    "readings_offered",
    "save_board",
    "save_dossier",
    "shows_an_instant",
    "situations_of",
    "slips_of",
    "start_dossier",
    "toml_text",
    "trace_dossier",
    "unfixed_over",
    "write_whole",
]
