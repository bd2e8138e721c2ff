"""One slip of the pencil, of the eye or of the meter, as a value; and what a kind of slip must tell about itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from lidoff.catalogue import catalogue
from lidoff.circuit import Circuit
from lidoff.insight.variant import Variant
from lidoff.insight.watched import Watched

__all__ = ["Slip", "SlipKind", "all_slip_kinds"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """One thing that may be wrong with the trace or with a reading.

    Attributes
    ----------
    kind : str
        Name of its kind.
    title : str
        What is wrong, as a person would say it.
    odds : float
        Odds of the slip against none before any reading was looked at.
    variant : Variant
        The circuit and readings as they would then be.
    parts, nets, readings : tuple of str
        What it is about, by name.
    """

    kind: str
    title: str
    odds: float
    variant: Variant
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipKind:
    """What a kind of slip tells about itself.

    Attributes
    ----------
    name : str
        As written in results.
    title : str
        As read by a person.
    chance : float
        Of one slip for each opportunity; the opportunity is told by `of_each`.
    of_each : str
        What gives the opportunity, such as ``"part with two unlike pins"``.
    look : str
        What to look at again, with ``{parts}``, ``{nets}`` and ``{readings}`` for what the slip is about.
    propose : callable (circuit, readings, chance) → sequence of Slip
        Every slip of the kind that the circuit allows.
    many : bool
        Whether there are so many that they are sifted by a quick estimate first.
    source : str
        Where the chance comes from.
    """

    name: str
    title: str
    chance: float
    of_each: str
    look: str
    propose: Callable[[Circuit, Sequence[Watched], float], Sequence[Slip]]
    many: bool = False
    source: str = "our choice, no source"


@cache
def all_slip_kinds() -> Mapping[str, SlipKind]:
    """Every kind of slip by name, sorted."""
    from lidoff.insight import slip_kinds

    return catalogue(slip_kinds, of=SlipKind)
