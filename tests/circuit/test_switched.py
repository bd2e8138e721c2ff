"""Circuits that switch hard, followed with the tolerances that stand unless told otherwise, against closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Circuit, Part, Waveforms, figures, periodic_steady_state, waveform
from tests.circuit.build import capacitor, circuit, diode, inductor, npn, resistor, supply

ON_RESISTANCE = 0.05
SUPPLY, COIL, COIL_OHMS = 12.0, 20e-3, 24.0


def _pulse(net: str, high: float, period: float, edge: float = 1e-9) -> Part:
    values = {"high": high, "width": period / 2.0 - edge, "period": period, "rise": edge, "fall": edge}
    return Part(reference="VG", kind="pulse_supply", pins={"plus": net, "minus": "gnd"}, values=values)


def _mosfet(drain: str, **values: float) -> Part:
    pins = {"gate": "g", "drain": drain, "source": "gnd"}
    return Part(reference="Q1", kind="mosfet_n", pins=pins, values=values)


def _switched_coil(edge: float, freewheel: str = "diode") -> Circuit:
    return circuit(
        supply("V1", "in", SUPPLY),
        _pulse("g", 10.0, 10e-3, edge),
        _mosfet("d"),
        inductor("L1", "in", "d", COIL, COIL_OHMS),
        Part(reference="D1", kind=freewheel, pins={"anode": "d", "cathode": "in"}, values={}),
    )


def _motor(period: float, **values: float) -> Circuit:
    pins = {"plus": "in", "minus": "d"}
    return circuit(
        supply("V1", "in", 6.0),
        _pulse("g", 5.0, period),
        _mosfet("d"),
        Part(reference="M1", kind="motor", pins=pins, values={"no_load_current": 0.1, **values}),
        Part(reference="D1", kind="schottky", pins={"anode": "d", "cathode": "in"}, values={}),
    )


def _current_at(wave: Waveforms, reference: str, instant: float) -> float:
    return float(np.interp(instant, wave.times, wave.current(reference)))


@pytest.mark.parametrize("freewheel", ["diode", "schottky"])
@pytest.mark.parametrize("edge", [1e-9, 1e-7, 1e-5])
def test_a_switched_coil_decays_through_its_diode_as_the_closed_form(edge: float, freewheel: str) -> None:
    wave = waveform(_switched_coil(edge, freewheel), until=9e-3)
    begin, end = 5.2e-3, 6.2e-3
    before, after = _current_at(wave, "L1", begin), _current_at(wave, "L1", end)
    inside = (wave.times > begin) & (wave.times < end)
    drop = float(np.mean((wave.voltage("d") - SUPPLY)[inside]))
    # L·di/dt = −R·i − v_D with the diode's drop taken as its mean over the stretch
    rest = drop / COIL_OHMS
    expected = (before + rest) * np.exp(-(end - begin) * COIL_OHMS / COIL) - rest
    assert after == pytest.approx(expected, abs=1.5e-3)
    assert before > 10.0 * abs(after - expected)


def test_a_switched_coil_rises_to_the_supply_over_its_resistance() -> None:
    wave = periodic_steady_state(_switched_coil(1e-6))
    final = SUPPLY / (COIL_OHMS + ON_RESISTANCE)
    assert wave.current("L1").max() == pytest.approx(
        final * (1.0 - np.exp(-5.0 / (COIL / COIL_OHMS * 1e3))), rel=2e-3
    )
    assert wave.voltage("d").max() < SUPPLY + 1.0


def test_a_relay_driver_is_followed_through_its_switch_off() -> None:
    made = circuit(
        supply("V1", "in", 12.0),
        _pulse("g", 5.0, 50e-3),
        resistor("RB", "g", "b", 1e3),
        npn("Q1", "d", "b", "gnd"),
        inductor("K1", "in", "d", 0.2, 300.0),
        diode("D1", "d", "in"),
    )
    wave = waveform(made, until=50e-3)
    saturated = float(np.interp(24e-3, wave.times, wave.voltage("d")))
    assert _current_at(wave, "K1", 24e-3) == pytest.approx((12.0 - saturated) / 300.0, rel=1e-3)
    assert _current_at(wave, "K1", 49e-3) == pytest.approx(0.0, abs=1e-5)


@pytest.mark.parametrize("inductance", [0.0, 0.5e-3])
def test_a_pulsed_motor_takes_the_mean_current_of_its_torque(inductance: float) -> None:
    told = {"inertia": 5e-8, "load_torque": 0.00022}
    more = {"inductance": inductance} if inductance else {}
    wave = periodic_steady_state(_motor(50e-6, **told, **more))
    # over a period that repeats, the mean torque is that of friction and load: k·mean(i) = k·i_0 + T
    expected = 0.1 + 0.00022 / 0.0022
    assert figures(wave.times, wave.current("M1")).average == pytest.approx(expected, rel=2e-3)


def test_a_pulsed_motor_without_inductance_is_followed_in_few_steps() -> None:
    wave = waveform(_motor(50e-6), until=0.2e-3)
    assert len(wave.times) < 2000
    assert wave.current("M1").max() == pytest.approx(0.1, rel=1e-3)


@pytest.mark.parametrize(
    ("volts", "start"),
    [
        (5.0, {"C1": 3.0}),
        (9.0, {"C1": 8.0, "C2": -5.0}),  # drives a base by volts at the first instant
    ],
)
def test_a_blinker_keeps_the_period_of_its_bases(volts: float, start: dict[str, float]) -> None:
    ohms, farads = 47e3, 10e-6
    made = circuit(
        supply("V1", "in", volts),
        resistor("RC1", "in", "c1", 1e3),
        resistor("RC2", "in", "c2", 1e3),
        resistor("RB1", "in", "b1", ohms),
        resistor("RB2", "in", "b2", ohms),
        capacitor("C1", "c1", "b2", farads),
        capacitor("C2", "c2", "b1", farads),
        npn("Q1", "c1", "b1", "gnd"),
        npn("Q2", "c2", "b2", "gnd"),
    )
    guess = 1.4 * ohms * farads
    wave = periodic_steady_state(made, period=guess, start=start)
    # A base is thrown down by the collector's swing from where it conducts, and comes back to where the other lets go:
    # half a period is R·C·ln((V − v_low)/(V − v_on)), ln 2 being that of a supply far above all drops.
    base, collector = wave.voltage("b1"), wave.voltage("c1")
    conducting, saturated = float(np.median(base[base > 0.5])), float(np.median(collector[collector < 0.5]))
    low = conducting - (volts - saturated)
    turning = 0.6
    expected = 2.0 * ohms * farads * np.log((volts - low) / (volts - turning))
    assert wave.period == pytest.approx(expected, rel=0.02)
