"""Live meters: what they are asked, how they are reached, and a record of their answers on disk.

This room knows instruments on a line, clocks and one file. It knows nothing of dossiers and pages.
"""

from lidoff.meters.asking import QUESTIONS, Answer, Ask, answer_of, ask_from, level_from
from lidoff.meters.clock import WallClock
from lidoff.meters.recording import Clock, Listener, Plan, Recorded, Told, record
from lidoff.meters.visa import BACKEND, Meter, Opener, VisaMeter, addresses, open_meter

__all__ = [
    "BACKEND",
    "QUESTIONS",
    "Answer",
    "Ask",
    "Clock",
    "Listener",
    "Meter",
    "Opener",
    "Plan",
    "Recorded",
    "Told",
    "VisaMeter",
    "WallClock",
    "addresses",
    "answer_of",
    "ask_from",
    "level_from",
    "open_meter",
    "record",
]
