"""Logs: what a meter or logger wrote over time, as channels against seconds, and the sums taken from them.

Knows the many ways in which such files are written, and tells every choice that it makes. Knows no files: bytes come in.
"""

from lidoff.evidence.logs.curve import Curve, curve_of
from lidoff.evidence.logs.cutoff import Cut, Stretch, moment_of, running_stretches
from lidoff.evidence.logs.integral import Integral, half_widths, integrate, mean_over
from lidoff.evidence.logs.log import LARGEST_LOG, MOST_ROWS, TIME_HINTS, Channel, Log, LogHints, Remark
from lidoff.evidence.logs.reading import read_log
from lidoff.evidence.logs.summary import ChannelSummary, LogSummary, Run, Summed, summary_of
from lidoff.evidence.logs.telling import time_words

__all__ = [
    "LARGEST_LOG",
    "MOST_ROWS",
    "TIME_HINTS",
    "Channel",
    "ChannelSummary",
    "Curve",
    "Cut",
    "Integral",
    "Log",
    "LogHints",
    "LogSummary",
    "Remark",
    "Run",
    "Stretch",
    "Summed",
    "curve_of",
    "half_widths",
    "integrate",
    "mean_over",
    "moment_of",
    "read_log",
    "running_stretches",
    "summary_of",
    "time_words",
]
