"""Clues that several guesses at a chip without a name share."""

from __future__ import annotations

from lidoff.circuit import Part
from lidoff.insight.around import Around
from lidoff.insight.guess import Clue
from lidoff.insight.sketch import chip

__all__ = ["FED", "back_to_back", "kinds_of_work", "nameless", "signal_with"]

BUSY = ("gate", "base", "led", "button", "divider", "sensor", "pad", "crystal", "sounder")
FED = Clue(
    says="it lies between a supply and a ground",
    holds=lambda a: bool(a.supplies and a.grounds),
    weight=0.3,
    missing=-1.0,
    lacks="it does not lie between a supply and a ground",
)


def nameless(**pins: str) -> Part:
    """Chip of which only pins and nets are known."""
    return chip("U1", "box", **pins)


def kinds_of_work(around: Around) -> int:
    """How many sorts of things its pins have to do with."""
    return sum(around.has(word) for word in BUSY)


def signal_with(around: Around, *words: str) -> bool:
    """Whether one of its signals is joined to all of some things."""
    return any(set(words) <= around.near[pin] for pin in around.signals)


def back_to_back(around: Around) -> bool:
    """Two gates that belong to MOSFETs which share their drains."""
    gates = [
        one
        for pin in around.pins_near("gate")
        for one, name in around.view.pins[around.chip.nets[pin]]
        if one.kind == "mosfet_n" and name == "gate"
    ]
    drains = [one.nets["drain"] for one in gates]
    return len(drains) > len(set(drains))
