"""MOSFETs against the square law and its ohmic limit."""

from __future__ import annotations

import numpy as np
import pytest

from tests.circuit.kinds.conftest import Row, Solve


def supply(reference: str, net: str, volts: float) -> Row:
    return reference, "dc_supply", {"plus": net, "minus": "gnd"}, {"voltage": volts}


def channel(kind: str = "mosfet_n", **values: float) -> Row:
    return "Q1", kind, {"gate": "g", "drain": "d", "source": "s"}, values


GROUNDED = ("W1", "wire", {"1": "s", "2": "gnd"})


@pytest.mark.parametrize("gate", [1.6, 2.0, 3.0])
def test_saturated_drain_current_is_exactly_the_square_law(solve: Solve, gate: float) -> None:
    part = channel(threshold=1.0, transconductance=2e-3)
    solution = solve(supply("V1", "d", 6.0), supply("V2", "g", gate), part, GROUNDED)
    assert solution.pin_current("Q1", "drain")[0] == pytest.approx(1e-3 * (gate - 1.0) ** 2, rel=1e-4)


def test_drain_current_below_pinch_off_is_the_parabola(solve: Solve) -> None:
    part = channel(threshold=1.0, transconductance=2e-3)
    solution = solve(supply("V1", "d", 0.5), supply("V2", "g", 4.0), part, GROUNDED)
    assert solution.pin_current("Q1", "drain")[0] == pytest.approx(2e-3 * (3.0 * 0.5 - 0.5**2 / 2), rel=1e-6)


def test_on_resistance_is_met_at_the_gate_drive(solve: Solve) -> None:
    part = channel(threshold=1.0, on_resistance=0.05, gate_drive=4.5)
    solution = solve(supply("V1", "d", 1e-4), supply("V2", "g", 4.5), part, GROUNDED)
    assert 1e-4 / solution.pin_current("Q1", "drain")[0] == pytest.approx(0.05, rel=1e-4)


def test_gate_takes_no_current(solve: Solve) -> None:
    solution = solve(supply("V1", "d", 5.0), supply("V2", "g", 4.5), channel(), GROUNDED)
    assert solution.pin_current("Q1", "gate")[0] == 0.0


def test_closed_channel_leaks_next_to_nothing(solve: Solve) -> None:
    load = ("R1", "resistor", {"1": "v", "2": "d"}, {"resistance": 1e3})
    solution = solve(supply("V1", "v", 5.0), supply("V2", "g", 0.0), load, channel(threshold=1.5), GROUNDED)
    assert solution.current("R1")[0] < 1e-7


def test_current_falls_e_fold_each_thermal_voltage_below_threshold(solve: Solve) -> None:
    part = channel(threshold=1.0, transconductance=2e-3, body_drop=2.0)
    v_t = 1.380649e-23 * 298.15 / 1.602176634e-19
    volts = [0.6, 0.6 + v_t]
    solution = solve(
        supply("V1", "d", 5.0), supply("V2", "g", 0.6), part, GROUNDED, variations={("V2", "voltage"): volts}
    )
    low, high = solution.pin_current("Q1", "drain")
    # slope factor one: an e-fold for each V_T
    assert np.log(high / low) == pytest.approx(1.0, rel=0.01)


def test_body_diode_conducts_from_source_to_drain(solve: Solve) -> None:
    current = ("I1", "current_supply", {"plus": "s", "minus": "d"}, {"current": 0.5})
    closed = ("W2", "wire", {"1": "g", "2": "s"})
    drain = ("W3", "wire", {"1": "d", "2": "gnd"})
    part = channel(body_drop=0.8, body_test_current=0.5, threshold=2.0)
    solution = solve(current, closed, drain, part)
    assert solution.voltage("s")[0] == pytest.approx(0.8, abs=2e-3)


def test_p_channel_is_the_mirror_image(solve: Solve) -> None:
    load = ("R1", "resistor", {"1": "v", "2": "d"}, {"resistance": 100.0})
    upright = solve(supply("V1", "v", 5.0), supply("V2", "g", 1.4), load, channel(), GROUNDED)
    turned = solve(supply("V1", "v", -5.0), supply("V2", "g", -1.4), load, channel("mosfet_p"), GROUNDED)
    assert turned.voltage("d")[0] == pytest.approx(-upright.voltage("d")[0], rel=1e-9)


def test_lengthening_raises_the_saturated_current_with_drain_voltage(solve: Solve) -> None:
    part = channel(threshold=1.0, transconductance=2e-3, lengthening=0.02)
    solution = solve(
        supply("V1", "d", 5.0),
        supply("V2", "g", 2.0),
        part,
        GROUNDED,
        variations={("V1", "voltage"): [2.0, 7.0]},
    )
    low, high = solution.pin_current("Q1", "drain")
    assert high / low == pytest.approx(1.14 / 1.04, rel=1e-3)


def test_diode_connected_transistor_settles_from_a_kilovolt(solve: Solve) -> None:
    joined = ("W2", "wire", {"1": "g", "2": "d"})
    feed = ("R1", "resistor", {"1": "v", "2": "d"}, {"resistance": 1e3})
    solution = solve(
        supply("V1", "v", 1000.0), feed, joined, channel(threshold=1.0, transconductance=2.0), GROUNDED
    )
    drive = solution.voltage("g")[0] - 1.0
    assert solution.current("R1")[0] == pytest.approx(drive**2, rel=1e-3)
