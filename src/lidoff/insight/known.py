"""What is known beyond the circuit itself: operating points, readings, and periods of what alternates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from lidoff.circuit import Solution, Spreading, Waveforms, figures, kind_of
from lidoff.circuit.kind import Array
from lidoff.circuit.laws import BRANCH
from lidoff.evidence import Comparison
from lidoff.insight.solved import Caused, steady_quantity

__all__ = ["Known"]

OVERLOAD = 2.0
"""What a supply gives over its current rating where something is wrong; a stingy design stays below. Our choice, no source."""
LEAST_VOLTAGE = 1e-6
"""Below this a supply is taken to be switched off [V]."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Known:
    """What is known beyond the circuit itself.

    Attributes
    ----------
    solution : Solution or None
        Operating points of the situations.
    comparisons : sequence of Comparison
        Readings beside their predictions.
    spreading : Spreading or None
        The same situations with every uncertain parameter moved.
    waveforms : mapping of str to Waveforms
        One period of each situation in which something changes with time, where it was found.
    alternating : frozenset of str
        Situations of which the operating point shows one instant only, as an alternating supply feeds the circuit.
    """

    solution: Solution | None = None
    comparisons: Sequence[Comparison] = ()
    spreading: Spreading | None = None
    waveforms: Mapping[str, Waveforms] = field(default_factory=dict)
    alternating: frozenset[str] = frozenset()

    def shows_an_instant(self, sample: int) -> bool:
        """Whether the operating point of a sample is that of one instant, so that no number may be taken from it."""
        return self.solution is not None and self.solution.labels[sample] in self.alternating

    @cached_property
    def overloaded(self) -> frozenset[int]:
        """Samples that no device is meant for, as an output shorted: some supply gives far more than it bears.

        That is more than `OVERLOAD` times its told current rating, or so much that it loses more of its voltage in itself than
        it gives, beyond which even its power falls. Stand-ins are left out: what they stand for, such as a capacitor from the
        mains, may well lose most of it.
        """
        solution = self.solution
        if solution is None:
            return frozenset()
        found: set[int] = set()
        for part in solution.circuit.parts:
            if not kind_of(part).supplies or part.stands_for or not solution.has_path(part.reference):
                continue
            table = {
                name: values
                for (reference, name), values in solution.table.items()
                if reference == part.reference
            }
            if "current_rating" in part.values:
                given = -solution.current(part.reference)
                found.update(np.flatnonzero(given > OVERLOAD * table["current_rating"]).tolist())
            for element in kind_of(part).elements(part):
                if element.law is BRANCH:
                    told = element.derive(table)
                    on = (np.abs(told["voltage"]) > LEAST_VOLTAGE) & (told.get("connected", np.ones(1)) > 0.5)
                    share = solution.part_voltage(part.reference) / np.where(on, told["voltage"], 1.0)
                    found.update(np.flatnonzero(on & (share < 0.5)).tolist())
        return frozenset(found)

    def is_unseen(self, sample: int) -> bool:
        """Whether a sample alternates and no period of it was found, so that nothing is known of it."""
        return self.shows_an_instant(sample) and self._period(sample) is None

    def steady_volts(self, high: str, low: str, sample: int) -> Caused | None:
        """Voltage between two nets over a period; None where it alternates, and where nothing tells it."""
        period = self._period(sample)
        if period is None or {high, low} & period.undetermined:
            return None
        references = period.system.references
        # A side that mains feed across a barrier has no ground to be told against.
        if not {high, low} <= set(references) or references[high] != references[low]:
            return None
        return steady_quantity(period, lambda one: one.voltage(high) - one.voltage(low), "V")

    def steady_size(self, names: Sequence[str], sample: int) -> Caused | None:
        """Size of the current of parts side by side over a period; None as for voltages."""
        period = self._period(sample)
        told = None if period is None else steady_quantity(period, lambda one: _together(one, names), "A")
        return None if told is None else replace(told, value=abs(told.value))

    def size_of(self, names: Sequence[str], sample: int) -> float:
        """Size of the current of parts side by side, the effective one where it alternates [A]; nothing where unknown."""
        if self.solution is None:
            return 0.0
        if not self.shows_an_instant(sample):
            return sum(abs(float(self.solution.current(name)[sample])) for name in names)
        period = self._period(sample)
        return 0.0 if period is None else figures(period.times, _together(period, names)).rms

    def _period(self, sample: int) -> Waveforms | None:
        return None if self.solution is None else self.waveforms.get(self.solution.labels[sample])


def _together(period: Waveforms, names: Sequence[str]) -> Array:
    """Current of parts side by side over a period, shape (T,) [A]."""
    return np.asarray(sum(period.current(name) for name in names), dtype=np.float64)
