"""Periodic steady state: the waveform that repeats, found without waiting for it.

Shooting [1]_: the state at the start of a period is sought such that the state at its end is the same. Newton's method needs
how the end depends on the start; that is carried through the period beside the waveform. An oscillator without a source that
keeps time has its
period as a further unknown.

References
----------
.. [1] T. J. Aprille, T. N. Trick, "Steady-state analysis of nonlinear circuits with periodic inputs", Proc. IEEE 60(1),
   108-114, 1972.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from math import gcd, lcm

import numpy as np

from lidoff.circuit.kind import Array
from lidoff.circuit.netlist import Circuit, Situation
from lidoff.circuit.operating import situation_table
from lidoff.circuit.solve.assemble import IndexedTable, System, assemble
from lidoff.circuit.solve.march import Track, corners_of, march
from lidoff.circuit.solve.shooting import stretch_and_sensitivity
from lidoff.circuit.solve.stepping import Dynamics, Tolerance, dynamics_of
from lidoff.circuit.standing_in import over_time
from lidoff.circuit.waveform import Waveforms, rest_state, stored_state
from lidoff.errors import ImpossibleValue, NetsUnsettled

__all__ = ["common_period", "periodic_steady_state"]

MOST_ROUNDS = 25
WARM_UP = 1  # periods followed before the first round
COARSER = 20.0  # how much less exact these and the first rounds may be
MOST_WARM_UP = 200
FAINT = 1e-6  # share of an unknown's size up to which its swing is rounding and no oscillation, or one yet to grow


def common_period(system: System, table: IndexedTable) -> float:
    """Shortest time after which all sources repeat together [s]; zero if none is periodic.

    Raises
    ------
    ImpossibleValue
        The periods have no common multiple below ten thousand of the shortest.
    """
    periods: list[float] = []
    for group in (*system.linear, *system.curved):
        if not group.law.timed:
            continue
        parameters = group.parameters(table, slice(None))
        if "frequency" in parameters:
            periods.extend(1.0 / float(f) for f in np.ravel(parameters["frequency"]))
        elif "period" in parameters:
            periods.extend(float(t) for t in np.ravel(parameters["period"]))
    if not periods:
        return 0.0
    shortest = min(periods)
    ratios = [Fraction(period / shortest).limit_denominator(1000) for period in periods]
    multiple = Fraction(
        lcm(*(ratio.numerator for ratio in ratios)), gcd(*(ratio.denominator for ratio in ratios))
    )
    if multiple > 10_000:
        raise ImpossibleValue(
            "the sources repeat together only after more than ten thousand of the shortest period",
            remedy="give the period to look at",
        )
    return float(multiple) * shortest


def periodic_steady_state(
    circuit: Circuit,
    *,
    situation: Situation | None = None,
    period: float = 0.0,
    start: Mapping[str, float] | None = None,
    around: Mapping[str, float] | None = None,
    tolerance: Tolerance | None = None,
    points: int = 50,
) -> Waveforms:
    """Find the waveform that repeats.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation, optional
        What is set; a stand-in is left out where a supply that it stands for is connected.
    period : float
        [s]; that of the sources if zero. For an oscillator without a periodic source: a first guess of its period, needed.
    start : mapping of str to float, optional
        Voltage across capacitors [V] and current through inductors [A] from which the search sets out, by reference; an
        oscillator needs a start off its balance.
    around : mapping of str to float, optional
        Where each net stands at the start [V], as for `waveform`: a waveform of nearly the same circuit is the best start.
    tolerance : Tolerance, optional
    points : int
        At least so many steps a period.

    Returns
    -------
    Waveforms
        One period, its first and last instants being the same state.

    Raises
    ------
    ImpossibleValue
        No source is periodic and no period is guessed.
    NetsUnsettled
        The search did not close the period; names the nets that differed most.
    CircuitFault, UnknownName
        As for `operating_point`.
    """
    told = situation or Situation(name="as it stands")
    chosen = over_time(circuit, told)
    table = situation_table(circuit, (chosen,))
    system = assemble(circuit, dynamic=True)
    forced = common_period(system, table)
    if period < 0.0 or not np.isfinite(period):
        raise ImpossibleValue(f"a period of {period:g} s cannot be", remedy="give a time above zero")
    if forced == 0.0 and period == 0.0:
        raise ImpossibleValue(
            "no source of this circuit repeats by itself", remedy="give a first guess of the period"
        )
    # A stand-in charges the stores to about their average, a better start than what the sources give at the first instant.
    at_rest = start is None and around is None
    state = rest_state(circuit, told, system) if at_rest else stored_state(system, start or {}, around)
    wanted = tolerance or Tolerance()
    dynamics = dynamics_of(system, table, 1, wanted)
    length = period or forced
    free = forced == 0.0
    search = _free_running if free else _forced
    track, length, rounds = search(dynamics, system, table, state, length, points)
    return Waveforms(circuit=circuit, system=system, table=table, track=track, period=length, rounds=rounds)


def _stored_distance(dynamics: Dynamics, one: Array, other: Array, scale: Array) -> Array:
    """Difference of two states in what is stored, in units of the tolerance of the unknowns that hold it, shape (N,)."""
    floor = np.where(dynamics.system.is_voltage, dynamics.tolerance.voltage, dynamics.tolerance.current)
    allowed = floor + dynamics.tolerance.relative * np.maximum(scale, 1e-3 * scale.max(initial=0.0))
    # Charges are compared, not voltages: both plates of a capacitor may move together and mean nothing.
    charge = np.abs(dynamics.charge(one - other))[0]
    reach = np.abs(dynamics.storage[0]) @ allowed
    return np.asarray(charge / np.where(reach > 0.0, reach, np.inf), dtype=np.float64)


def _forced(
    dynamics: Dynamics, system: System, table: IndexedTable, state: Array, length: float, points: int
) -> tuple[Track, float, int]:
    corners = corners_of(system, table, 0.0, length)
    scale = np.abs(state).max(axis=0, initial=0.0)
    wanted = dynamics.tolerance
    dynamics.tolerance = replace(wanted, relative=COARSER * wanted.relative)
    for _ in range(WARM_UP):
        track = march(dynamics, state, (0.0, length), corners, longest_step=length / points, scale=scale)
        scale = np.maximum(scale, np.abs(track.unknowns).max(axis=(0, 1)))
        state = track.unknowns[-1]
    distance = np.zeros(system.size)
    best = np.inf
    for rounds in range(1, MOST_ROUNDS + 1):
        track, sensitivity = stretch_and_sensitivity(
            dynamics, state, length, corners, longest_step=length / points, scale=scale
        )
        end = track.unknowns[-1]
        scale = np.maximum(scale, np.abs(track.unknowns).max(axis=(0, 1)))
        distance = _stored_distance(dynamics, end, state, scale)
        if distance.max(initial=0.0) <= 1.0:
            if dynamics.tolerance is wanted:
                return track, length, rounds
            dynamics.tolerance = wanted  # closed as far as coarse steps can tell: sharpen
            best = np.inf
        elif distance.max() > 2.0 * best and rounds > 2:
            state = end  # the tangent misled; follow the circuit for a period instead
            best = np.inf
            continue
        best = min(best, float(distance.max()))
        state = state + _newton_move(sensitivity, end - state)
    raise _not_closed(system, distance)


def _newton_move(sensitivity: Array, gap: Array) -> Array:
    matrix = np.eye(sensitivity.shape[0]) - sensitivity
    move, *_ = np.linalg.lstsq(matrix, gap[0], rcond=1e-13)
    return np.asarray(move, dtype=np.float64)[None, :]


def _free_running(
    dynamics: Dynamics, system: System, table: IndexedTable, state: Array, guess: float, points: int
) -> tuple[Track, float, int]:
    """Follow the oscillator until two crossings agree, then sharpen state and period together."""
    del table
    scale = np.abs(state).max(axis=0, initial=0.0)
    length = guess
    pick, level = -1, 0.0
    for _ in range(MOST_WARM_UP):
        track = march(dynamics, state, (0.0, 4.0 * guess), (), longest_step=guess / points, scale=scale)
        scale = np.maximum(scale, np.abs(track.unknowns).max(axis=(0, 1)))
        pick, level, swing = _liveliest(dynamics, track)
        crossings = _rising_crossings(track, pick, level)
        if len(crossings) >= 3 and swing > FAINT * scale[pick]:
            spans = np.diff(crossings)
            length = float(spans[-1])
            state = _state_at(track, float(crossings[-1]))
            if abs(spans[-1] - spans[-2]) < 0.02 * spans[-1]:
                break
        else:
            state = track.unknowns[-1]
            guess *= 1.0 if len(crossings) >= 3 else 2.0
    else:
        raise NetsUnsettled(
            "the circuit does not keep oscillating",
            remedy="give a start off its balance, or a better guess of the period",
            tried=(f"{MOST_WARM_UP} stretches of time",),
        )
    distance = np.zeros(system.size)
    for rounds in range(1, MOST_ROUNDS + 1):
        track, sensitivity = stretch_and_sensitivity(
            dynamics, state, length, (), longest_step=length / points, scale=scale
        )
        end = track.unknowns[-1]
        scale = np.maximum(scale, np.abs(track.unknowns).max(axis=(0, 1)))
        distance = _stored_distance(dynamics, end, state, scale)
        if distance.max(initial=0.0) <= 1.0:
            return track, length, rounds
        speed = _speed(dynamics, end, length)
        matrix = np.zeros((system.size + 1, system.size + 1))
        matrix[:-1, :-1] = np.eye(system.size) - sensitivity
        matrix[:-1, -1] = -speed
        matrix[-1, pick] = 1.0
        gap = np.append((end - state)[0], level - state[0, pick])
        move, *_ = np.linalg.lstsq(matrix, gap, rcond=1e-13)
        if abs(move[-1]) > 0.3 * length:
            state = end
            continue
        state = state + np.asarray(move[:-1], dtype=np.float64)[None, :]
        length = length + float(move[-1])
    raise _not_closed(system, distance)


def _speed(dynamics: Dynamics, state: Array, length: float) -> Array:
    ports = dynamics.ports(state)
    new, slope, _ = dynamics.settle(state, ports, 0.0, length * 1e-7)
    del new
    return np.asarray(slope[0], dtype=np.float64)


def _liveliest(dynamics: Dynamics, track: Track) -> tuple[int, float, float]:
    """Stored unknown that swings most, the middle of its swing, and from end to end."""
    holds = np.abs(dynamics.storage[0]).max(axis=0) > 0.0
    late = track.unknowns[track.times > 0.3 * track.times[-1], 0]
    swing = late.max(axis=0) - late.min(axis=0)
    swing = np.where(holds & dynamics.system.is_voltage, swing, 0.0)
    pick = int(np.argmax(swing))
    return pick, float((late[:, pick].max() + late[:, pick].min()) / 2.0), float(swing[pick])


def _rising_crossings(track: Track, pick: int, level: float) -> Array:
    values = track.unknowns[:, 0, pick] - level
    up = np.flatnonzero((values[:-1] < 0.0) & (values[1:] >= 0.0))
    t, v = track.times, values
    return np.asarray(t[up] - v[up] * (t[up + 1] - t[up]) / (v[up + 1] - v[up]), dtype=np.float64)


def _state_at(track: Track, instant: float) -> Array:
    right = int(np.clip(np.searchsorted(track.times, instant), 1, len(track.times) - 1))
    t0, t1 = track.times[right - 1], track.times[right]
    share = (instant - t0) / (t1 - t0)
    return np.asarray(
        (1.0 - share) * track.unknowns[right - 1] + share * track.unknowns[right], dtype=np.float64
    )


def _not_closed(system: System, distance: Array) -> NetsUnsettled:
    order = np.argsort(-distance)
    nets = [system.variables[i] for i in order[:4] if distance[i] > 1.0]
    return NetsUnsettled(
        f"no waveform that repeats was found: {', '.join(nets)} differ from period to period",
        remedy="give a better start, a longer period, or look at a plain waveform",
        nets=nets,
        tried=(f"{MOST_ROUNDS} rounds of shooting",),
    )
