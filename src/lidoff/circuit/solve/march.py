"""Marching through time: step lengths by local error, exact stops at the corners of sources."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array
from lidoff.circuit.solve.assemble import System, Table
from lidoff.circuit.solve.stepping import GAMMA, Dynamics, StepFailed
from lidoff.errors import NetsUnsettled

__all__ = ["Track", "corners_of", "march"]

SETTLE_FRACTION = 1e-6  # of the first step: length of the backward Euler step after a corner
# Of the clock's last bit, that this step has at least: rates after a corner are told by it, and late in a long time an edge of
# a nanosecond would else be that much too steep or too flat, and no step short enough.
SETTLE_SPACINGS = 2.0**20
SHORTEST_FRACTION = 1e-16  # of the whole time, and no less than a few digits of the clock: TICKS
TICKS = 16.0
MOST_POINTS = 200_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Track:
    """A solved stretch of time.

    Attributes
    ----------
    times : ndarray of shape (T,)
        [s]; a corner of a source shows as two instants close together.
    unknowns, slopes : ndarray of shape (T, B, N)
        Unknowns and their rates of change.
    middles : ndarray of shape (T, B, N)
        Unknowns at the middle stage of the step that ends at each instant.
    middle_times, steps : ndarray of shape (T,)
        Instants of these, and the steps' lengths [s].
    settling : ndarray of bool, shape (T,)
        Which steps are the short backward Euler ones at the start and after corners.
    refused : int
        Steps that were taken back.
    """

    times: Array
    unknowns: Array
    slopes: Array
    middles: Array
    middle_times: Array
    steps: Array
    settling: NDArray[np.bool_]
    refused: int


def corners_of(system: System, table: Table, start: float, end: float) -> Array:
    """All instants between `start` and `end` at which a source has a corner, sorted, shape (C,)."""
    found: set[float] = set()
    for group in (*system.linear, *system.curved):
        if group.law.breakpoints is None:
            continue
        parameters = group.parameters(table, slice(None))
        depth = max(values.shape[0] for values in parameters.values())
        for k in range(len(group.placed)):
            for row in range(depth):
                own = {
                    name: float(values[row if values.shape[0] > 1 else 0, k if values.shape[1] > 1 else 0])
                    for name, values in parameters.items()
                }
                found.update(group.law.breakpoints(own, start, end))
    return np.array(sorted(found))


def march(
    dynamics: Dynamics,
    start_state: Array,
    times: tuple[float, float],
    corners: Sequence[float] | Array,
    *,
    first_step: float = 0.0,
    longest_step: float = 0.0,
    scale: Array | None = None,
) -> Track:
    """Integrate from one instant to another.

    Parameters
    ----------
    dynamics : Dynamics
    start_state : ndarray of shape (B, N)
        Unknowns at the start; only what is stored counts, the rest is found.
    times : (float, float)
        Start and end [s].
    corners : sequence of float
        Instants to stop at exactly.
    first_step, longest_step : float
        [s]; chosen from the stretch if zero.
    scale : ndarray of shape (N,), optional
        Largest values expected, for the tolerance; grows with what is met.

    Returns
    -------
    Track

    Raises
    ------
    NetsUnsettled
        No step however short settles; names the instant and the nets.
    """
    begin, end = times
    whole = end - begin
    longest = longest_step or whole / 50.0
    stops = [t for t in corners if begin < t < end] + [end]
    x = start_state
    size_scale = np.abs(x).max(axis=0, initial=0.0) if scale is None else scale.copy()
    dynamics.weigh(size_scale)
    recorder = _Recorder()
    time = begin
    refused = 0
    step = min(first_step or whole / 1000.0, longest)
    for stop in stops:
        stretch = stop - time
        step = min(step, stretch / 4.0)
        settling = min(max(step * SETTLE_FRACTION, SETTLE_SPACINGS * float(np.spacing(stop))), stretch * 1e-3)
        # The first short step takes up a jump of the sources, the second finds the rates after it.
        for _ in range(2):
            x, slope, ports, settled_in = _settle(dynamics, x, time, settling)
            time += settled_in
            size_scale = np.maximum(size_scale, np.abs(x).max(axis=0))
            dynamics.weigh(size_scale)
            recorder.add(time, x, slope, x, time, settled_in, settling=True)
        while stop - time > 1e-9 * stretch:
            left = stop - time
            length = left if step >= left else (left / 2.0 if step > 0.55 * left else step)
            length = min(length, longest)
            try:
                found, new_ports = dynamics.step(x, slope, ports, time, length, longest)
                error = found.error
            except StepFailed:
                error, found = np.inf, None
            if found is None or error > 1.0:
                refused += 1
                step = length * (0.25 if not np.isfinite(error) else max(0.2, 0.9 * error ** (-1.0 / 3.0)))
                if step < max(SHORTEST_FRACTION * whole, TICKS * float(np.spacing(time))):
                    raise _stuck(dynamics, x, time)
                continue
            time = stop if length == left else time + length
            x, slope, ports = found.unknowns, found.slope, new_ports
            size_scale = np.maximum(size_scale, np.abs(x).max(axis=0))
            dynamics.weigh(size_scale)
            recorder.add(time, x, slope, found.middle, time - (1.0 - GAMMA) * length, length, settling=False)
            wish = min(5.0, 0.9 * max(error, 1e-6) ** (-1.0 / 3.0))
            if wish > 1.25 or wish < 1.0:  # keep the length, and with it the matrices, while it does
                step = min(length * wish, longest)
        step = min(step, longest)
    return recorder.track(refused)


def _settle(dynamics: Dynamics, x: Array, time: float, length: float) -> tuple[Array, Array, Array, float]:
    ports = dynamics.ports(x)
    for share in (1.0, 1e-2, 1e-4, 1e2, 1e4):
        whole_bits = (time + length * share) - time  # what the clock really moves by
        if whole_bits <= 0.0:
            continue
        try:
            new, slope, new_ports = dynamics.settle(x, ports, time, whole_bits)
        except StepFailed:
            continue
        return new, slope, new_ports, whole_bits
    raise _stuck(dynamics, x, time)


def _stuck(dynamics: Dynamics, x: Array, time: float) -> NetsUnsettled:
    names = [name for name in dynamics.system.variables if "~" not in name and ":" not in name]
    nets = names[:4]
    del x
    return NetsUnsettled(
        f"the waveform cannot be followed beyond {time:g} s: {', '.join(nets)} would not settle",
        remedy="check the parts at these nets, or give a capacitor its series resistance",
        nets=nets,
        tried=("steps down to a hundredth of a millionth of a millionth of the whole",),
    )


class _Recorder:
    """Grows the track; kept apart so that the marching loop reads plainly."""

    def __init__(self) -> None:
        self.times: list[float] = []
        self._unknowns: list[Array] = []
        self._slopes: list[Array] = []
        self._middles: list[Array] = []
        self._lengths: list[tuple[float, float, bool]] = []

    def add(
        self,
        time: float,
        x: Array,
        slope: Array,
        middle: Array,
        middle_time: float,
        length: float,
        *,
        settling: bool,
    ) -> None:
        if len(self.times) >= MOST_POINTS:
            raise NetsUnsettled(
                f"the waveform needs more than {MOST_POINTS} steps",
                remedy="ask for a shorter stretch or a coarser tolerance",
            )
        self.times.append(time)
        self._unknowns.append(x)
        self._slopes.append(slope)
        self._middles.append(middle)
        self._lengths.append((middle_time, length, settling))

    def track(self, refused: int) -> Track:
        return Track(
            times=np.array(self.times),
            unknowns=np.array(self._unknowns),
            slopes=np.array(self._slopes),
            middles=np.array(self._middles),
            middle_times=np.array([at for at, _, _ in self._lengths]),
            steps=np.array([length for _, length, _ in self._lengths]),
            settling=np.array([settling for _, _, settling in self._lengths], dtype=bool),
            refused=refused,
        )
