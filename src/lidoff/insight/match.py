"""One place where a pattern fits, with the values, voltages and currents that its sums need."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from lidoff.circuit import Solution
from lidoff.circuit.kind import Array
from lidoff.errors import LidoffError
from lidoff.evidence import AcrossPart, InPart, NetVoltage
from lidoff.insight.block import Beside, Missing, Sum
from lidoff.insight.formula import worked
from lidoff.insight.known import Known
from lidoff.insight.readings_near import across_read, current_read, voltage_read
from lidoff.insight.solved import (
    QUIET,
    Caused,
    OverTime,
    effective_current,
    highest_voltage,
    part_quantity,
    solved_quantity,
    together,
)
from lidoff.insight.view import ALTERNATING, SUPPLIES, PlacedPart, View
from lidoff.quantities import Quantity

__all__ = ["Match"]

WORTH = 0.2
"""Share of the largest current from which a situation may stand for a block because it has readings; our choice."""
RESTFUL = frozenset(
    {
        "capacitor", "electrolytic_capacitor", "film_capacitor", "suppressor", "two_way_suppressor", "varistor", "zener",
        "piezo",
    }
)  # fmt: skip
"""Kinds that do what they are there for while they carry no current."""
AT_REST = "; solved is the moment at rest, when the sources that change with time are at their start"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Match:
    """A pattern laid on a circuit.

    Attributes
    ----------
    view : View
    roles : mapping of str to tuple of PlacedPart
    nets : mapping of str to str
        Joined net of each net variable.
    required, optional : frozenset of str
        References that the block explains: those it needs, those it takes where they are free.
    known : Known
        Solution and readings.
    """

    view: View
    roles: Mapping[str, tuple[PlacedPart, ...]]
    nets: Mapping[str, str]
    required: frozenset[str]
    optional: frozenset[str] = frozenset()
    known: Known = field(default_factory=Known)

    def has(self, role: str) -> bool:
        """Whether a part plays the role."""
        return bool(self.roles.get(role))

    def part(self, role: str) -> PlacedPart:
        """First part of a role."""
        return self.roles[role][0]

    def count(self, role: str) -> int:
        """How many parts play the role."""
        return len(self.roles.get(role, ()))

    def number(self, role: str, parameter: str) -> float | None:
        """Nominal value of a parameter [SI]; None where the role is not played or the value is not told."""
        return self.part(role).value(parameter) if self.has(role) else None

    def quantity(self, role: str, parameter: str, index: int = 0) -> Quantity | None:
        """Value of a parameter with its tolerance."""
        if len(self.roles.get(role, ())) <= index:
            return None
        one = self.roles[role][index]
        return part_quantity(one, parameter)

    def total(self, role: str, parameter: str) -> Quantity | None:
        """Sum of a parameter over all parts of a role."""
        ones = [self.quantity(role, parameter, index) for index in range(self.count(role))]
        told = [one for one in ones if one is not None]
        return together(told) if told and len(told) == len(ones) else None

    def ohms(self, role: str) -> Quantity | None:
        """Resistance of a role's first part."""
        return self.quantity(role, "resistance")

    def farads(self, role: str) -> Quantity | None:
        """Capacitance of a role's first part."""
        return self.quantity(role, "capacitance")

    def others(self, net: str) -> tuple[tuple[PlacedPart, str], ...]:
        """Parts and pins on a net variable that are not in the match."""
        mine = {part.reference for parts in self.roles.values() for part in parts}
        return tuple((one, pin) for one, pin in self.view.pins[self.nets[net]] if one.reference not in mine)

    def touches(self, net: str, kinds: str, pin: str = "") -> bool:
        """Whether another part of one of the kinds is on a net variable, with that pin where one is named."""
        wanted = kinds.split()
        return any(one.kind in wanted and pin in ("", name) for one, name in self.others(net))

    def plain(self, value: float | None, unit: str = "1") -> Quantity | None:
        """A number as an exact quantity."""
        return None if value is None else Quantity(value, unit)

    # ---- what the solved circuit says ----------------------------------------------------------------------------------

    def situations(self) -> tuple[int, ...]:
        """Samples that have an operating point."""
        solution = self.known.solution
        if solution is None:
            return ()
        return tuple(index for index in range(solution.samples) if solution.settled[index])

    def busiest(self, role: str) -> int | None:
        """Sample in which the role's first part carries the most current; None without a solution.

        One in which a supply is overloaded counts only where nothing flows in any other. A sample with readings of the match
        is preferred, as long as the current there is worth the name.
        """
        solution = self.known.solution
        samples = self.situations()
        if solution is None or not samples or not self.has(role):
            return None
        if not solution.has_path(self.part(role).reference):
            return samples[0]
        sizes = dict(zip(samples, self._sizes(role, samples), strict=True))
        usual = [index for index in samples if index not in self.known.overloaded]
        if any(sizes[index] > QUIET["A"] for index in usual):
            sizes = {index: sizes[index] for index in usual}
        most = max(sizes.values())
        worth = [index for index in sizes if sizes[index] >= WORTH * most]
        return max(worth, key=lambda index: (self._readings_in(solution.labels[index]), sizes[index]))

    def _readings_in(self, situation: str) -> int:
        """How many readings of a situation are about the parts and nets of the match."""
        parts = {
            name
            for ones in self.roles.values()
            for one in ones
            for name in (*self.view.series.get(one.reference, ()), *one.references)
        }
        nets = set(self.nets.values()) - self.view.rails
        count = 0
        for one in self.known.comparisons:
            target = one.measured.reading.target
            about = (isinstance(target, AcrossPart | InPart) and target.reference in parts) or (
                isinstance(target, NetVoltage) and self.view.joined.get(target.net) in nets
            )
            count += about and one.measured.reading.situation == situation
        return count

    def volts(self, net: str, against: str = "", *, busy: str = "") -> Quantity | None:
        """Voltage of a net variable, against another or the ground, where the role `busy` carries the most current.

        Without a solution it is told only where the net's ends are those of a supply of known voltage.
        """
        if net not in self.nets:
            return None
        low = self.nets.get(against, against) if against else self.view.ground
        solution, sample = self.known.solution, self.busiest(busy)
        if solution is None or sample is None:
            return self._nominal(self.nets[net], low)
        high = self.nets[net]
        if self.known.shows_an_instant(sample):
            return self.known.steady_volts(high, low, sample)
        if {high, low} & solution.undetermined[sample]:
            return None
        try:
            return self._told(lambda one: one.between(high, low), sample, "V")
        except LidoffError:
            return None

    def _told(self, ask: Callable[[Solution], Array], sample: int, unit: str) -> Caused:
        """A number of the solution with its spread."""
        solution = self.known.solution
        assert solution is not None
        return solved_quantity(solution, self.known.spreading, ask, sample, unit)

    def every_volts(self, high: str, low: str) -> tuple[float, ...]:
        """Solved voltage between two net variables in every situation that fixes it [V]."""
        solution = self.known.solution
        ends = self.nets[high], self.nets[low]
        if solution is None:
            return ()
        fixed = [
            index
            for index in self.situations()
            if not {*ends} & solution.undetermined[index] and not self.known.shows_an_instant(index)
        ]
        try:
            volts = solution.between(*ends)
        except LidoffError:
            return ()
        return tuple(float(volts[index]) for index in fixed)

    def highest_between(self, high: str, low: str) -> OverTime | None:
        """Highest voltage between two net variables over the situations, at rest or as a steady mean over a period."""
        solution = self.known.solution
        ends = self.nets[high], self.nets[low]
        found: dict[str, Quantity] = {}
        for index in self.situations():
            if self.known.shows_an_instant(index):
                volts: Quantity | None = self.known.steady_volts(*ends, index)
            elif solution is None or {*ends} & solution.undetermined[index]:
                continue
            else:
                try:
                    volts = self._told(lambda one: one.between(*ends), index, "V")
                except LidoffError:
                    continue
            nothing = isinstance(volts, Caused) and volts.is_nothing
            if solution is not None and volts is not None and not nothing:
                found[solution.labels[index]] = volts
        name = max(found, key=lambda one: found[one].value, default="")
        return OverTime(quantity=found[name], situation=name) if name else None

    def highest(self) -> Quantity | None:
        """Highest nominal voltage of the supplies; None where there is none or one of them is unknown."""
        sources = [one for kind in sorted(SUPPLIES) for one in self.view.by_kind.get(kind, ())]
        told = [part_quantity(one, "voltage") for one in sources]
        known = [volts for volts in told if volts is not None]
        return max(known, key=lambda one: one.value) if known and len(known) == len(told) else None

    def _nominal(self, high: str, low: str) -> Quantity | None:
        if high == low:
            return Quantity(0.0, "V")
        for kind in sorted(SUPPLIES):
            for one in self.view.by_kind.get(kind, ()):
                volts = part_quantity(one, "voltage")
                if volts is not None and one.nets["plus"] == high and one.nets["minus"] == low:
                    return volts
        return None

    def amperes(self, role: str) -> Quantity | None:
        """Size of the current of a role's first part, in the situation that its sums are told for."""
        solution, sample = self.known.solution, self.busiest(role)
        if solution is None or sample is None or not solution.has_path(self.part(role).reference):
            return None
        return self._carried(role, sample)

    def peak(self, role: str) -> Quantity | None:
        """Size of the largest current of a role's first part over all situations."""
        solution, samples = self.known.solution, self.situations()
        if (
            solution is None
            or not samples
            or not self.has(role)
            or not solution.has_path(self.part(role).reference)
        ):
            return None
        sizes = self._sizes(role, samples)
        return self._carried(role, samples[sizes.index(max(sizes))])

    def _carried(self, role: str, sample: int) -> Caused | None:
        """Size of the current of a role's first part, with the resistors beside it, in one situation."""
        solution = self.known.solution
        assert solution is not None
        names = self.part(role).references
        if self.known.shows_an_instant(sample):
            return self.known.steady_size(names, sample)
        signs = {name: -1.0 if float(solution.current(name)[sample]) < 0.0 else 1.0 for name in names}

        def ask(one: Solution) -> Array:
            whole: Array = sum((signs[name] * one.current(name) for name in names), np.zeros(one.samples))
            return whole

        return self._told(ask, sample, "A")

    def rests(self, role: str) -> bool:
        """Whether the role's first part carries nothing in any solved situation, though it does its work by a current."""
        if not self.has(role) or self.part(role).kind in RESTFUL:
            return False
        if any(self.known.is_unseen(index) for index in self.situations()):
            return False
        most = self.peak(role)
        return isinstance(most, Caused) and most.is_nothing

    def effective(self, role: str) -> OverTime | None:
        """Largest effective current over a period of a role's first part."""
        reference = self.part(role).reference
        solution = self.known.solution
        if solution is None or not solution.has_path(reference):
            return None
        return effective_current(self.known.waveforms, reference)

    def highest_across(self, role: str) -> OverTime | None:
        """Largest voltage within a period along a role's first part."""
        return highest_voltage(self.known.waveforms, self.part(role).reference)

    def _sizes(self, role: str, samples: Sequence[int]) -> list[float]:
        """Size of the current of a role's first part, with the resistors beside it, in some samples [A]."""
        return [self.known.size_of(self.part(role).references, index) for index in samples]

    def beside_current(self, role: str) -> tuple[Beside, ...]:
        """Solved current of a role's first part, and readings of it or of what is in series with it."""
        if not self.has(role):
            return ()
        reference = self.part(role).reference
        return (
            *self._solved(role, self.amperes(role)),
            *current_read(self.view, self.known.comparisons, reference),
        )

    def beside_across(self, role: str, high: str, low: str) -> tuple[Beside, ...]:
        """Solved voltage between the net variables at a role's first part, and readings across it."""
        if not self.has(role):
            return ()
        references = {self.part(role).reference}
        return (
            *self._solved(role, self.volts(high, low, busy=role)),
            *across_read(self.known.comparisons, references),
        )

    def beside_voltage(self, net: str, *, busy: str = "") -> tuple[Beside, ...]:
        """Solved voltage of a net variable against ground, and readings of it."""
        if net not in self.nets:
            return ()
        found: tuple[Beside, ...] = ()
        if busy:
            found = self._solved(busy, self.volts(net, busy=busy))
        return (*found, *voltage_read(self.view, self.known.comparisons, self.nets[net]))

    def _solved(self, role: str, quantity: Quantity | None) -> tuple[Beside, ...]:
        """A solved number, as it stands beside a sum."""
        if quantity is None or not self.where(role):
            return ()
        return (Beside(what="solved", situation=self.where(role), quantity=quantity),)

    def where(self, role: str) -> str:
        """Name of the situation in which the role's first part carries the most current; empty without a solution."""
        solution, sample = self.known.solution, self.busiest(role)
        return "" if solution is None or sample is None else solution.labels[sample]

    def sum(
        self,
        says: str,
        formula: str,
        unit: str,
        source: str,
        *,
        at: str = "",
        resting: bool = False,
        situation: str = "",
        beside: tuple[Beside, ...] = (),
        **letters: Quantity | None,
    ) -> Sum | Missing | None:
        """Work out a sum; `at` is the role in whose situation its voltages and currents were taken.

        Where that part carries nothing in any solved situation the sum is left out with the reason, unless it holds `resting`;
        so it is where a solved number that goes in is nothing. `situation` is where figures of a waveform belong.
        Beside it stands only what has the sum's unit and, where the sum belongs to a situation, was read there.
        """
        why = ""
        if at and not resting and self.rests(at):
            why = f"{self.part(at).reference} carries no current in any solved situation"
        elif any(isinstance(one, Caused) and one.is_nothing for one in letters.values()):
            nothing = [name for name, one in letters.items() if isinstance(one, Caused) and one.is_nothing]
            why = f"{' and '.join(nothing)} {'is' if len(nothing) == 1 else 'are'} solved to be zero"
        if why:
            alternates = any(kind in self.view.by_kind for kind in ALTERNATING) and not self.known.alternating
            return Missing(
                says=says,
                formula=formula,
                letters=(),
                source=source,
                why=why + (AT_REST if alternates else ""),
            )
        where = situation or (self.where(at) if at else "")
        near = tuple(
            one
            for one in beside
            if one.quantity.unit == unit and (one.what == "solved" or not where or one.situation == where)
        )
        return worked(says, formula, unit, source, beside=near, situation=where, **letters)
