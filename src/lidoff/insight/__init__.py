"""The circuit understood: blocks, what sets each current, what the readings say of the trace, what to measure next.

Knows: circuits with their solutions, readings with their uncertainty. Must not know: files of a dossier, pages, the web.
"""

from lidoff.insight.as_traced import FitAsTraced, chance_of_worst, fit_as_traced, strains_as_traced
from lidoff.insight.asked import asked_of
from lidoff.insight.believed import Believed
from lidoff.insight.block import Beside, Block, Missing, Sum, groups_of, read_among, told_once
from lidoff.insight.budget import Budget, Step, budget_of, main_budgets
from lidoff.insight.by_itself import with_wide_tolerances
from lidoff.insight.candidates import Candidate, is_driven, is_mains
from lidoff.insight.contrasting import Change, Contrast, contrast, contrast_with_block, tinted_changes
from lidoff.insight.economy import (
    Economy,
    EconomyKind,
    Load,
    Stock,
    StockLine,
    Survey,
    all_economies,
    economies_of,
    stock_of,
    survey_of,
)
from lidoff.insight.families import Family, families_of
from lidoff.insight.fitted import fitted_value
from lidoff.insight.flows import Flow, flows_of, loop_of
from lidoff.insight.guess import Guess, GuessKind, PinGuess, Unnamed, all_guesses, told_guess, unnamed_parts
from lidoff.insight.knowledge import Knowledge, Seen, knowledge_of, seen_beside, seen_of
from lidoff.insight.limiters import Limiter, all_limiters
from lidoff.insight.misfit import Misfit, PartStrain, ReadingStrain, misfit_of, tinted_groups, tints_of
from lidoff.insight.next_reading import NextReading, NextReadings, Outcome, Wanted, rank_readings
from lidoff.insight.pattern import BlockKind, all_blocks
from lidoff.insight.recognise import recognise
from lidoff.insight.slip import Slip, SlipKind, all_slip_kinds
from lidoff.insight.slips import SlipRanking, rank_slips
from lidoff.insight.telling import (
    look_again,
    odds_words,
    outcome_words,
    outcomes_words,
    reading_cautions,
    reading_how,
    reading_title,
    slip_title,
    slip_why,
)
from lidoff.insight.watched import DeadTest, PoweredTarget, Watched, watched_of
from lidoff.insight.without_power import Foreseen, foreseen_without_power

__all__ = [
    "Believed",
    "Beside",
    "Block",
    "BlockKind",
    "Budget",
    "Candidate",
    "Change",
    "Contrast",
    "DeadTest",
    "Economy",
    "EconomyKind",
    "Family",
    "FitAsTraced",
    "Flow",
    "Foreseen",
    "Guess",
    "GuessKind",
    "Knowledge",
    "Limiter",
    "Load",
    "Misfit",
    "Missing",
    "NextReading",
    "NextReadings",
    "Outcome",
    "PartStrain",
    "PinGuess",
    "PoweredTarget",
    "ReadingStrain",
    "Seen",
    "Slip",
    "SlipKind",
    "SlipRanking",
    "Step",
    "Stock",
    "StockLine",
    "Sum",
    "Survey",
    "Unnamed",
    "Wanted",
    "Watched",
    "all_blocks",
    "all_economies",
    "all_guesses",
    "all_limiters",
    "all_slip_kinds",
    "asked_of",
    "budget_of",
    "chance_of_worst",
    "contrast",
    "contrast_with_block",
    "economies_of",
    "families_of",
    "fit_as_traced",
    "fitted_value",
    "flows_of",
    "foreseen_without_power",
    "groups_of",
    "is_driven",
    "is_mains",
    "knowledge_of",
    "look_again",
    "loop_of",
    "main_budgets",
    "misfit_of",
    "odds_words",
    "outcome_words",
    "outcomes_words",
    "rank_readings",
    "rank_slips",
    "read_among",
    "reading_cautions",
    "reading_how",
    "reading_title",
    "recognise",
    "seen_beside",
    "seen_of",
    "slip_title",
    "slip_why",
    "stock_of",
    "strains_as_traced",
    "survey_of",
    "tinted_changes",
    "tinted_groups",
    "tints_of",
    "told_guess",
    "told_once",
    "unnamed_parts",
    "watched_of",
    "with_wide_tolerances",
]
