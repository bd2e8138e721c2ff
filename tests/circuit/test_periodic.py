from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Circuit, Part, figures, periodic_steady_state, waveform
from lidoff.errors import ImpossibleValue, NetsUnsettled
from tests.circuit.build import capacitor, circuit, diode, inductor, led, mains, npn, resistor, supply, zener


def _dropper() -> Circuit:
    return circuit(
        mains("V", "l", "n", 230.0, 50.0),
        resistor("R1", "l", "x", 100.0),
        capacitor("C1", "x", "p", 470e-9),
        diode("D1", "p", "v"),
        diode("D2", "n", "v"),
        diode("D3", "m", "p"),
        diode("D4", "m", "n"),
        capacitor("C2", "v", "m", 100e-6),
        zener("Z1", "v", "m", 24.0),
        resistor("R2", "v", "k", 470.0),
        led("L1", "k", "j", forward_drop=3.0),
        led("L2", "j", "m", forward_drop=3.0),
        ground="m",
    )


def _closes(made: Circuit, **search: float) -> None:
    """The state after one more period, followed by plain integration, is the state before it."""
    found = periodic_steady_state(made, **search)  # type: ignore[arg-type]
    again = found.track.unknowns[-1, 0] - found.track.unknowns[0, 0]
    holds = np.array([":" not in name for name in found.system.variables])
    swing = np.abs(found.track.unknowns[:, 0]).max(axis=0)
    stored = [part.pins for part in made.parts if part.kind == "capacitor"]
    for pins in stored:
        ends = [found.voltage(net) for net in pins.values()]
        across = ends[0] - ends[1]
        assert abs(across[-1] - across[0]) < 1e-3 * max(np.abs(across).max(), 1e-3)
    assert np.isfinite(again[holds]).all()
    assert np.isfinite(swing).all()


def test_capacitive_dropper_closes_its_period_and_balances_its_power() -> None:
    made = _dropper()
    _closes(made)
    found = periodic_steady_state(made)
    assert found.period == pytest.approx(0.02)
    real = [found.power_figures(part.reference).real for part in made.parts]
    assert abs(sum(real)) < 2e-3 * max(abs(p) for p in real)
    supplied = found.power_figures("V")
    assert supplied.real < 0.0
    assert supplied.power_factor < 0.2
    line = figures(found.times, found.current("C1")).rms
    reach = 230.0 * 2.0 * np.pi * 50.0 * 470e-9  # ω·C·V, the most that the capacitor can pass
    assert 0.85 * reach < line < reach


def test_half_wave_rectifier_agrees_with_waiting_for_the_transient_to_die() -> None:
    made = circuit(
        mains("V", "a", "gnd", 12.0, 50.0),
        diode("D", "a", "c"),
        resistor("R", "c", "gnd", 1e3),
        capacitor("C", "c", "gnd", 100e-6),
    )
    found = periodic_steady_state(made)
    waited = waveform(made, 0.6, longest_step=0.0004)
    late = waited.times > 0.58
    assert found.voltage("c").max() == pytest.approx(waited.voltage("c")[late].max(), rel=1e-3)
    assert found.voltage("c").min() == pytest.approx(waited.voltage("c")[late].min(), rel=2e-3)


def test_square_wave_on_rc_swings_as_its_closed_form() -> None:
    pulse = Part(
        reference="V",
        kind="pulse_supply",
        pins={"plus": "a", "minus": "gnd"},
        values={"high": 5.0, "rise": 1e-9, "width": 0.5e-3, "fall": 1e-9, "period": 1e-3},
    )
    made = circuit(pulse, resistor("R", "a", "c", 1e3), capacitor("C", "c", "gnd", 1e-6))
    found = periodic_steady_state(made)
    top = 5.0 / (1.0 + np.exp(-0.5))
    assert found.voltage("c").max() == pytest.approx(top, rel=1e-3)
    assert found.voltage("c").min() == pytest.approx(5.0 - top, rel=1e-3)


def test_boost_converter_reaches_the_ideal_ratio() -> None:
    gate = Part(
        reference="G",
        kind="pulse_supply",
        pins={"plus": "g", "minus": "gnd"},
        values={"high": 10.0, "rise": 20e-9, "width": 5e-6, "fall": 20e-9, "period": 10e-6},
    )
    switch = Part(
        reference="Q",
        kind="mosfet_n",
        pins={"gate": "g", "drain": "x", "source": "gnd"},
        values={"on_resistance": 0.01, "gate_drive": 10.0, "threshold": 2.0},
    )
    made = circuit(
        supply("V", "a", 5.0),
        inductor("L", "a", "x", 100e-6, 0.01),
        gate,
        switch,
        diode("D", "x", "o", forward_drop=0.4, test_current=0.1, emission=1.0),
        capacitor("C", "o", "gnd", 47e-6),
        resistor("R", "o", "gnd", 50.0),
    )
    found = periodic_steady_state(made, points=100)
    # continuous current, duty 0.502: V_o + V_d = V_in/(1 − D), small resistive losses apart
    duty = 5.02e-6 / 10e-6
    assert figures(found.times, found.voltage("o")).average == pytest.approx(
        5.0 / (1.0 - duty) - 0.4, rel=0.02
    )


def test_transformer_with_rectifier_delivers_the_turns_ratio() -> None:
    transformer = Part(
        reference="T",
        kind="transformer",
        pins={"primary_1": "l", "primary_2": "n", "secondary_1": "s", "secondary_2": "gnd"},
        values={
            "turns_ratio": 20.0,
            "primary_inductance": 30.0,
            "coupling": 0.9999,
            "primary_resistance": 200.0,
            "secondary_resistance": 0.5,
        },
    )
    made = circuit(
        mains("V", "l", "n", 230.0, 50.0),
        transformer,
        diode("D", "s", "o"),
        capacitor("C", "o", "gnd", 470e-6),
        resistor("R", "o", "gnd", 1e3),
    )
    found = periodic_steady_state(made)
    peak = 230.0 * np.sqrt(2.0) * 0.05
    assert peak - 2.0 < found.voltage("o").max() < peak


def test_two_transistor_astable_has_the_period_of_its_time_constants() -> None:
    made = circuit(
        supply("V", "a", 5.0),
        resistor("RC1", "a", "c1", 1e3),
        resistor("RC2", "a", "c2", 1e3),
        resistor("RB1", "a", "b1", 47e3),
        resistor("RB2", "a", "b2", 47e3),
        capacitor("C1", "c1", "b2", 100e-9),
        capacitor("C2", "c2", "b1", 100e-9),
        npn("Q1", "c1", "b1", "gnd"),
        npn("Q2", "c2", "b2", "gnd"),
    )
    found = periodic_steady_state(made, period=6e-3, start={"C1": 3.0, "C2": 0.0})
    # T = 2·ln 2·R·C for ideal switches and a supply well above the base drop; the drop shifts it by some per cent
    ideal = 2.0 * np.log(2.0) * 47e3 * 100e-9
    assert found.period == pytest.approx(ideal, rel=0.12)
    assert found.voltage("c1").max() > 4.5
    assert found.voltage("c1").min() < 0.3


def test_a_circuit_without_rhythm_needs_a_guess() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "gnd", 1e3))
    with pytest.raises(ImpossibleValue, match="no source of this circuit repeats by itself"):
        periodic_steady_state(made)


def test_a_circuit_that_does_not_swing_says_so() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "c", 1e3), capacitor("C", "c", "gnd", 1e-6))
    with pytest.raises(NetsUnsettled, match="does not keep oscillating"):
        periodic_steady_state(made, period=1e-3)


def test_sources_of_two_rhythms_repeat_at_their_common_multiple() -> None:
    made = circuit(
        mains("V1", "a", "gnd", 1.0, 50.0),
        mains("V2", "b", "gnd", 1.0, 75.0),
        resistor("R1", "a", "c", 1e3),
        resistor("R2", "b", "c", 1e3),
        capacitor("C", "c", "gnd", 1e-6),
    )
    assert periodic_steady_state(made).period == pytest.approx(0.04)


def test_a_search_from_a_waveform_of_the_same_circuit_closes_at_once() -> None:
    made = _dropper()
    first = periodic_steady_state(made)
    again = periodic_steady_state(made, around=first.potentials_at(0))
    assert again.rounds <= 2  # one with coarse steps, one with those asked for
    assert first.voltage("v") == pytest.approx(
        np.interp(first.times, again.times, again.voltage("v")), rel=1e-3
    )
