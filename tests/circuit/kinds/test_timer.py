"""The eight-pin timer against its textbook formulas."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lidoff.circuit import Circuit
from lidoff.circuit.waveform import waveform
from tests.circuit.kinds.conftest import Row, Solve

RAIL = ("V1", "dc_supply", {"plus": "vcc", "minus": "gnd"}, {"voltage": 5.0})


def timer(**pins: str) -> Row:
    nets = {"ground": "gnd", "supply": "vcc", "trigger": "t", "threshold": "h", "output": "out", **pins}
    return "U1", "timer", nets


def held(reference: str, net: str, volts: float) -> Row:
    return reference, "dc_supply", {"plus": net, "minus": "gnd"}, {"voltage": volts}


@pytest.mark.parametrize(
    ("trigger", "threshold", "high"),
    [(1.0, 1.0, True), (4.0, 4.0, False), (1.0, 4.0, True)],
    ids=["set", "cleared", "set wins"],
)
def test_thirds_of_the_supply_set_and_clear_the_output(
    solve: Solve, trigger: float, threshold: float, high: bool
) -> None:
    solution = solve(RAIL, held("V2", "t", trigger), held("V3", "h", threshold), timer())
    assert solution.voltage("out")[0] == pytest.approx(5.0 if high else 0.0, abs=1e-3)


def test_reset_low_clears_whatever_the_trigger_says(solve: Solve) -> None:
    solution = solve(RAIL, held("V2", "t", 1.0), held("V3", "h", 1.0), held("V4", "r", 0.0), timer(reset="r"))
    assert solution.voltage("out")[0] == pytest.approx(0.0, abs=1e-3)


def test_control_pin_rests_at_two_thirds(solve: Solve) -> None:
    solution = solve(RAIL, held("V2", "t", 1.0), held("V3", "h", 1.0), timer(control="c"))
    assert solution.voltage("c")[0] == pytest.approx(10.0 / 3.0, rel=1e-6)


def test_discharge_pulls_low_while_the_output_is_low(solve: Solve) -> None:
    pull = ("R1", "resistor", {"1": "vcc", "2": "d"}, {"resistance": 1e3})
    solution = solve(
        RAIL,
        held("V2", "t", 1.0),
        held("V3", "h", 1.0),
        timer(discharge="d"),
        pull,
        variations={("V2", "voltage"): [1.0, 4.0], ("V3", "voltage"): [1.0, 4.0]},
    )
    assert solution.voltage("d") == pytest.approx([5.0, 5.0 * 15 / 1015], abs=1e-3)


def test_astable_runs_at_its_textbook_period(circuit_of: Callable[..., Circuit]) -> None:
    circuit = circuit_of(
        RAIL,
        timer(trigger="c", threshold="c", discharge="d"),
        ("R1", "resistor", {"1": "vcc", "2": "d"}, {"resistance": 10e3}),
        ("R2", "resistor", {"1": "d", "2": "c"}, {"resistance": 10e3}),
        ("C1", "capacitor", {"1": "c", "2": "gnd"}, {"capacitance": 10e-9}),
    )
    wave = waveform(circuit, until=0.8e-3, from_rest=True)
    out = wave.voltage("out")
    rises = wave.times[1:][(out[1:] > 2.5) & (out[:-1] <= 2.5)]
    # ln 2 · (R1 + 2·R2) · C
    assert np.diff(rises)[-1] == pytest.approx(np.log(2.0) * 30e3 * 10e-9, rel=0.01)
