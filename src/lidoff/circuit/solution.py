"""What a solved circuit says: voltages, currents and powers, for every sample of a batch."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array
from lidoff.circuit.netlist import Circuit, Pin
from lidoff.circuit.notebook import solution_frame, solution_table
from lidoff.circuit.path import has_path, path_of
from lidoff.circuit.solve.assemble import System, Table
from lidoff.circuit.solve.currents import pin_currents
from lidoff.circuit.solve.homotopy import Settled
from lidoff.circuit.solve.newton import LEAST_CONDUCTANCE
from lidoff.errors import NetsUnsettled, UnknownName

__all__ = ["OperatingPoint", "Solution", "potentials"]

SEVERAL_NODES = 5.0
"""Nodes of a branch that ends nowhere, whose least conductances together pass for a current in it; our choice."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Solution:
    """Operating points of one circuit, one a sample.

    Attributes
    ----------
    circuit : Circuit
    system : System
        The equations that were solved.
    table : mapping
        Parameters of every sample.
    outcome : Settled
        Unknowns and how the search went.
    labels : tuple of str
        Name of each sample, such as its situation.
    adrift : tuple of tuple of frozenset of str
        For each sample the nets that nothing connects to the rest, whose voltage is therefore not known; those together that
        conduct to each other.
    """

    circuit: Circuit
    system: System
    table: Table
    outcome: Settled
    labels: tuple[str, ...]
    adrift: tuple[tuple[frozenset[str], ...], ...] = field(default=())

    @property
    def samples(self) -> int:
        """Number of samples B."""
        return int(self.outcome.unknowns.shape[0])

    @cached_property
    def undetermined(self) -> tuple[frozenset[str], ...]:
        """For each sample all nets of `adrift`."""
        return tuple(frozenset().union(*found) for found in self.adrift)

    @property
    def settled(self) -> NDArray[np.bool_]:
        """Which samples have an operating point, shape (B,)."""
        return self.outcome.settled

    @cached_property
    def _pin_currents(self) -> Mapping[Pin, Array]:
        return pin_currents(self.circuit, self.system, self.table, self.outcome.unknowns)

    def voltage(self, net: str) -> Array:
        """Voltage of a net against its island's reference, shape (B,) [V].

        Raises
        ------
        UnknownName
            There is no such net.
        """
        if net not in self.system.references:
            nets = self.circuit.nets
            raise UnknownName(f"there is no net {net!r}", name=net, known=nets)
        index = self.system.position[net]
        if index == self.system.size:
            return np.zeros(self.samples)
        column: Array = self.outcome.unknowns[:, index]
        return column

    def between(self, net: str, against: str) -> Array:
        """Voltage of one net against another, shape (B,) [V].

        Raises
        ------
        UnknownName
            There is no such net, or the two belong to islands that nothing joins.
        """
        one, other = self.voltage(net), self.voltage(against)
        if self.system.references[net] != self.system.references[against]:
            raise UnknownName(
                f"{net!r} and {against!r} are in islands that nothing joins",
                remedy="measure within one island",
            )
        return one - other

    def pin_current(self, reference: str, pin: str) -> Array:
        """Current from the net into the pin, shape (B,) [A]."""
        self.circuit.part(reference)
        key = Pin(reference, pin)
        if key not in self._pin_currents:
            raise UnknownName(
                f"{reference} has no pin {pin!r}", name=pin, known=self.circuit.part(reference).pins
            )
        return self._pin_currents[key]

    def potentials_at(self, sample: int) -> Mapping[str, float]:
        """Every net of one sample, those inside of parts as well, against its island's reference [V]."""
        return potentials(self.system, self.outcome.unknowns[sample])

    def part_voltage(self, reference: str) -> Array:
        """Voltage along the part's main path, first pin against second, shape (B,) [V]."""
        part = self.circuit.part(reference)
        first, second = path_of(part)
        return self.voltage(part.pins[first]) - self.voltage(part.pins[second])

    def current(self, reference: str) -> Array:
        """Current along the part's main path, into its first pin, shape (B,) [A]."""
        first, _ = path_of(self.circuit.part(reference))
        return self.pin_current(reference, first)

    def leakage(self) -> Array:
        """Current that may be the solver's own, shape (B,) [A]: what its least conductances take, a few nodes together.

        A branch that ends nowhere carries nothing; what it is solved to carry lies below this.
        """
        highest = np.max([np.abs(self.voltage(net)) for net in self.circuit.nets], axis=0, initial=0.0)
        leaking: Array = SEVERAL_NODES * LEAST_CONDUCTANCE * highest
        return leaking

    def power(self, reference: str) -> Array:
        """Electrical power that the part takes up, shape (B,) [W]; negative where it delivers."""
        part = self.circuit.part(reference)
        total = np.zeros(self.samples)
        for pin, net in part.pins.items():
            total = total + self.voltage(net) * self.pin_current(reference, pin)
        return total

    def __getitem__(self, name: str) -> Array:
        """Voltage of a net, or current along a part's main path, shape (B,).

        Raises
        ------
        UnknownName
            It is neither a net nor a part.
        """
        if name in self.system.references and "~" not in name:
            return self.voltage(name)
        references = {part.reference for part in self.circuit.parts}
        if name in references:
            return self.current(name)
        raise UnknownName(
            f"{name!r} is neither a net nor a part", name=name, known={*self.circuit.nets, *references}
        )

    def frame(self) -> Any:
        """All voltages, currents and powers as a pandas frame; see `lidoff.circuit.notebook.solution_frame`."""
        return solution_frame(self)

    def _repr_html_(self) -> str:
        return solution_table(self)

    def has_path(self, reference: str) -> bool:
        """Whether the part has a main current path with both pins in use."""
        return has_path(self.circuit.part(reference))

    def at(self, sample: int | str) -> OperatingPoint:
        """One sample, by number or label.

        Raises
        ------
        NetsUnsettled
            That sample has no operating point; names the nets that moved most.
        """
        index = self.labels.index(sample) if isinstance(sample, str) else sample
        if not self.settled[index]:
            raise self.unsettled(index)
        return OperatingPoint(solution=self, sample=index)

    def unsettled(self, sample: int) -> NetsUnsettled:
        """Error that tells which nets of a sample would not settle and what was tried."""
        order = np.argsort(-self.outcome.last_step[sample])
        moved = self.outcome.last_step[sample]
        worst = [self.system.variables[i] for i in order[:4] if self.system.is_voltage[i] and moved[i] > 1.0]
        nets = [name for name in worst if "~" not in name] or worst
        tried = ", then ".join(self.outcome.tried)
        return NetsUnsettled(
            f"no operating point in {self.labels[sample]!r}: {', '.join(nets)} would not settle",
            remedy=f"tried {tried}; check the parts at these nets for a wrong pin or value",
            nets=nets,
            tried=self.outcome.tried,
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OperatingPoint:
    """One settled sample of a solution, as plain numbers.

    Attributes
    ----------
    solution : Solution
    sample : int
    """

    solution: Solution
    sample: int

    @property
    def label(self) -> str:
        """Name of the sample."""
        return self.solution.labels[self.sample]

    @property
    def undetermined(self) -> frozenset[str]:
        """Nets whose voltage nothing fixes."""
        return self.solution.undetermined[self.sample]

    def voltage(self, net: str) -> float:
        """Voltage of a net against its island's reference [V]."""
        return float(self.solution.voltage(net)[self.sample])

    def part_voltage(self, reference: str) -> float:
        """Voltage along the part's main path [V]."""
        return float(self.solution.part_voltage(reference)[self.sample])

    def current(self, reference: str) -> float:
        """Current along the part's main path [A]."""
        return float(self.solution.current(reference)[self.sample])

    @property
    def leakage(self) -> float:
        """Current below which it may be the solver's own [A]."""
        return float(self.solution.leakage()[self.sample])

    def pin_current(self, reference: str, pin: str) -> float:
        """Current from the net into the pin [A]."""
        return float(self.solution.pin_current(reference, pin)[self.sample])

    def power(self, reference: str) -> float:
        """Electrical power that the part takes up [W]."""
        return float(self.solution.power(reference)[self.sample])

    @property
    def nets(self) -> Sequence[str]:
        """Names of the circuit's nets, sorted."""
        return tuple(self.solution.circuit.nets)


def potentials(system: System, unknowns: Array) -> Mapping[str, float]:
    """Voltages among the unknowns of a system, by net [V]."""
    return {
        name: float(value)
        for name, value, is_voltage in zip(system.variables, unknowns, system.is_voltage, strict=True)
        if is_voltage
    }
