"""The spread of a figure over a period is that of solving the period anew for every moved part."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lidoff.circuit import (
    Circuit,
    Part,
    Situation,
    Spread,
    Waveforms,
    figures,
    periodic_spread,
    periodic_steady_state,
)
from tests.circuit.build import capacitor, circuit, diode, mains, resistor, supply

ON = Situation(name="on")


def spread(part: Part, name: str, share: float) -> Part:
    return replace(part, spreads={name: Spread(half_width=share)})


def rectified(frequency: float = 0.0) -> Circuit:
    source = mains("J1", "live", "gnd", 12.0, 50.0)
    limits = {"voltage": Spread(half_width=0.05)}
    if frequency:
        limits["frequency"] = Spread(half_width=frequency)
    return circuit(
        replace(source, spreads=limits),
        spread(capacitor("C1", "live", "pumped", 10e-6), "capacitance", 0.1),
        replace(diode("D1", "pumped", "rail"), spreads={"forward_drop": Spread()}),
        replace(diode("D2", "gnd", "pumped"), spreads={"forward_drop": Spread()}),
        spread(capacitor("C2", "rail", "gnd", 100e-6), "capacitance", 0.2),
        spread(resistor("R1", "rail", "gnd", 1e3), "resistance", 0.05),
    )


def current(wave: Waveforms) -> float:
    return figures(wave.times, wave.current("C1")).rms


def anew(made: Circuit, reference: str, name: str) -> float:
    """Change of the figure by a search for the period with one parameter moved by one standard deviation."""
    part = made.part(reference)
    value = float(part.values[name])
    moved = replace(part, values={**part.values, name: value + part.spreads[name].standard(value)})
    return current(periodic_steady_state(made.with_parts([moved]), points=100)) - current(
        periodic_steady_state(made, points=100)
    )


@pytest.mark.parametrize("key", [("J1", "voltage"), ("C1", "capacitance"), ("R1", "resistance")])
def test_each_share_is_that_of_a_search_with_the_part_moved(key: tuple[str, str]) -> None:
    made = rectified()
    found = periodic_spread(made, ON)
    share = found.of(current).shares[0, found.parameters.index(key)]
    assert anew(made, *key) == pytest.approx(share, rel=0.02)


def test_a_moved_frequency_moves_what_a_capacitor_passes() -> None:
    made = rectified(frequency=0.01)
    found = periodic_spread(made, ON)
    share = found.of(current).shares[0, found.parameters.index(("J1", "frequency"))]
    assert anew(made, "J1", "frequency") == pytest.approx(share, rel=1e-6)


def test_the_uncertainty_is_the_root_sum_of_squares_of_the_shares() -> None:
    prediction = periodic_spread(rectified(), ON).of(current)
    assert float((prediction.shares**2).sum() ** 0.5) == pytest.approx(float(prediction.uncertainty[0]))


def test_without_limits_nothing_spreads() -> None:
    made = circuit(
        mains("J1", "live", "gnd", 12.0, 50.0),
        replace(resistor("R1", "live", "gnd", 1e3), spreads={"resistance": Spread()}),
    )
    found = periodic_spread(made, ON)
    assert () == found.parameters
    assert [0.0] == list(found.of(lambda wave: figures(wave.times, wave.current("R1")).rms).uncertainty)


def test_a_stand_in_that_is_left_out_spreads_nothing() -> None:
    stand_in = replace(
        spread(supply("V1", "rail", 10.0, ohms=1e3), "voltage", 0.1), stands_for=("J1", "C1", "D1", "D2")
    )
    found = periodic_spread(rectified().with_parts([stand_in]), ON)
    assert "V1" not in {reference for reference, _ in found.parameters}
