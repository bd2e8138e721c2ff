"""Laws that several kinds of part share: conductance, branch with a voltage, injected current, junction, capacitance.

Symbols: ``v`` voltage from the first terminal to the second [V], ``i`` current from the first through the
part to the second [A].
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from lidoff.circuit.kind import Array, Law, Parameters, Ports, Response

__all__ = [
    "BRANCH",
    "CAPACITANCE",
    "CONDUCTANCE",
    "INDUCTANCE",
    "INJECTION",
    "JUNCTION",
    "PULSE_BRANCH",
    "SINE_BRANCH",
    "THERMAL_VOLTAGE_PER_KELVIN",
    "eased",
    "exponential",
    "junction_current",
    "junction_scale",
    "knee_limited",
    "pulse",
    "pulse_corners",
    "thermal_voltage",
]

THERMAL_VOLTAGE_PER_KELVIN = 1.380649e-23 / 1.602176634e-19  # k/q [V/K], exact SI constants (2019)
ZERO_CELSIUS = 273.15  # [K]
ABRUPT = (
    1e-3  # [V] slope voltage below which a junction is a textbook's fixed drop; silicon has 25 mV and more
)
STEEPEST = 60.0  # slope voltages from nothing to the told drop; e^60 is far beyond any real ratio of currents
LEAST_JUNCTION_RESISTANCE = 1e-6  # [Ω] keeps the closed form of the junction defined; far below any lead

_ACROSS: Mapping[str, float] = {"a": 1.0, "b": -1.0}
_CURRENT: Mapping[str, float] = {"current": 1.0}


def thermal_voltage(temperature: Array) -> Array:
    """k·T/q of a junction [V] at a temperature in degrees Celsius."""
    return THERMAL_VOLTAGE_PER_KELVIN * (temperature + ZERO_CELSIUS)


def exponential(u: Array) -> Array:
    """Exponential that goes on as its tangent beyond u = 80, so that no step of the search overflows."""
    return np.exp(np.minimum(u, 80.0)) * (1.0 + np.maximum(u - 80.0, 0.0))


def _conduct(ports: Ports, p: Parameters) -> Response:
    (v,) = ports
    conductance = p["conductance"] + np.zeros_like(v)
    return Response((conductance * v,), (conductance,))


CONDUCTANCE = Law(
    name="conductance",
    terminals=("a", "b"),
    ports=(_ACROSS,),
    rows=(_ACROSS,),
    pairs=((0, 0),),
    respond=_conduct,
    linear=True,
)


def _inject(ports: Ports, p: Parameters) -> Response:
    (v,) = ports
    return Response((p["current"] + np.zeros_like(v),), (np.zeros_like(v),))


INJECTION = Law(
    name="injected current",
    terminals=("a", "b"),
    ports=(_ACROSS,),
    rows=(_ACROSS,),
    pairs=((0, 0),),
    respond=_inject,
    linear=True,
)


def _hold(ports: Ports, p: Parameters, voltage: Array) -> Response:
    # v = E + R·i while connected; i = 0 while not
    v, i = ports
    connected = p["connected"] + np.zeros_like(v)
    resistance = p["resistance"] + np.zeros_like(v)
    apart = 1.0 - connected
    constraint = connected * (v - voltage - resistance * i) + apart * i
    return Response((i, constraint), (np.ones_like(i), connected, apart - connected * resistance))


def _hold_steady(ports: Ports, p: Parameters) -> Response:
    return _hold(ports, p, p["voltage"])


def _hold_sine(ports: Ports, p: Parameters) -> Response:
    angle = 2.0 * np.pi * p["frequency"] * p["time"] + p["phase"]
    return _hold(ports, p, p["offset"] + p["amplitude"] * np.sin(angle))


def _hold_pulse(ports: Ports, p: Parameters) -> Response:
    return _hold(ports, p, pulse(p))


def _keep_flux(ports: Ports, p: Parameters) -> Response:
    (_, i) = ports
    inductance = p["inductance"] * p["connected"] + np.zeros_like(i)
    return Response((-inductance * i,), (-inductance,))


def pulse(p: Parameters) -> Array:
    """Trapezoidal pulse train: low, rise, high, fall, low, repeated.

    Parameters
    ----------
    p : mapping
        ``low``, ``high`` [V or A], ``delay``, ``rise``, ``width`` (of the top), ``fall``, ``period`` [s], ``time`` [s].
    """
    rise = np.maximum(p["rise"], 1e-12)
    fall = np.maximum(p["fall"], 1e-12)
    since = p["time"] - p["delay"]
    phase = np.where(since < 0.0, -1.0, np.mod(since, p["period"]))
    up = np.clip(phase / rise, 0.0, 1.0)
    down = np.clip((phase - rise - p["width"]) / fall, 0.0, 1.0)
    level: Array = p["low"] + (p["high"] - p["low"]) * (up - down)
    return level


def pulse_corners(p: Mapping[str, float], start: float, end: float) -> tuple[float, ...]:
    """Instants between `start` and `end` at which `pulse` has a corner [s]; none if there are more than can be followed."""
    rise, fall = max(p["rise"], 1e-12), max(p["fall"], 1e-12)
    corners = np.array([0.0, rise, rise + p["width"], rise + p["width"] + fall])
    first = max(0, int(np.floor((start - p["delay"]) / p["period"])) - 1)
    last = int(np.ceil((end - p["delay"]) / p["period"])) + 1
    if last - first > 1_000_000:
        return ()
    instants = (p["delay"] + p["period"] * np.arange(first, last + 1)[:, None] + corners[None, :]).ravel()
    return tuple(float(t) for t in instants if start < t < end)


_BRANCH_SHAPE = {
    "terminals": ("a", "b"),
    "unknowns": ("current",),
    "ports": (_ACROSS, _CURRENT),
    "rows": (_ACROSS, _CURRENT),
    "pairs": ((0, 1), (1, 0), (1, 1)),
    "linear": True,
}
BRANCH = Law(name="branch", respond=_hold_steady, **_BRANCH_SHAPE)  # type: ignore[arg-type]
INDUCTANCE = Law(
    name="inductance",
    respond=_hold_steady,
    store=_keep_flux,
    store_rows=(_CURRENT,),
    store_pairs=((0, 1),),
    **_BRANCH_SHAPE,  # type: ignore[arg-type]
)
SINE_BRANCH = Law(name="sine branch", respond=_hold_sine, timed=True, **_BRANCH_SHAPE)  # type: ignore[arg-type]
PULSE_BRANCH = Law(
    name="pulse branch",
    respond=_hold_pulse,
    timed=True,
    breakpoints=pulse_corners,
    **_BRANCH_SHAPE,  # type: ignore[arg-type]
)


def _no_flow(ports: Ports, p: Parameters) -> Response:  # noqa: ARG001
    return Response((), ())


def _keep_charge(ports: Ports, p: Parameters) -> Response:
    (v,) = ports
    capacitance = p["capacitance"] + np.zeros_like(v)
    return Response((capacitance * v,), (capacitance,))


CAPACITANCE = Law(
    name="capacitance",
    terminals=("a", "b"),
    ports=(_ACROSS,),
    rows=(),
    pairs=(),
    respond=_no_flow,
    linear=True,
    store=_keep_charge,
    store_rows=(_ACROSS,),
    store_pairs=((0, 0),),
)


def junction_current(v: Array, i_s: Array, n_vt: Array, resistance: Array) -> tuple[Array, Array]:
    """Current of a junction with series resistance, and its slope, in closed form.

    Parameters
    ----------
    v : ndarray
        Voltage over junction and resistance together [V].
    i_s : ndarray
        Saturation current [A].
    n_vt : ndarray
        Emission coefficient times thermal voltage [V].
    resistance : ndarray
        Series resistance, above zero [Ω].

    Returns
    -------
    current, slope : ndarray
        [A], [S].

    Notes
    -----
    ``i = (n·V_T/R)·ω(ln(I_s·R/n·V_T) + (v + I_s·R)/(n·V_T)) − I_s`` with Wright's ω, which is Lambert's W of an exponential and
    does not overflow [1]_.

    References
    ----------
    .. [1] T. C. Banwell, A. Jayakumar, "Exact analytical solution for current flow through diode with series resistance",
       Electronics Letters 36(4), 291-292, 2000, eq. (4).
    """
    from scipy.special import wrightomega

    scale = i_s * resistance / n_vt
    omega = wrightomega(np.log(scale) + v / n_vt + scale)
    current = omega * n_vt / resistance - i_s
    slope = omega / ((1.0 + omega) * resistance)
    return current, slope


def junction_scale(drop: Array, current: Array, slope_voltage: Array) -> tuple[Array, Array]:
    """Saturation current and offset of a junction that drops `drop` at `current`.

    Parameters
    ----------
    drop : ndarray
        Forward voltage without any series resistance [V].
    current : ndarray
        Where it is told [A].
    slope_voltage : ndarray
        Emission coefficient times thermal voltage [V].

    Returns
    -------
    saturation_current, offset : ndarray
        [A], [V].

    Notes
    -----
    The offset is zero for all real junctions; a drop below one slope voltage is held at that. Offsets serve junctions whose
    drop a textbook takes as fixed, told by a slope voltage below `ABRUPT` or a drop of very many slope voltages: there the
    exponential begins `STEEPEST` slope voltages below the drop, since its saturation current would underflow.
    """
    real = slope_voltage > ABRUPT
    exponent = np.where(real, np.clip(drop / slope_voltage, 1.0, STEEPEST), STEEPEST)
    held = real & (drop < slope_voltage)
    return current / np.expm1(exponent), np.where(held, 0.0, drop - exponent * slope_voltage)


def _junction(ports: Ports, p: Parameters) -> Response:
    (v,) = ports
    resistance = np.maximum(p["resistance"], LEAST_JUNCTION_RESISTANCE)
    current, slope = junction_current(
        v - p["offset"], p["saturation_current"], p["slope_voltage"], resistance
    )
    return Response((current,), (slope,))


def knee_limited(new: Array, old: Array, i_s: Array, n_vt: Array, resistance: Array) -> Array:
    """Step of a junction's voltage that its exponential can follow.

    Upwards from below the knee the step ends at the knee; above it, the step is taken in the current instead of the voltage
    (the current that the tangent promises, turned back into a voltage). Downwards nothing is limited. Common practice.
    """
    if not (new - old > n_vt).any():
        return new  # a step of less than one slope voltage needs no limit
    knee = n_vt * np.log(n_vt / (np.sqrt(2.0) * i_s))  # where the exponential is most curved
    rising = new > np.maximum(old, knee)
    from_below = rising & (old < knee)
    above = rising & ~from_below
    limited = np.where(from_below, np.minimum(new, knee + n_vt), new)
    if above.any():
        current, slope = junction_current(old, i_s, n_vt, resistance)
        promised = np.maximum(current + slope * (new - old), i_s)
        inverse = resistance * promised + n_vt * np.log1p(promised / i_s)
        limited = np.where(above, np.minimum(new, inverse), limited)
    return limited


def eased(
    new: Array, old: Array, i_s: Array, n_vt: Array, *, longest: float = 3.0, reach: float = 4.0
) -> Array:
    """Step down of a controlling junction, shortened while it is still near its knee.

    A transistor that holds another one's current must not be thrown far off by one step, or the two take turns for ever. While
    the junction stands above `reach` slope voltages below its knee, it falls by at most `longest` slope voltages. The two
    numbers were chosen by trial on random circuits (``benchmarks/plausible.py``): of 120, five in place of 23 then need
    another method than Newton's.
    """
    knee = n_vt * np.log(n_vt / (np.sqrt(2.0) * i_s))
    near = (old > knee - reach * n_vt) & (new < old - longest * n_vt)
    return np.where(near, old - longest * n_vt, new)


def _limit_junction(new: Ports, old: Ports, p: Parameters) -> Ports:
    resistance = np.maximum(p["resistance"], LEAST_JUNCTION_RESISTANCE)
    offset = p["offset"]
    limited = knee_limited(
        new[0] - offset, old[0] - offset, p["saturation_current"], p["slope_voltage"], resistance
    )
    return (limited + offset,)


JUNCTION = Law(
    name="junction",
    terminals=("a", "b"),
    ports=(_ACROSS,),
    rows=(_ACROSS,),
    pairs=((0, 0),),
    respond=_junction,
    limit=_limit_junction,
)
