"""What a drawing writes at nets and parts in one situation: at rest, and over a period where something alternates."""

from __future__ import annotations

import math
from collections.abc import Mapping, Set
from dataclasses import dataclass, field

import numpy as np

from lidoff.circuit import Circuit, OperatingPoint, Situation, Waveforms, figures, replaced_at_rest
from lidoff.circuit.path import has_path
from lidoff.dossier.contacts import contacts_standing
from lidoff.dossier.periods import changes_with_time, is_averaged

__all__ = ["AC_MEANS", "SolvedFigures", "figures_at", "figures_drawn", "notes_at", "unfixed_over"]

AC_MEANS = "“ac” marks the effective value of what alternates over a period, round the mean before it"
LEAST = 1e-9  # [V] below which a net lies at its reference
TRACE = 1e-5
"""Share of the largest below which the drawing writes 0 V, and no current that alternates; the tables hold the number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SolvedFigures:
    """Voltages and currents of one situation, for a drawing; what is not known is not a number.

    Attributes
    ----------
    voltages : mapping of str to float
        By net, on average [V].
    currents : mapping of str to float
        By reference [A].
    alternations : mapping of str to float
        By net, the effective value of what alternates round the average [V].
    alternating_currents : mapping of str to float
        By reference, the same of currents [A].
    contacts : mapping of str to str
        By reference, the pin that a moving contact touches, empty for none.
    """

    voltages: Mapping[str, float]
    currents: Mapping[str, float]
    alternations: Mapping[str, float] = field(default_factory=dict)
    alternating_currents: Mapping[str, float] = field(default_factory=dict)
    contacts: Mapping[str, str] = field(default_factory=dict)

    def voltage(self, net: str) -> float:
        """Average voltage of a net [V]."""
        return self.voltages.get(net, math.nan)

    def current(self, reference: str) -> float:
        """Current along a part's main path [A]."""
        return self.currents.get(reference, math.nan)

    def alternating(self, net: str) -> float:
        """Effective value of what alternates on a net, round its average [V]."""
        return self.alternations.get(net, 0.0)

    def alternating_current(self, reference: str) -> float:
        """Effective value of what alternates along a part's main path, round its average [A]."""
        return self.alternating_currents.get(reference, 0.0)


def figures_at(
    circuit: Circuit, situation: Situation, point: OperatingPoint, waveforms: Waveforms | None = None
) -> SolvedFigures:
    """Figures of a situation that mean something on a drawing, from its operating point.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
    point : OperatingPoint
    waveforms : Waveforms, optional
        One period of the situation.

    Returns
    -------
    SolvedFigures
        As `figures_drawn` tells, without the voltages that nothing fixes.
    """
    unfixed = point.undetermined | _idle_islands(circuit, point)
    return figures_drawn(
        circuit,
        situation,
        {net: float(point.voltage(net)) for net in circuit.nets if net not in unfixed},
        {part.reference: float(point.current(part.reference)) for part in circuit.parts if has_path(part)},
        waveforms,
    )


def figures_drawn(
    circuit: Circuit,
    situation: Situation,
    voltages: Mapping[str, float],
    currents: Mapping[str, float],
    waveforms: Waveforms | None = None,
) -> SolvedFigures:
    """Figures of a situation that mean something on a drawing.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
    voltages : mapping of str to float
        Of the nets at rest [V].
    currents : mapping of str to float
        Along the parts' main paths at rest [A].
    waveforms : Waveforms, optional
        One period of the situation.

    Returns
    -------
    SolvedFigures
        What an operating point says nothing of, as it alternates, comes from the period, or is left out where there is none:
        nets that hang on what a stand-in stands for, and where an alternating supply has no stand-in, all nets. What alternates
        in the current of a part comes from the period for all parts but the stand-ins.
    """
    replaced = replaced_at_rest(circuit, situation)
    if is_averaged(circuit, situation):
        nets, parts = replaced.nets, replaced.parts
    else:
        nets = frozenset(circuit.nets) - {circuit.ground}
        parts = frozenset(part.reference for part in circuit.parts)
    averages = {net: volts for net, volts in voltages.items() if net not in nets}
    flows = {name: amps for name, amps in currents.items() if name not in parts}
    alternations: dict[str, float] = {}
    waves: dict[str, float] = {}
    if waveforms is not None:
        for net in sorted(nets - unfixed_over(waveforms)):
            told = figures(waveforms.times, waveforms.voltage(net))
            averages[net], alternations[net] = told.average, told.alternating
        for name in sorted(part.reference for part in circuit.parts if has_path(part)):
            if name in replaced.by:
                continue  # left out of the period, as what it stands for is in it
            told = figures(waveforms.times, waveforms.current(name))
            flows[name] = told.average if name in parts else flows.get(name, told.average)
            waves[name] = told.alternating
    finite = [abs(volts) for volts in averages.values() if math.isfinite(volts)]
    least = TRACE * max(finite, default=0.0)
    faint = TRACE * max((abs(amps) for amps in (*flows.values(), *waves.values())), default=0.0)
    return SolvedFigures(
        voltages={net: 0.0 if abs(volts) <= least else volts for net, volts in averages.items()},
        currents=flows,
        alternations={net: volts for net, volts in alternations.items() if volts > least},
        alternating_currents={name: amps for name, amps in waves.items() if amps > faint},
        contacts=contacts_standing(circuit, situation, averages),
    )


def notes_at(
    circuit: Circuit, situation: Situation, point: OperatingPoint, waveforms: Waveforms | None = None
) -> tuple[str, ...]:
    """What a reader must know of the numbers of a situation on a drawing.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
    point : OperatingPoint
    waveforms : Waveforms, optional
        One period of the situation.

    Returns
    -------
    tuple of str
        Sentences; none where every number is what it seems.
    """
    told: list[str] = []
    if changes_with_time(circuit, situation):
        told.append(
            "No number is written where it alternates, as no waveform was found."
            if waveforms is None
            else f"{AC_MEANS}."
        )
    replaced = replaced_at_rest(circuit, situation).nets
    over_period = (
        frozenset[str]() if waveforms is None or is_averaged(circuit, situation) else frozenset(circuit.nets)
    )
    adrift = frozenset[str]() if waveforms is None else waveforms.undetermined
    loose = sorted((point.undetermined - replaced - over_period) | (adrift & over_period))
    if loose:
        told.append(f"Nothing fixes the voltage of {', '.join(loose)} here, so none is written.")
    still = frozenset[str]() if waveforms is None else unfixed_over(waveforms)
    idle = sorted(
        (_idle_islands(circuit, point) - point.undetermined - replaced - over_period)
        | ((still & over_period) - adrift)
    )
    if idle:
        told.append(f"Nothing joins {', '.join(idle)} to the ground or feeds them, so no voltage is written.")
    return tuple(told)


def unfixed_over(waveforms: Waveforms) -> frozenset[str]:
    """Nets of which a period says nothing: those adrift, and those of islands in which nothing drives anything.

    Parameters
    ----------
    waveforms : Waveforms
        One period.

    Returns
    -------
    frozenset of str
        None of those that conduct to the ground or keep charge against what does.
    """
    circuit, references = waveforms.circuit, waveforms.system.references
    moving = {net for net in circuit.nets if float(np.abs(waveforms.voltage(net)).max()) > LEAST}
    return waveforms.undetermined | _idle(circuit, references, moving)


def _idle_islands(circuit: Circuit, point: OperatingPoint) -> frozenset[str]:
    """Nets of islands beside the ground's in which nothing drives anything at rest, so that 0 V would mean nothing."""
    references = point.solution.system.references
    return _idle(circuit, references, {net for net in circuit.nets if abs(point.voltage(net)) > LEAST})


def _idle(circuit: Circuit, references: Mapping[str, str], driven: Set[str]) -> frozenset[str]:
    live = {references[net] for net in driven}
    ground = references.get(circuit.ground, circuit.ground)
    return frozenset(net for net in circuit.nets if references[net] != ground and references[net] not in live)
