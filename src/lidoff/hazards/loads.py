"""Any load of a circuit in every situation, at rest or over a period, as one number that a check holds against a limit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from lidoff.circuit import Solution, Waveforms, figures
from lidoff.circuit.kind import Array
from lidoff.hazards.subject import Subject
from lidoff.quantities import Quantity

__all__ = ["AT_REST_ASSUMED", "OVER_TIME_ASSUMED", "Ask", "Figure", "Load", "highest_load", "loads_of"]

Ask = Callable[[Solution | Waveforms], Array]
"""A number of every sample, or of every instant."""
Figure = Literal["mean", "effective", "highest"]
"""What of a waveform counts."""
AT_REST_ASSUMED = "values spread as told or typical, to first order"
OVER_TIME_ASSUMED = "parts at their nominal values, supplies with their spread"


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One load in one situation, as a size without sign.

    Attributes
    ----------
    situation : str
    value : Quantity
    seen : str
        How it was seen, such as ``at rest`` or ``effective over a period``.
    """

    situation: str
    value: Quantity
    seen: str

    @property
    def assumed(self) -> tuple[str, ...]:
        """What was taken as given on the way."""
        return (AT_REST_ASSUMED,) if self.seen == "at rest" else (OVER_TIME_ASSUMED,)


def loads_of(subject: Subject, ask: Ask, unit: str, figure: Figure = "effective") -> tuple[Load, ...]:
    """Sizes of a load in every situation that settled.

    Parameters
    ----------
    subject : Subject
    ask : callable (Solution or Waveforms) → ndarray
        The load, signed.
    unit : str
        Of the load.
    figure : {"mean", "effective", "highest"}, optional
        What counts where a supply alternates.

    Returns
    -------
    tuple of Load
        One for each situation at rest, and one for each waveform that was found.
    """
    found = [
        Load(situation=name, value=Quantity(abs(load.value), unit, load.uncertainty), seen="at rest")
        for name, load in subject.at_rest(ask, unit).items()
        if not subject.alternates(subject.situations[name])
    ]
    for repeating in subject.repeating:
        if repeating.waveforms is None:
            continue
        told = figures(repeating.waveforms.times, ask(repeating.waveforms))
        size = {
            "mean": abs(told.average),
            "effective": told.rms,
            "highest": max(told.highest, -told.lowest),
        }[figure]
        # A current or voltage follows the supply in proportion, a power its square.
        spread = subject.supply_spread(repeating.situation) * (2.0 if unit == "W" else 1.0)
        seen = "highest within a period" if figure == "highest" else f"{figure} over a period"
        found.append(
            Load(situation=repeating.situation.name, value=Quantity(size, unit, size * spread), seen=seen)
        )
    return tuple(found)


def highest_load(subject: Subject, ask: Ask, unit: str, figure: Figure = "effective") -> Load | None:
    """The largest of `loads_of`; None where no situation tells."""
    return max(loads_of(subject, ask, unit, figure), key=lambda load: load.value.value, default=None)
