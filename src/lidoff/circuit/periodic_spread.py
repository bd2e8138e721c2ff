"""How far a figure of a repeating waveform may lie off, because parts are not their nominal selves.

Solving the period anew for every uncertain parameter would take as many searches. Near the nominal waveform one search serves
all: with ``S`` how the end of a period follows its start, a parameter that moves the end of the nominal period by ``g`` moves
the start that repeats by ``(1 − S)⁻¹ g``, to first order. All parameters are followed for two periods, as one batch.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lidoff.circuit.kind import Array
from lidoff.circuit.netlist import Circuit, Situation
from lidoff.circuit.operating import situation_table
from lidoff.circuit.periodic import periodic_steady_state
from lidoff.circuit.solve.assemble import IndexedTable
from lidoff.circuit.solve.march import Track, corners_of, march
from lidoff.circuit.solve.shooting import stretch_and_sensitivity
from lidoff.circuit.solve.stepping import Tolerance, dynamics_of
from lidoff.circuit.spread import Prediction, uncertain_parameters
from lidoff.circuit.standing_in import in_force, over_time
from lidoff.circuit.waveform import Waveforms

__all__ = ["PeriodicSpread", "periodic_spread"]

TIMING = frozenset({"frequency", "period", "delay", "rise", "width", "fall", "phase"})
"""Parameters of sources that move the period itself or its corners, for which the search is done anew."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PeriodicSpread:
    """One period with all parts nominal, and with each uncertain parameter moved up by one standard deviation.

    Attributes
    ----------
    nominal : Waveforms
        As found by the search for the period.
    parameters : tuple of (str, str)
        (reference, parameter) of each.
    moved : tuple of (Waveforms, Waveforms)
        For each parameter, the period before and after the move, both followed in the same way.
    """

    nominal: Waveforms
    parameters: tuple[tuple[str, str], ...]
    moved: tuple[tuple[Waveforms, Waveforms], ...]

    def of(self, figure: Callable[[Waveforms], float]) -> Prediction:
        """Spread of any figure of the waveform, to first order.

        Parameters
        ----------
        figure : callable (Waveforms) → float

        Returns
        -------
        Prediction
            Of one situation; JCGM 100:2008, 5.1.3 note 2 (numerical sensitivity), parameters taken as independent.
        """
        known: dict[int, float] = {}
        for wave in (wave for pair in self.moved for wave in pair):
            if id(wave) not in known:
                known[id(wave)] = figure(wave)
        found = [known[id(after)] - known[id(before)] for before, after in self.moved]
        shares = np.array([found]).reshape(1, len(found))
        return Prediction(
            value=np.array([figure(self.nominal)]),
            uncertainty=np.sqrt((shares**2).sum(axis=1)),
            shares=shares,
        )


def periodic_spread(
    circuit: Circuit,
    situation: Situation,
    *,
    start: Mapping[str, float] | None = None,
    tolerance: Tolerance | None = None,
    points: int = 100,
) -> PeriodicSpread:
    """Waveform that a periodic supply drives, with the spread that the parts' limits give it.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
        What is set.
    start : mapping of str to float, optional
        From where the search for the period sets out, as for `periodic_steady_state`.
    tolerance : Tolerance, optional
    points : int
        At least so many steps a period.

    Returns
    -------
    PeriodicSpread

    Raises
    ------
    ImpossibleValue, NetsUnsettled, CircuitFault, UnknownName
        As for `periodic_steady_state`.
    """
    wanted = tolerance or Tolerance()
    nominal = periodic_steady_state(
        circuit, situation=situation, start=start, tolerance=wanted, points=points
    )
    chosen = over_time(circuit, situation)
    left_out = set(in_force(circuit, situation))
    table = situation_table(circuit, (chosen,))
    uncertain = [
        (reference, name, spread.standard(float(table[reference, name][0])))
        for reference, name, spread in uncertain_parameters(circuit)
        if reference not in left_out
    ]
    plain = [one for one in uncertain if one[1] not in TIMING]
    timing = [one for one in uncertain if one[1] in TIMING]
    moved = [*_batched(nominal, table, plain, wanted, points)]
    for reference, name, deviation in timing:
        settings = {one: dict(values) for one, values in chosen.settings.items()}
        settings.setdefault(reference, {})[name] = float(table[reference, name][0]) + deviation
        other = Situation(name=chosen.name, settings=settings)
        wave = periodic_steady_state(circuit, situation=other, start=start, tolerance=wanted, points=points)
        moved.append((nominal, wave))
    return PeriodicSpread(
        nominal=nominal,
        parameters=tuple((reference, name) for reference, name, _ in (*plain, *timing)),
        moved=tuple(moved),
    )


def _batched(
    nominal: Waveforms,
    table: IndexedTable,
    moved: Sequence[tuple[str, str, float]],
    tolerance: Tolerance,
    points: int,
) -> list[tuple[Waveforms, Waveforms]]:
    """The nominal period and each moved one, followed together."""
    if not moved:
        return []
    wide = _wide(table, moved)
    system, length = nominal.system, nominal.period
    samples = 1 + len(moved)
    begin = nominal.track.unknowns[
        -1
    ]  # the state at the start too, which the track holds only after its first steps
    scale = np.abs(nominal.track.unknowns).max(axis=(0, 1))
    corners = corners_of(system, table, 0.0, length)
    longest = length / points
    _, sensitivity = stretch_and_sensitivity(
        dynamics_of(system, table, 1, tolerance), begin, length, corners, longest_step=longest, scale=scale
    )
    batch = dynamics_of(system, wide, samples, tolerance)
    starts = np.repeat(begin, samples, axis=0)
    ends = march(batch, starts, (0.0, length), corners, longest_step=longest, scale=scale).unknowns[-1]
    starts = starts + _closing_moves(sensitivity, ends - ends[0])
    track = march(batch, starts, (0.0, length), corners, longest_step=longest, scale=scale)
    waves = [_sample(nominal, wide, track, number) for number in range(samples)]
    return [(waves[0], wave) for wave in waves[1:]]


def _wide(table: IndexedTable, moved: Sequence[tuple[str, str, float]]) -> IndexedTable:
    """Table with one sample as it is and one for each moved parameter."""
    entries: dict[tuple[str, str], Array] = dict(table)
    for number, (reference, name, deviation) in enumerate(moved, start=1):
        column = np.repeat(table[reference, name][:1], 1 + len(moved))
        column[number] += deviation
        entries[reference, name] = column
    return IndexedTable(entries)


def _closing_moves(sensitivity: Array, gaps: Array) -> Array:
    """By how much each start must move so that its period closes, shape (B, N)."""
    matrix = np.eye(sensitivity.shape[0]) - sensitivity
    moves, *_ = np.linalg.lstsq(matrix, gaps.T, rcond=1e-13)
    return np.asarray(moves.T, dtype=np.float64)


def _sample(nominal: Waveforms, wide: IndexedTable, track: Track, number: int) -> Waveforms:
    """One sample of a batch as waveforms of their own."""
    part = slice(number, number + 1)
    table = {key: values if len(values) == 1 else values[part] for key, values in wide.items()}
    return Waveforms(
        circuit=nominal.circuit,
        system=nominal.system,
        table=IndexedTable(table),
        track=replace(
            track,
            unknowns=track.unknowns[:, part],
            slopes=track.slopes[:, part],
            middles=track.middles[:, part],
        ),
        period=nominal.period,
    )
