"""Figures of waveforms against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lidoff.circuit import Circuit, Part, Situation, Tolerance, figures, periodic_steady_state
from lidoff.circuit.figures import mean
from lidoff.hazards import Subject

VOLTS, HERTZ = 100.0, 50.0
OMEGA = 2.0 * math.pi * HERTZ


def part(reference: str, kind: str, pins: dict[str, str], **values: float) -> Part:
    return Part(reference=reference, kind=kind, pins=pins, values=values)


MAINS = part("J1", "ac_supply", {"plus": "in", "minus": "gnd"}, voltage=VOLTS, frequency=HERTZ)
ACROSS = {"1": "b", "2": "gnd"}


def resistor(ohms: float, end: str = "b") -> Part:
    return part("R1", "resistor", {"1": "in", "2": end}, resistance=ohms)


SERIES = [
    pytest.param((MAINS, resistor(250.0, "gnd")), VOLTS / 250.0, id="resistor"),
    pytest.param(
        (MAINS, resistor(20.0), part("L1", "inductor", ACROSS, inductance=0.8, winding_resistance=0.01)),
        VOLTS / math.hypot(20.01, OMEGA * 0.8),
        id="resistor and inductor",
    ),
    pytest.param(
        (MAINS, resistor(150.0), part("C1", "capacitor", ACROSS, capacitance=15e-6)),
        VOLTS / math.hypot(150.0, 1.0 / (OMEGA * 15e-6)),
        id="resistor and capacitor",
    ),
]


@pytest.mark.parametrize("samples", [26, 40])
def test_effective_value_of_a_coarsely_sampled_sine_is_exact_to_a_thousandth(samples: int) -> None:
    times = np.linspace(0.0, 1.0, samples)
    assert 3.0 / math.sqrt(2.0) == pytest.approx(
        figures(times, 3.0 * np.sin(2 * np.pi * times)).rms, rel=1e-3
    )


def test_mean_of_a_coarsely_sampled_half_wave_is_exact_to_a_thousandth() -> None:
    times = np.linspace(0.0, 0.5, 14)
    assert 2.0 / math.pi == pytest.approx(mean(times, np.sin(2 * np.pi * times)), rel=1e-3)


def test_uneven_steps_cost_nothing() -> None:
    times = np.linspace(0.0, 1.0, 41) ** 1.5
    assert math.sqrt(0.5) == pytest.approx(figures(times, np.sin(2 * np.pi * times)).rms, rel=2e-3)


def test_a_parabola_is_exact() -> None:
    times = np.array([0.0, 0.3, 0.5, 1.0, 2.0])
    told = figures(times, times**2)
    assert (4.0 / 3.0, math.sqrt(16.0 / 5.0)) == pytest.approx((told.average, told.rms), rel=1e-12)


def test_jumps_and_corners_bend_nothing_beside_them() -> None:
    times = np.array([0.0, 0.1, 0.2, 0.3, 0.3 + 1e-9, 0.4, 0.7, 1.0])
    told = figures(times, np.where(times <= 0.3, 5.0, 0.0))
    assert (1.5, math.sqrt(7.5)) == pytest.approx((told.average, told.rms), rel=1e-6)


def test_a_ramp_after_a_rest_is_exact() -> None:
    times = np.array([0.0, 0.2, 0.4, 0.5, 0.6, 0.8, 1.0])
    assert 0.125 == pytest.approx(mean(times, np.maximum(times - 0.5, 0.0)), rel=1e-12)


@pytest.mark.parametrize(("parts", "amperes"), SERIES)
def test_effective_current_over_a_period_follows_the_impedance(
    parts: tuple[Part, ...], amperes: float
) -> None:
    circuit = Circuit(title="", parts=parts, ground="gnd")
    wave = periodic_steady_state(circuit, tolerance=Tolerance(relative=1e-3), points=100)
    assert amperes == pytest.approx(figures(wave.times, wave.current("R1")).rms, rel=5e-4)


@pytest.mark.parametrize(("parts", "amperes"), SERIES)
def test_waveforms_that_hazards_look_at_are_exact_to_a_thousandth(
    parts: tuple[Part, ...], amperes: float
) -> None:
    circuit = Circuit(title="", parts=parts, ground="gnd")
    (repeating,) = Subject(circuit=circuit, situations={"on": Situation(name="on")}).repeating
    assert repeating.waveforms is not None
    wave = repeating.waveforms
    assert amperes == pytest.approx(figures(wave.times, wave.current("R1")).rms, rel=1e-3)


@pytest.mark.parametrize(("parts", "amperes"), SERIES)
def test_mean_power_over_a_period_is_what_the_resistance_takes(
    parts: tuple[Part, ...], amperes: float
) -> None:
    circuit = Circuit(title="", parts=parts, ground="gnd")
    wave = periodic_steady_state(circuit, tolerance=Tolerance(relative=1e-3), points=100)
    (ohms,) = (one.values["resistance"] for one in parts if one.reference == "R1")
    assert amperes**2 * float(ohms) == pytest.approx(mean(wave.times, wave.power("R1")), rel=1e-3)
