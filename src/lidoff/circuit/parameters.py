"""Short ways to declare what parts can be told: numbers with their spread, limits, and states with words."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from lidoff.circuit.kind import Parameter, Rating
from lidoff.circuit.netlist import Spread

__all__ = ["NO_SOURCE", "TEMPERATURE", "positive", "rating", "signed", "state", "zero_or_more"]

NO_SOURCE = "typical, common practice, no source"


def _spread(relative: float, absolute: float) -> Spread:
    return Spread(half_width=absolute, relative=False) if absolute else Spread(half_width=relative)


def positive(
    name: str,
    unit: str,
    typical: float | None,
    says: str,
    *,
    spread: float = 0.0,
    within: float = 0.0,
    maximum: float = np.inf,
    source: str = NO_SOURCE,
) -> Parameter:
    """Declare a number above zero; `spread` is relative, `within` in the parameter's unit."""
    return Parameter(
        name=name,
        unit=unit,
        typical=typical,
        spread=_spread(spread, within),
        minimum=0.0,
        above=True,
        maximum=maximum,
        says=says,
        source=source,
    )


def zero_or_more(
    name: str,
    unit: str,
    typical: float | None,
    says: str,
    *,
    spread: float = 0.0,
    within: float = 0.0,
    maximum: float = np.inf,
    source: str = NO_SOURCE,
) -> Parameter:
    """Declare a number that may be zero; `spread` is relative, `within` in the parameter's unit."""
    return Parameter(
        name=name,
        unit=unit,
        typical=typical,
        spread=_spread(spread, within),
        minimum=0.0,
        maximum=maximum,
        says=says,
        source=source,
    )


def signed(
    name: str,
    unit: str,
    typical: float | None,
    says: str,
    *,
    spread: float = 0.0,
    within: float = 0.0,
    source: str = NO_SOURCE,
) -> Parameter:
    """Declare a number of either sign; `spread` is relative, `within` in the parameter's unit."""
    return Parameter(
        name=name, unit=unit, typical=typical, spread=_spread(spread, within), says=says, source=source
    )


def state(name: str, words: Mapping[str, float], typical: str, says: str) -> Parameter:
    """Declare a state that is told by a word, in the dossier or by a situation."""
    return Parameter(
        name=name,
        unit="",
        typical=words[typical],
        words=words,
        minimum=min(words.values()),
        maximum=max(words.values()),
        says=says,
        source="",
    )


def rating(name: str, unit: str, of: str, typical: float | None, says: str) -> tuple[Parameter, Rating]:
    """Declare a limit that the part carries, with its parameter."""
    return zero_or_more(name, unit, typical, says), Rating(name=name, unit=unit, of=of)


TEMPERATURE = Parameter(
    name="temperature",
    unit="°C",
    typical=25.0,
    minimum=-273.15,
    says="temperature of the part",
    source="room temperature",
)
