"""What an analysis holds: every situation's numbers, every reading compared, every claim judged, every finding."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lidoff.circuit import Circuit, Situation, Solution, Spreading, WiringFault
from lidoff.dossier.entries import Dossier
from lidoff.errors import UnknownName
from lidoff.evidence import ClaimResult, Comparison, Finding, Logged, Measured, Uncompared
from lidoff.hazards import Hazard, Repeating, Stress, Tint
from lidoff.insight import Block, Budget, Economy, Misfit, Stock
from lidoff.quantities import Quantity

__all__ = [
    "Analysis",
    "Check",
    "PartState",
    "SituationResult",
    "SolvedSituation",
    "SupplyState",
    "UnsolvedSituation",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartState:
    """What one part sees in one situation.

    Attributes
    ----------
    voltage : Quantity or None
        Along its main path, first pin against second; None where it has no path or its nets are undetermined.
    current : Quantity or None
        Along its main path, into its first pin; None where it has no path.
    power : Quantity
        Electrical power that it takes up; negative where it delivers.
    """

    voltage: Quantity | None
    current: Quantity | None
    power: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyState:
    """What one supply delivers in one situation; negative where it takes up.

    Attributes
    ----------
    current : Quantity or None
        Out of its first pin; None where it has no main path.
    power : Quantity
        Into the circuit.
    """

    current: Quantity | None
    power: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class SolvedSituation:
    """One situation with its operating point.

    Attributes
    ----------
    situation : Situation
    nets : mapping of str to Quantity
        Voltage of each net against the ground, or against its island's reference. Undetermined nets are left out, and those
        whose place a stand-in takes.
    undetermined : tuple of str
        Nets whose voltage nothing fixes.
    parts : mapping of str to PartState
        By reference.
    supplies : mapping of str to SupplyState
        By reference, of the parts that drive the circuit.
    """

    situation: Situation
    nets: Mapping[str, Quantity]
    undetermined: tuple[str, ...]
    parts: Mapping[str, PartState]
    supplies: Mapping[str, SupplyState]

    @property
    def name(self) -> str:
        """Name of the situation."""
        return self.situation.name


@dataclass(frozen=True, slots=True, kw_only=True)
class UnsolvedSituation:
    """One situation without an operating point.

    Attributes
    ----------
    situation : Situation
    what, remedy : str
        Why, in words.
    nets : tuple of str
        Nets that would not settle, worst first.
    restless : bool
        Whether there is an operating point, which the circuit leaves by itself as an oscillator does.
    """

    situation: Situation
    what: str
    remedy: str = ""
    nets: tuple[str, ...] = ()
    restless: bool = False

    @property
    def name(self) -> str:
        """Name of the situation."""
        return self.situation.name


SituationResult = SolvedSituation | UnsolvedSituation


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One thing that was checked, so that a reader knows what stands behind the findings.

    Attributes
    ----------
    title : str
        What was checked.
    against : str
        Against what.
    outcome : str
        What came out, in a few words.
    left_out : str
        What this check does not cover.
    """

    title: str
    against: str
    outcome: str
    left_out: str = ""


@dataclass(frozen=True, kw_only=True, eq=False)
class Analysis:
    """All that one pass over a dossier tells.

    Attributes
    ----------
    dossier : Dossier
        What went in.
    circuit : Circuit
        Its circuit; without parts where none was typed.
    situations : tuple of SituationResult
        In the order of the dossier.
    solution : Solution or None
        Nominal operating points of the situations that could be solved, labelled by their names; None without any.
    spreading : Spreading or None
        The same with every uncertain parameter moved.
    readings : tuple of Measured
        Every reading with its uncertainty.
    logs : mapping of str to Logged
        Logs that could be read, by name.
    comparisons : tuple of Comparison
        Readings beside their predictions.
    uncompared : tuple of Uncompared
        Readings in the circuit without a prediction, and why.
    claims : tuple of ClaimResult
        Every claim with its verdict.
    stresses : tuple of Stress
        Highest load of each part on each of its ratings, the nearest to its limit first.
    blocks : tuple of Block
        What the circuit is made of; no part is in two of them.
    economies : tuple of Economy
        What the maker saved, or spent where less would do.
    stock : Stock
        Lines of stock and placements.
    hazards : tuple of Hazard
        What was held against a limit for danger, those beyond it first.
    repeating : tuple of Repeating
        Waveforms of the situations in which something changes with time; none elsewhere.
    fault_tints : mapping of str to Tint
        By reference: worst consequence of the part's own faults, for a layer of the drawing.
    findings : tuple of Finding
        Gravest first.
    wiring : tuple of WiringFault
        What the graph of the circuit shows.
    checks : tuple of Check
        How it was checked.
    misfit : Misfit or None
        All readings against the circuit together; None where nothing was solved.
    budgets : tuple of Budget
        Voltage budgets of the main loops of every solved situation.
    """

    dossier: Dossier
    circuit: Circuit
    situations: tuple[SituationResult, ...]
    solution: Solution | None
    spreading: Spreading | None
    readings: tuple[Measured, ...]
    logs: Mapping[str, Logged]
    comparisons: tuple[Comparison, ...]
    uncompared: tuple[Uncompared, ...]
    claims: tuple[ClaimResult, ...]
    stresses: tuple[Stress, ...]
    hazards: tuple[Hazard, ...]
    repeating: tuple[Repeating, ...]
    fault_tints: Mapping[str, Tint]
    blocks: tuple[Block, ...]
    economies: tuple[Economy, ...]
    stock: Stock
    findings: tuple[Finding, ...]
    wiring: tuple[WiringFault, ...]
    checks: tuple[Check, ...]
    misfit: Misfit | None
    budgets: tuple[Budget, ...]

    def situation(self, name: str) -> SituationResult:
        """Result of a situation; `UnknownName` where there is none of that name."""
        found = next((result for result in self.situations if result.name == name), None)
        if found is None:
            known = [result.name for result in self.situations]
            raise UnknownName(f"there is no situation {name!r}", name=name, known=known)
        return found
