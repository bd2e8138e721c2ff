"""A person between two nets, as a network of parts, and the current that passes through them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lidoff.circuit import (
    Circuit,
    Part,
    Situation,
    Waveforms,
    figures,
    operating_point,
    periodic_steady_state,
)
from lidoff.errors import LidoffError
from lidoff.hazards.limits import limit_table
from lidoff.hazards.subject import COARSE

__all__ = ["Touched", "network_impedance", "touched", "touched_steadily", "with_person"]

LEAST_STEPS = 25  # a period
INSTANTS = 401  # of a period, for its figures
SKIN, BODY, FILTER = "person_skin", "person_body", "person_filter"  # nets and parts of the network


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """The current through a person who touches a net.

    Attributes
    ----------
    steady, alternating : float
        Mean, and effective value of what alternates, weighted as the body feels it [A].
    """

    steady: float
    alternating: float


def network_impedance(frequency: float) -> complex:
    """Impedance of the network between its two ends, the filter left out [Ω].

    Examples
    --------
    >>> round(abs(network_impedance(50.0)))
    1990
    """
    row = limit_table("touch_current").entries["person"]
    skin = 1.0 / (1.0 / row["skin_resistance"] + 2j * np.pi * frequency * row["skin_capacitance"])
    return complex(skin + row["body_resistance"])


def with_person(circuit: Circuit, net: str, other: str) -> Circuit:
    """Return the circuit with a person between two of its nets.

    Parameters
    ----------
    circuit : Circuit
    net, other : str
        What the two hands touch.

    Returns
    -------
    Circuit
        With the parts of the network, whose names begin with ``person``.
    """
    row = limit_table("touch_current").entries["person"]

    def part(name: str, kind: str, first: str, second: str, **values: float) -> Part:
        return Part(reference=name, kind=kind, pins={"1": first, "2": second}, values=values)

    return replace(
        circuit,
        parts=(
            *circuit.parts,
            part(f"{SKIN}_resistance", "resistor", net, SKIN, resistance=row["skin_resistance"]),
            part(f"{SKIN}_capacitance", "capacitor", net, SKIN, capacitance=row["skin_capacitance"]),
            part(f"{BODY}_resistance", "resistor", SKIN, other, resistance=row["body_resistance"]),
            part(f"{FILTER}_resistance", "resistor", SKIN, FILTER, resistance=row["filter_resistance"]),
            part(f"{FILTER}_capacitance", "capacitor", FILTER, other, capacitance=row["filter_capacitance"]),
        ),
    )


def touched_steadily(
    circuit: Circuit, net: str, other: str, situations: Sequence[Situation]
) -> Mapping[str, float]:
    """Steady current through a person between two nets.

    Parameters
    ----------
    circuit : Circuit
    net, other : str
        What the two hands touch.
    situations : sequence of Situation
        With steady supplies only.

    Returns
    -------
    mapping of str to float
        By name of each situation that settles [A].
    """
    if not situations:
        return {}
    solution = operating_point(with_person(circuit, net, other), situations=tuple(situations))
    volts = np.abs(solution.between(SKIN, other))
    return {
        one.name: float(volts[number]) / _body()
        for number, one in enumerate(situations)
        if solution.settled[number]
    }


def touched(
    circuit: Circuit, net: str, other: str, situation: Situation, *, untouched: Waveforms | None = None
) -> Touched:
    """Current through a person between two nets where a supply alternates.

    Parameters
    ----------
    circuit : Circuit
    net, other : str
        What the two hands touch.
    situation : Situation
    untouched : Waveforms, optional
        Of the circuit without the person, from which the search sets out: a person changes little.

    Returns
    -------
    Touched

    Raises
    ------
    LidoffError
        No repeating waveform was found.

    References
    ----------
    .. [1] IEC 60990:2016, Figure 4 and 5.1; from memory.
    """
    waves = _repeating(with_person(circuit, net, other), situation, untouched)
    # Straight lines between the coarse steps would lose half a percent of a sine.
    instants = np.linspace(waves.times[0], waves.times[-1], INSTANTS)
    steady = figures(instants, waves.voltage_at(SKIN, instants) - waves.voltage_at(other, instants))
    weighted = figures(instants, waves.voltage_at(FILTER, instants) - waves.voltage_at(other, instants))
    return Touched(
        steady=abs(steady.average) / _body(),
        alternating=weighted.alternating / _body(),
    )


def _repeating(circuit: Circuit, situation: Situation, untouched: Waveforms | None) -> Waveforms:
    if untouched is not None:
        try:
            return periodic_steady_state(
                circuit,
                situation=situation,
                around=untouched.potentials_at(0),
                tolerance=COARSE,
                points=LEAST_STEPS,
            )
        except LidoffError:
            pass  # from the operating point, then
    return periodic_steady_state(circuit, situation=situation, tolerance=COARSE, points=LEAST_STEPS)


def _body() -> float:
    resistance: float = limit_table("touch_current").entries["person"]["body_resistance"]
    return resistance
