from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from lidoff.circuit import Part, Tolerance, figures, operating_point, waveform
from lidoff.errors import ImpossibleValue, UnknownName
from tests.circuit.build import capacitor, circuit, diode, inductor, mains, npn, resistor, supply

FINE = Tolerance(relative=1e-7, voltage=1e-10, current=1e-14)


@settings(max_examples=15, deadline=None)
@given(
    ohms=st.floats(1.0, 1e5),
    farads=st.floats(1e-9, 1e-3),
    volts=st.floats(-50.0, 50.0).filter(lambda v: abs(v) > 0.1),
)
def test_rc_step_follows_its_closed_form(ohms: float, farads: float, volts: float) -> None:
    tau = ohms * farads
    made = circuit(supply("V", "a", volts), resistor("R", "a", "c", ohms), capacitor("C", "c", "gnd", farads))
    found = waveform(made, 5.0 * tau, from_rest=True)
    expected = volts * (1.0 - np.exp(-found.times / tau))
    assert np.abs(found.voltage("c") - expected).max() < 2e-3 * abs(volts)


def test_rlc_ring_follows_its_closed_form() -> None:
    ohms, henries, farads = 10.0, 1e-3, 1e-6
    made = circuit(
        resistor("R", "a", "gnd", ohms), inductor("L", "a", "c", henries), capacitor("C", "c", "gnd", farads)
    )
    found = waveform(made, 2e-3, start={"C": 10.0}, tolerance=FINE)
    alpha = ohms / (2.0 * henries)
    omega = np.sqrt(1.0 / (henries * farads) - alpha**2)
    t = found.times
    expected = 10.0 * np.exp(-alpha * t) * (np.cos(omega * t) + alpha / omega * np.sin(omega * t))
    assert np.abs(found.voltage("c") - expected).max() < 5e-4


def test_diode_and_capacitor_follow_a_reference_integrator() -> None:
    i_s, n_vt, ohms, farads = 1e-9, 0.05, 1e3, 1e-6
    made = circuit(
        mains("V", "a", "gnd", 10.0 / np.sqrt(2.0), 50.0),
        diode(
            "D", "a", "c", saturation_current=i_s, emission=n_vt / 0.02569257912108585, series_resistance=1.0
        ),
        capacitor("C", "c", "gnd", farads),
        resistor("R", "c", "gnd", ohms),
    )
    found = waveform(made, 0.03, tolerance=Tolerance(relative=1e-6, voltage=1e-9))

    def diode_current(volts: float) -> float:
        low, high = -1e-9, max(volts, 0.0)  # bisection on the current through junction and 1 Ω
        for _ in range(200):
            middle = 0.5 * (low + high)
            drop = n_vt * np.log1p(max(middle, -0.999 * i_s) / i_s) + middle
            low, high = (middle, high) if drop < volts else (low, middle)
        return 0.5 * (low + high)

    def rate(t: float, v: np.ndarray) -> list[float]:
        drive = 10.0 * np.sin(2.0 * np.pi * 50.0 * t)
        return [(diode_current(drive - v[0]) - v[0] / ohms) / farads]

    instants = np.linspace(1e-3, 0.029, 15)
    reference = solve_ivp(rate, (0.0, 0.03), [0.0], method="LSODA", rtol=1e-8, atol=1e-10, t_eval=instants)
    assert np.abs(found.voltage_at("c", instants) - reference.y[0]).max() < 2e-4


def test_a_corner_of_a_pulse_is_met_exactly() -> None:
    pulse = Part(
        reference="V",
        kind="pulse_supply",
        pins={"plus": "a", "minus": "gnd"},
        values={"high": 5.0, "delay": 1e-3, "rise": 1e-6, "width": 2e-3, "fall": 1e-6, "period": 1.0},
    )
    made = circuit(pulse, resistor("R", "a", "c", 1e3), capacitor("C", "c", "gnd", 1e-7))
    found = waveform(made, 5e-3)
    for corner in (1e-3, 1.001e-3, 3.001e-3, 3.002e-3):
        assert np.abs(found.times - corner).min() < 1e-12
    assert found.voltage_at("c", np.array([0.999e-3]))[0] == pytest.approx(0.0, abs=1e-5)


def test_charge_into_a_capacitor_equals_its_rise() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "c", 1e3), capacitor("C", "c", "gnd", 1e-6))
    found = waveform(made, 3e-3, from_rest=True)
    charge = np.trapezoid(found.current("C"), found.times)
    assert charge == pytest.approx(1e-6 * found.voltage("c")[-1], rel=1e-3)


def test_currents_into_a_net_sum_to_zero_at_every_instant() -> None:
    made = circuit(
        mains("V", "a", "gnd", 12.0, 50.0),
        diode("D", "a", "c"),
        capacitor("C", "c", "gnd", 1e-4),
        resistor("R", "c", "gnd", 1e3),
    )
    found = waveform(made, 0.05)
    into = found.pin_current("D", "cathode") + found.current("C") + found.current("R")
    assert np.abs(into).max() < 1e-3 * np.abs(found.current("D")).max()


def test_figures_of_a_sine() -> None:
    t = np.linspace(0.0, 1.0, 2001)
    found = figures(t, 325.0 * np.sin(2.0 * np.pi * t))
    assert found.average == pytest.approx(0.0, abs=1e-9)
    assert found.rms == pytest.approx(325.0 / np.sqrt(2.0), rel=1e-5)
    assert found.crest_factor == pytest.approx(np.sqrt(2.0), rel=1e-5)


def test_figures_of_a_ramp_are_exact() -> None:
    found = figures(np.array([0.0, 2.0]), np.array([0.0, 6.0]))
    assert found.rms == pytest.approx(6.0 / np.sqrt(3.0))


def test_a_waveform_needs_a_time_above_zero() -> None:
    with pytest.raises(ImpossibleValue, match=r"cannot last 0 s; give a time above zero"):
        waveform(circuit(resistor("R", "a", "gnd", 1.0)), 0.0)


def test_a_start_value_for_a_part_without_storage_is_refused() -> None:
    made = circuit(resistor("R", "a", "gnd", 1.0), capacitor("C", "a", "gnd", 1e-6))
    with pytest.raises(UnknownName, match=r"'R' stores no charge or flux"):
        waveform(made, 1.0, start={"R": 1.0})


def test_a_coil_at_an_open_transistor_does_not_ring_from_where_its_net_stood() -> None:
    parts = (
        capacitor("C", "rail", "gnd", 1e-6),
        inductor("L", "rail", "tap", 1.0),
        resistor("R", "base", "gnd", 1e4),
        npn("Q", "tap", "base", "gnd"),
    )
    before = operating_point(circuit(supply("V", "rail", 24.0), *parts)).potentials_at(0)
    found = waveform(circuit(*parts), 0.1, start={"C": 24.0}, around=before)
    assert found.voltage("tap") == pytest.approx(24.0, rel=0.01)
    assert (
        len(found.times) < 500
    )  # the coil with a transistor's stray capacitance would ring for milliseconds
