"""Voltages and currents over time, and the figures that describe them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from lidoff.circuit.figures import figures, mean
from lidoff.circuit.kind import Array
from lidoff.circuit.netlist import Circuit, Pin, Situation
from lidoff.circuit.notebook import waveform_frame, waveform_plot
from lidoff.circuit.operating import nets_adrift, operating_point, situation_table
from lidoff.circuit.path import has_path, path_of
from lidoff.circuit.solution import Solution, potentials
from lidoff.circuit.solve.assemble import System, Table, assemble, dense_of
from lidoff.circuit.solve.currents import pin_currents
from lidoff.circuit.solve.march import Track, corners_of, march
from lidoff.circuit.solve.stepping import Tolerance, dynamics_of
from lidoff.circuit.standing_in import over_time
from lidoff.errors import ImpossibleValue, UnknownName

__all__ = ["PowerFigures", "Waveforms", "waveform"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerFigures:
    """Power of a part over a stretch of time.

    Attributes
    ----------
    real : float
        Mean of voltage times current [W]; negative where the part delivers.
    apparent : float
        Rms voltage times rms current [VA].
    power_factor : float
        Magnitude of real over apparent power; zero where nothing flows.
    """

    real: float
    apparent: float
    power_factor: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Waveforms:
    """A circuit over a stretch of time.

    Attributes
    ----------
    circuit : Circuit
    system : System
    table : mapping
        Parameters of all parts.
    track : Track
        Unknowns and their slopes at every instant, one sample.
    period : float
        Length of the repeating pattern [s]; zero where none is known.
    rounds : int
        Newton rounds that the periodic steady state took; zero for a plain waveform.
    """

    circuit: Circuit
    system: System
    table: Table
    track: Track
    period: float = 0.0
    rounds: int = 0

    @property
    def times(self) -> Array:
        """Instants, shape (T,) [s]."""
        return self.track.times

    def voltage(self, net: str) -> Array:
        """Voltage of a net against its island's reference, shape (T,) [V]."""
        if net not in self.system.references:
            raise UnknownName(f"there is no net {net!r}", name=net, known=self.circuit.nets)
        index = self.system.position[net]
        if index == self.system.size:
            return np.zeros(len(self.times))
        column: Array = self.track.unknowns[:, 0, index]
        return column

    @cached_property
    def undetermined(self) -> frozenset[str]:
        """Nets that neither conduct to the rest nor keep charge against it, whose voltage is therefore not known."""
        (adrift,) = nets_adrift(self.system, self.table, (0,), dynamic=True)
        return frozenset().union(*adrift)

    @cached_property
    def _pin_currents(self) -> Mapping[Pin, Array]:
        return pin_currents(
            self.circuit,
            self.system,
            self.table,
            self.track.unknowns[:, 0],
            rates=self.track.slopes[:, 0],
            times=self.times,
        )

    def pin_current(self, reference: str, pin: str) -> Array:
        """Current from the net into the pin, stored charge included, shape (T,) [A]."""
        part = self.circuit.part(reference)
        if pin not in part.pins:
            raise UnknownName(f"{reference} has no pin {pin!r}", name=pin, known=part.pins)
        return self._pin_currents[Pin(reference, pin)]

    def potentials_at(self, step: int) -> Mapping[str, float]:
        """Every net at one of the instants, those inside of parts as well, against its island's reference [V]."""
        return potentials(self.system, self.track.unknowns[step, 0])

    def part_voltage(self, reference: str) -> Array:
        """Voltage along the part's main path, shape (T,) [V]."""
        part = self.circuit.part(reference)
        first, second = path_of(part)
        return self.voltage(part.pins[first]) - self.voltage(part.pins[second])

    def current(self, reference: str) -> Array:
        """Current along the part's main path, shape (T,) [A]."""
        return self.pin_current(reference, path_of(self.circuit.part(reference))[0])

    def power(self, reference: str) -> Array:
        """Electrical power that the part takes up at every instant, shape (T,) [W]."""
        part = self.circuit.part(reference)
        total = np.zeros(len(self.times))
        for pin, net in part.pins.items():
            total = total + self.voltage(net) * self.pin_current(reference, pin)
        return total

    def has_path(self, reference: str) -> bool:
        """Whether the part has a main current path with both pins in use."""
        return has_path(self.circuit.part(reference))

    def __getitem__(self, name: str) -> Array:
        """Voltage of a net, or current along a part's main path, shape (T,)."""
        return self.voltage(name) if name in self.circuit.nets else self.current(name)

    def frame(self) -> Any:
        """All voltages and currents as a pandas frame; see `lidoff.circuit.notebook.waveform_frame`."""
        return waveform_frame(self)

    def plot(self, *names: str, axes: Any = None) -> Any:
        """Plot nets and parts over time with matplotlib; see `lidoff.circuit.notebook.waveform_plot`."""
        return waveform_plot(self, names, axes)

    def power_figures(self, reference: str) -> PowerFigures:
        """Real and apparent power and power factor of a part with a main path."""
        voltage = figures(self.times, self.part_voltage(reference))
        current = figures(self.times, self.current(reference))
        real = mean(self.times, self.power(reference))
        apparent = voltage.rms * current.rms
        return PowerFigures(
            real=real, apparent=apparent, power_factor=abs(real) / apparent if apparent > 0.0 else 0.0
        )

    def at(self, instants: Array) -> Array:
        """Unknowns between the steps, by cubic interpolation with the known slopes, shape (len(instants), N)."""
        times, x, slopes = self.times, self.track.unknowns[:, 0], self.track.slopes[:, 0]
        right = np.clip(np.searchsorted(times, instants), 1, len(times) - 1)
        left = right - 1
        length = times[right] - times[left]
        s = ((instants - times[left]) / length)[:, None]
        h = length[:, None]
        blend: Array = (
            (1 + 2 * s) * (1 - s) ** 2 * x[left]
            + s * (1 - s) ** 2 * h * slopes[left]
            + s**2 * (3 - 2 * s) * x[right]
            + s**2 * (s - 1) * h * slopes[right]
        )
        return blend

    def voltage_at(self, net: str, instants: Array) -> Array:
        """Voltage of a net at chosen instants, shape (len(instants),) [V]."""
        self.voltage(net)  # refuses an unknown net in the usual words
        index = self.system.position[net]
        if index == self.system.size:
            return np.zeros(len(instants))
        column: Array = self.at(np.asarray(instants, dtype=float))[:, index]
        return column


def waveform(
    circuit: Circuit,
    until: float,
    *,
    situation: Situation | None = None,
    start: Mapping[str, float] | None = None,
    around: Mapping[str, float] | None = None,
    from_rest: bool = False,
    tolerance: Tolerance | None = None,
    longest_step: float = 0.0,
) -> Waveforms:
    """Follow the circuit from time zero.

    Parameters
    ----------
    circuit : Circuit
    until : float
        End [s].
    situation : Situation, optional
        What is set; a stand-in is left out where a supply that it stands for is connected.
    start : mapping of str to float, optional
        Voltage across capacitors [V] and current through inductors [A] at time zero, by reference; the others start empty,
        or as `around` has them.
    around : mapping of str to float, optional
        Where each net stands just before [V], as `potentials_at` of a waveform or a solution tells; else all at zero.
    from_rest : bool
        Start with everything uncharged instead of at the operating point; implied by `start` and `around`.
    tolerance : Tolerance, optional
    longest_step : float
        [s]; a fiftieth of the whole if zero.

    Returns
    -------
    Waveforms

    Raises
    ------
    ImpossibleValue
        `until` is not above zero.
    CircuitFault, NetsUnsettled, UnknownName
        As for `operating_point`; or no step settles.
    """
    if not (np.isfinite(until) and until > 0.0):
        raise ImpossibleValue(f"a waveform cannot last {until:g} s", remedy="give a time above zero")
    chosen = over_time(circuit, situation or Situation(name="as it stands"))
    table = situation_table(circuit, (chosen,))
    system = assemble(circuit, dynamic=True)
    at_rest = start is None and around is None and not from_rest
    state = rest_state(circuit, chosen, system) if at_rest else stored_state(system, start or {}, around)
    dynamics = dynamics_of(system, table, 1, tolerance or Tolerance())
    corners = corners_of(system, table, 0.0, until)
    track = march(dynamics, state, (0.0, until), corners, longest_step=longest_step)
    return Waveforms(circuit=circuit, system=system, table=table, track=track)


def rest_state(circuit: Circuit, situation: Situation, system: System) -> Array:
    """Operating point of the situation in the order of another system's unknowns, shape (1, N)."""
    solution = operating_point(circuit, situations=(situation,))
    solution.at(0)
    return state_of(solution, 0, system)


def state_of(solution: Solution, sample: int, system: System) -> Array:
    """Sample of a solution in the order of another system's unknowns, shape (1, N)."""
    known = dict(zip(solution.system.variables, solution.outcome.unknowns[sample].tolist(), strict=True))
    return _in_order(system, known)


def _in_order(system: System, known: Mapping[str, float]) -> Array:
    """Known values in the order of a system's unknowns, each net against the reference that it has there, shape (1, N)."""
    shift = {net: known.get(reference, 0.0) for net, reference in system.references.items()}
    return np.array([[known.get(name, 0.0) - shift.get(name, 0.0) for name in system.variables]])


def stored_state(
    system: System, start: Mapping[str, float], around: Mapping[str, float] | None = None
) -> Array:
    """Unknowns that give every store its starting voltage or current, by least squares, shape (1, N).

    Parameters
    ----------
    system : System
    start : mapping of str to float
        By reference [V], [A].
    around : mapping of str to float, optional
        Potentials [V] that are left by as little as `start` asks; without them every store that `start` does not name is
        empty. Nets that no store holds would else begin at zero, and a coil at such a net ring with its stray capacitance.

    Returns
    -------
    ndarray of shape (1, N)

    Raises
    ------
    UnknownName
        A part named in `start` stores nothing.
    """
    base = _in_order(system, around or {})
    columns, wanted, known = [], [], set()
    ports = system.store_matrices.ports
    dense = dense_of(ports)
    offset = 0
    for group in system.stores:
        law, count = group.law, len(group.placed)
        used = sorted({port for _, port in law.store_pairs})
        for port in used:
            for k, placed in enumerate(group.placed):
                known.add(placed.part.reference)
                if around is not None and placed.part.reference not in start:
                    continue
                columns.append(dense[:-1, offset + port * count + k])
                wanted.append(float(start.get(placed.part.reference, 0.0)))
        offset += len(law.ports) * count
    for reference in start:
        if reference not in known:
            raise UnknownName(
                f"{reference!r} stores no charge or flux, so it has no starting value",
                name=reference,
                known=known,
            )
    if not columns:
        return base
    held = np.array(columns)
    move, *_ = np.linalg.lstsq(held, np.array(wanted) - held @ base[0], rcond=None)
    return np.asarray(base + move[None, :], dtype=np.float64)
