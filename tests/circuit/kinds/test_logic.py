"""Gates: truth tables, thresholds, hysteresis."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lidoff.circuit import Circuit
from lidoff.circuit.waveform import waveform
from tests.circuit.kinds.conftest import Row, Solve

RAIL = ("V1", "dc_supply", {"plus": "vcc", "minus": "gnd"}, {"voltage": 5.0})
A = ("V2", "dc_supply", {"plus": "a", "minus": "gnd"}, {"voltage": 0.0})
B = ("V3", "dc_supply", {"plus": "b", "minus": "gnd"}, {"voltage": 0.0})


def one(kind: str, **values: float) -> Row:
    return "U1", kind, {"input": "a", "output": "out", "supply": "vcc", "ground": "gnd"}, values


def two(kind: str) -> Row:
    return "U1", kind, {"input_1": "a", "input_2": "b", "output": "out", "supply": "vcc", "ground": "gnd"}


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        ("and_gate", (0, 0, 0, 1)),
        ("nand_gate", (1, 1, 1, 0)),
        ("or_gate", (0, 1, 1, 1)),
        ("nor_gate", (1, 0, 0, 0)),
        ("xor_gate", (0, 1, 1, 0)),
    ],
)
def test_gate_follows_its_truth_table(solve: Solve, kind: str, expected: tuple[int, ...]) -> None:
    levels = {("V2", "voltage"): [0.0, 0.0, 5.0, 5.0], ("V3", "voltage"): [0.0, 5.0, 0.0, 5.0]}
    solution = solve(RAIL, A, B, two(kind), variations=levels)
    assert solution.voltage("out") == pytest.approx([5.0 * level for level in expected], abs=1e-3)


@pytest.mark.parametrize(
    ("kind", "expected"), [("inverter", [5.0, 5.0, 0.0, 0.0]), ("buffer", [0.0, 0.0, 5.0, 5.0])]
)
def test_single_input_turns_the_output_at_its_threshold(
    solve: Solve, kind: str, expected: list[float]
) -> None:
    solution = solve(
        RAIL, A, one(kind, threshold_share=0.4), variations={("V2", "voltage"): [0.0, 1.5, 2.5, 5.0]}
    )
    assert solution.voltage("out") == pytest.approx(expected, abs=0.01)


def test_output_resistance_drops_the_load(solve: Solve) -> None:
    load = ("R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": 1e3})
    solution = solve(RAIL, A, one("inverter", output_resistance=40.0), load)
    assert solution.voltage("out")[0] == pytest.approx(5.0 * 1000 / 1040, rel=1e-4)


def test_schmitt_oscillator_runs_at_its_textbook_period(circuit_of: Callable[..., Circuit]) -> None:
    gate = (
        "U1",
        "inverter",
        {"input": "c", "output": "out", "supply": "vcc", "ground": "gnd"},
        {"hysteresis": 0.2},
    )
    feed = ("R1", "resistor", {"1": "out", "2": "c"}, {"resistance": 10e3})
    store = ("C1", "capacitor", {"1": "c", "2": "gnd"}, {"capacitance": 10e-9})
    wave = waveform(circuit_of(RAIL, gate, feed, store), until=0.5e-3, from_rest=True)
    out = wave.voltage("out")
    rises = wave.times[1:][(out[1:] > 2.5) & (out[:-1] <= 2.5)]
    # charge from 2 V towards 5 V until 3 V, and back: 2·RC·ln(3/2)
    assert np.diff(rises)[1:].mean() == pytest.approx(2 * 1e-4 * np.log(1.5), rel=0.03)
