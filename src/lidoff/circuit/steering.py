"""Laws that follow a voltage: the steady draw of a chip that has its supply, a conductance that a control voltage turns on."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from lidoff.circuit.kind import Array, Law, Parameters, Ports, Response
from lidoff.circuit.smooth import band_limited, step

__all__ = ["STEADY_DRAW", "STEERED", "steady_draw", "steered"]

_ACROSS: Mapping[str, float] = {"a": 1.0, "b": -1.0}


def _draw(ports: Ports, p: Parameters) -> Response:
    # Constant once there is voltage, nothing without: a source would drag an unpowered net far below ground.
    (v,) = ports
    share = np.tanh(v / p["reach"])
    return Response((p["current"] * share,), (p["current"] / p["reach"] * (1.0 - share**2),))


def _limit_draw(new: Ports, old: Ports, p: Parameters) -> Ports:
    reach = p["reach"]
    return (band_limited(new[0], old[0], -3.0 * reach, 3.0 * reach, reach),)


STEADY_DRAW = Law(
    name="steady draw",
    terminals=("a", "b"),
    ports=(_ACROSS,),
    rows=(_ACROSS,),
    pairs=((0, 0),),
    respond=_draw,
    limit=_limit_draw,
    idle_without="current",
)
DRAW_REACH = np.full(1, 0.1)  # [V] over which a steady draw sets in; complete to 1e-8 at one volt


def steady_draw(current: Array) -> Parameters:
    """Parameters of the law ``steady draw`` for a supply current [A]."""
    return {"current": np.atleast_1d(current), "reach": DRAW_REACH}


def _steer(ports: Ports, p: Parameters) -> Response:
    # The logarithm of the conductance moves, not the conductance: else the tail of the step would already conduct.
    control, v = ports
    forward, forward_slope = step(control - p["threshold"], p["width"])
    backward, backward_slope = step(-control - p["threshold"], p["width"])
    share = forward + p["both_ways"] * backward
    share_slope = forward_slope - p["both_ways"] * backward_slope
    reach = np.log(p["on_conductance"] / p["off_conductance"])
    conductance = p["off_conductance"] * np.exp(reach * share)
    return Response((conductance * v,), (reach * conductance * share_slope * v, conductance))


def _limit_steer(new: Ports, old: Ports, p: Parameters) -> Ports:
    threshold, reach = p["threshold"], 3.0 * p["width"]
    control = band_limited(new[0], old[0], threshold - 10.0 * reach, threshold + 10.0 * reach, reach)
    return (
        band_limited(control, old[0], -threshold - 10.0 * reach, -threshold + 10.0 * reach, reach),
        new[1],
    )


STEERED = Law(
    name="steered conductance",
    terminals=("control", "reference", "a", "b"),
    ports=({"control": 1.0, "reference": -1.0}, _ACROSS),
    rows=(_ACROSS,),
    pairs=((0, 0), (0, 1)),
    respond=_steer,
    limit=_limit_steer,
)


def steered(on: Array, off: Array, threshold: Array, width: Array, *, both_ways: bool = False) -> Parameters:
    """Parameters of the law ``steered conductance``.

    Parameters
    ----------
    on, off : ndarray
        Conductance beyond and below the threshold [S].
    threshold, width : ndarray
        Control voltage half way, and how far the change reaches (e-folding) [V].
    both_ways : bool
        Whether a control voltage of the other sign does the same.
    """
    return {
        "on_conductance": np.atleast_1d(on),
        "off_conductance": np.atleast_1d(off),
        "threshold": np.atleast_1d(threshold),
        "width": np.atleast_1d(width),
        "both_ways": np.full(1, float(both_ways)),
    }
