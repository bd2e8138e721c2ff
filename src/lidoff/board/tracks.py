"""What a track can carry: resistance from its width and copper weight, and the current after IPC-2221."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.board.layout import Place
from lidoff.errors import ImpossibleValue

if TYPE_CHECKING:
    from lidoff.circuit.netlist import Part

__all__ = ["TrackMeasure", "copper_resistivity", "ipc_2221_current", "measure_track", "track_part"]

COPPER_RESISTIVITY_20C = 1.0 / 58.0e6
"""Resistivity of annealed copper at 20 °C [Ω·m]; IEC 60028 (1/58 Ω·mm²/m)."""

COPPER_TEMPERATURE_COEFFICIENT = 0.00393
"""Of resistance at 20 °C [1/K]; IEC 60028."""

MIL = 25.4e-6
"""One thousandth of an inch [m]."""

_IPC_EXTERNAL = 0.048  # IPC-2221, factor for outer layers; the formula fits its chart of 1954 data
_IPC_INTERNAL = 0.024


@dataclass(frozen=True, slots=True, kw_only=True)
class TrackMeasure:
    """One track measured.

    Parameters
    ----------
    length : float
        Along the middle line [m].
    narrowest, mean_width : float
        Smallest width, and the width of a uniform track of equal resistance [m].
    resistance : float
        End to end [Ω].
    uncertainty : float
        Standard uncertainty of the resistance from edges and copper weight [Ω].
    current : float
        Continuous current for the asked rise of temperature at the narrowest place [A], IPC-2221.
    """

    length: float
    narrowest: float
    mean_width: float
    resistance: float
    uncertainty: float
    current: float


def copper_resistivity(temperature: float) -> float:
    """Resistivity of copper foil at a temperature [°C], in [Ω·m].

    References
    ----------
    .. [1] IEC 60028, *International standard of resistance for copper*.

    Examples
    --------
    >>> round(copper_resistivity(20.0) * 1e8, 4)
    1.7241
    """
    return COPPER_RESISTIVITY_20C * (1.0 + COPPER_TEMPERATURE_COEFFICIENT * (temperature - 20.0))


def ipc_2221_current(width: float, thickness: float, *, rise: float = 20.0, internal: bool = False) -> float:
    """Current that warms a long track by a rise of temperature.

    Parameters
    ----------
    width, thickness : float
        Of the track [m].
    rise : float
        Temperature above the board [K]; the chart spans 10 to 100.
    internal : bool
        Whether the track lies inside the board.

    Returns
    -------
    float
        Current [A].

    Raises
    ------
    ImpossibleValue
        A size or the rise is zero or below.

    References
    ----------
    .. [1] IPC-2221, *Generic standard on printed board design*, section 6.2: I = k · ΔT^0.44 · A^0.725, A in square mils.
    """
    if min(width, thickness, rise) <= 0.0:
        raise ImpossibleValue(
            f"track of {width * 1e3:g} mm × {thickness * 1e6:g} µm warmed by {rise:g} K",
            remedy="all above zero",
        )
    area = width * thickness / MIL**2
    factor = _IPC_INTERNAL if internal else _IPC_EXTERNAL
    return float(factor * rise**0.44 * area**0.725)


def measure_track(
    places: Sequence[Place],
    widths: Sequence[float],
    *,
    thickness: float = 35e-6,
    temperature: float = 20.0,
    rise: float = 20.0,
    edge_uncertainty: float = 0.02,
    thickness_uncertainty: float = 0.15,
) -> TrackMeasure:
    """Resistance and current of a track along its middle line.

    Parameters
    ----------
    places : sequence of places
        Middle line [mm], two or more.
    widths : sequence of float
        Width at each place [mm].
    thickness : float
        Of the copper [m]; 35 µm is one ounce per square foot.
    temperature : float
        Of the track [°C].
    rise : float
        Allowed rise for the current [K].
    edge_uncertainty : float
        Standard uncertainty of a width [mm].
    thickness_uncertainty : float
        Relative standard uncertainty of the thickness; cheap boards vary by about 15 %, common practice, no source.

    Returns
    -------
    TrackMeasure
        In SI units.

    Raises
    ------
    ImpossibleValue
        Fewer than two places, or a width of zero.
    """
    if len(places) < 2 or len(places) != len(widths):
        raise ImpossibleValue(
            f"{len(places)} places and {len(widths)} widths", remedy="two places or more, one width for each"
        )
    if min(widths) <= 0.0:
        raise ImpossibleValue(f"a width of {min(widths):g} mm", remedy="above zero")
    length = squares = leverage = 0.0
    for (a, b), (w_a, w_b) in zip(itertools.pairwise(places), itertools.pairwise(widths), strict=False):
        step = math.dist(a, b)
        # A run of linear taper has the logarithmic mean as its effective width; the harmonic-like form below is exact.
        width = w_a if math.isclose(w_a, w_b, rel_tol=1e-9) else (w_b - w_a) / math.log(w_b / w_a)
        length += step
        squares += step / width
        leverage += step / width**2
    resistance = copper_resistivity(temperature) / thickness * squares
    relative = math.hypot(leverage / squares * edge_uncertainty, thickness_uncertainty)
    return TrackMeasure(
        length=length * 1e-3,
        narrowest=min(widths) * 1e-3,
        mean_width=(length / squares) * 1e-3,
        resistance=resistance,
        uncertainty=resistance * relative,
        current=ipc_2221_current(min(widths) * 1e-3, thickness, rise=rise),
    )


def track_part(
    reference: str, measure: TrackMeasure, first_net: str, second_net: str, *, thickness: float = 35e-6
) -> Part:
    """Track as a part of a circuit: uniform, of the measured length and of the width that gives the measured resistance.

    Parameters
    ----------
    reference : str
        Reference of the new part.
    measure : TrackMeasure
        Length and width along its path.
    first_net, second_net : str
        What it joins.
    thickness : float
        Of the copper [m].

    Returns
    -------
    Part
        Of kind ``track``.
    """
    from lidoff.circuit.netlist import Part

    return Part(
        reference=reference,
        kind="track",
        pins={"1": first_net, "2": second_net},
        values={"length": measure.length, "width": measure.mean_width, "thickness": thickness},
    )
