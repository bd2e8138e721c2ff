"""What a drawing writes at nets and parts in one situation: at rest, and over a period where something alternates."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from lidoff.circuit import Circuit, OperatingPoint, Situation, Waveforms, figures, replaced_at_rest
from lidoff.circuit.path import has_path
from lidoff.dossier.periods import is_averaged

__all__ = ["SolvedFigures", "figures_at", "figures_drawn"]

INSTANTS = 401
"""Of a period, for its figures."""
TRACE = 1e-5
"""Share of the largest voltage below which the drawing writes 0 V; the tables hold the number."""


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
    """

    voltages: Mapping[str, float]
    currents: Mapping[str, float]
    alternations: Mapping[str, float] = field(default_factory=dict)

    def voltage(self, net: str) -> float:
        """Average voltage of a net [V]."""
        return self.voltages.get(net, math.nan)

    def current(self, reference: str) -> float:
        """Current along a part's main path [A]."""
        return self.currents.get(reference, math.nan)

    def alternating(self, net: str) -> float:
        """Effective value of what alternates on a net, round its average [V]."""
        return self.alternations.get(net, 0.0)


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
        As `figures_drawn` tells.
    """
    return figures_drawn(
        circuit,
        situation,
        {net: float(point.voltage(net)) for net in circuit.nets},
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
        nets that hang on what a stand-in stands for, and where an alternating supply has no stand-in, all nets.
    """
    replaced = replaced_at_rest(circuit, situation)
    if is_averaged(circuit, situation):
        nets, parts = replaced.nets, replaced.parts
    else:
        nets = frozenset(circuit.nets) - {circuit.ground}
        parts = frozenset(part.reference for part in circuit.parts)
    averages = {net: volts for net, volts in voltages.items() if net not in nets}
    alternations: dict[str, float] = {}
    if waveforms is not None:
        # Straight lines between coarse steps would lose half a percent of a sine.
        instants = np.linspace(waveforms.times[0], waveforms.times[-1], INSTANTS)
        for net in sorted(nets):
            told = figures(instants, waveforms.voltage_at(net, instants))
            averages[net] = told.average
            alternations[net] = float(np.sqrt(max(told.rms**2 - told.average**2, 0.0)))
    finite = [abs(volts) for volts in averages.values() if math.isfinite(volts)]
    least = TRACE * max(finite, default=0.0)
    return SolvedFigures(
        voltages={net: 0.0 if abs(volts) <= least else volts for net, volts in averages.items()},
        currents={name: amps for name, amps in currents.items() if name not in parts},
        alternations={net: volts for net, volts in alternations.items() if volts > least},
    )
