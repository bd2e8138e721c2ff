"""Coils: winding resistance at rest, transformation of alternating voltage."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lidoff.circuit import Circuit
from lidoff.circuit.waveform import waveform
from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 5.0})
LOAD = ("R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": 10.0})
MAINS = ("V1", "ac_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 230.0, "frequency": 50.0})
PAIR = {"primary_1": "in", "primary_2": "gnd", "secondary_1": "out", "secondary_2": "gnd"}


def amplitude(circuit: Circuit, net: str) -> float:
    """Largest voltage in the last of five periods of 50 Hz."""
    wave = waveform(circuit, until=0.1, longest_step=2e-4)
    late = wave.times > 0.08
    return float(np.abs(wave.voltage(net)[late]).max())


@pytest.mark.parametrize("ohms", [0.0, 2.5])
def test_inductor_at_rest_is_its_winding_resistance(solve: Solve, ohms: float) -> None:
    coil = ("L1", "inductor", {"1": "in", "2": "out"}, {"inductance": 1e-3, "winding_resistance": ohms})
    solution = solve(SUPPLY, coil, LOAD)
    assert solution.current("L1")[0] == pytest.approx(5.0 / (10.0 + ohms))


def test_inductor_beside_a_supply_keeps_its_inductance(circuit_of: Callable[..., Circuit]) -> None:
    coil = ("L1", "inductor", {"1": "in", "2": "out"}, {"inductance": 10e-3, "winding_resistance": 0.0})
    wave = waveform(circuit_of(SUPPLY, coil, LOAD), until=2e-3, from_rest=True)
    # i = 0.5 A · (1 − e^(−t/1 ms))
    assert float(np.interp(1e-3, wave.times, wave.voltage("out"))) == pytest.approx(
        5.0 * (1 - np.exp(-1)), rel=1e-3
    )


def test_transformer_at_rest_is_its_winding_resistances(solve: Solve) -> None:
    values = {"primary_resistance": 3.0}
    solution = solve(SUPPLY, ("T1", "transformer", PAIR, values), LOAD)
    assert solution.current("T1")[0] == pytest.approx(5.0 / 3.0)
    assert solution.voltage("out")[0] == pytest.approx(0.0, abs=1e-9)


def test_ideal_transformer_divides_by_its_turns_ratio(circuit_of: Callable[..., Circuit]) -> None:
    values = {"turns_ratio": 20.0, "coupling": 1.0, "primary_resistance": 1e-3, "secondary_resistance": 1e-6}
    circuit = circuit_of(MAINS, ("T1", "transformer", PAIR, values), LOAD)
    assert amplitude(circuit, "out") == pytest.approx(230.0 * 2**0.5 / 20.0, rel=2e-3)


def test_coupling_lowers_the_open_secondary_voltage_in_proportion(circuit_of: Callable[..., Circuit]) -> None:
    values = {"turns_ratio": 10.0, "coupling": 0.9, "primary_resistance": 1e-3}
    light = ("R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": 1e6})
    circuit = circuit_of(MAINS, ("T1", "transformer", PAIR, values), light)
    # v2 = M·di/dt = k·√(L1·L2)/L1 · v1
    assert amplitude(circuit, "out") == pytest.approx(0.9 * 230.0 * 2**0.5 / 10.0, rel=2e-3)


def test_tertiary_winding_adds_in_a_centre_tapped_pair(circuit_of: Callable[..., Circuit]) -> None:
    pins = {
        "primary_1": "in", "primary_2": "gnd", "secondary_1": "out", "secondary_2": "tap",
        "tertiary_1": "tap", "tertiary_2": "low",
    }  # fmt: skip
    values = {"turns_ratio": 20.0, "tertiary_turns_ratio": 40.0, "coupling": 1.0, "primary_resistance": 1e-3}
    tap = ("W1", "wire", {"1": "low", "2": "gnd"})
    light = ("R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": 1e4})
    circuit = circuit_of(MAINS, ("T1", "three_winding_transformer", pins, values), tap, light)
    assert amplitude(circuit, "out") == pytest.approx(230.0 * 2**0.5 * (1 / 20 + 1 / 40), rel=2e-3)
