"""Controllers: what each word makes of a pin."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lidoff.circuit import Circuit, Part, Situation, kind_of, settings_of
from lidoff.circuit.waveform import waveform
from lidoff.errors import CircuitFault, ImpossibleValue, UnknownName
from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "vcc", "minus": "gnd"}, {"voltage": 5.0})
ROLES = {"8": "supply", "1": "ground", "2": "output"}
LOAD = ("R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": 1e3})


def controller(**values: float | str) -> Part:
    pins = {"8": "vcc", "1": "gnd", "2": "out"}
    return Part(reference="U1", kind="controller", pins=pins, values=values, pin_roles=ROLES)


def words(*texts: float | str) -> list[Situation]:
    return [Situation(name=str(text), settings={"U1": {"2": text}}) for text in texts]


def test_each_word_drives_the_pin_as_it_says(solve: Solve) -> None:
    told = words("low", "high", "input", "input with pull-up", "input with pull-down")
    part = controller(drive_resistance=25.0, pull_up_resistance=40e3)
    solution = solve(SUPPLY, part, LOAD, situations=told)
    expected = [0.0, 5.0 * 1000 / 1025, 0.0, 5.0 * 1000 / 41000, 0.0]
    assert solution.voltage("out") == pytest.approx(expected, abs=1e-6)


def test_share_of_time_high_gives_the_average_behind_the_drive_resistance(solve: Solve) -> None:
    solution = solve(SUPPLY, controller(drive_resistance=25.0), LOAD, situations=words(0.3))
    assert solution.voltage("out")[0] == pytest.approx(0.3 * 5.0 * 1000 / 1025, rel=1e-6)


@pytest.mark.parametrize("share", [0.05, 0.5, 0.9])
def test_a_share_of_time_high_takes_from_the_supply_what_the_load_gets(solve: Solve, share: float) -> None:
    # High for that share of the time, 5 V / (10 kΩ + 25 Ω) flow from the supply; low, nothing does.
    load = ("R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": 10e3})
    part = controller(drive_resistance=25.0, supply_current=0.0)
    solution = solve(SUPPLY, part, load, situations=words(share))
    assert solution.pin_current("U1", "8")[0] == pytest.approx(share * 5.0 / 10025, rel=1e-3)


def test_a_share_of_time_low_takes_nothing_from_the_supply_by_the_pin(solve: Solve) -> None:
    # An LED's series resistor up to the supply: its current goes through the pin to ground while the pin is low.
    load = ("R1", "resistor", {"1": "vcc", "2": "out"}, {"resistance": 10e3})
    part = controller(drive_resistance=25.0, supply_current=0.0)
    solution = solve(SUPPLY, part, load, situations=words(0.25))
    assert solution.pin_current("U1", "8")[0] == pytest.approx(0.0, abs=1e-7)
    assert solution.current("R1")[0] == pytest.approx(0.75 * 5.0 / 10025, rel=1e-3)


def test_a_pin_without_a_load_does_not_short_its_rails(solve: Solve) -> None:
    part = controller(supply_current=0.0)
    solution = solve(SUPPLY, part, situations=words(0.5))
    assert solution.voltage("out")[0] == pytest.approx(2.5, abs=1e-3)
    assert abs(solution.pin_current("U1", "8")[0]) < 1e-7


def test_an_input_ties_nothing_and_a_share_of_time_does(solve: Solve) -> None:
    free = ("R1", "resistor", {"1": "out", "2": "far"}, {"resistance": 1e3})
    solution = solve(SUPPLY, controller(), free, situations=words("input", 0.5))
    assert "far" in solution.undetermined[0]
    assert "far" not in solution.undetermined[1]


def test_a_pin_with_a_pattern_may_be_told_by_its_share(solve: Solve) -> None:
    part = controller(**{"2_period": 1e-3, "2": 0.5, "supply_current": 0.0})
    solution = solve(SUPPLY, part, LOAD)
    assert solution.voltage("out")[0] == pytest.approx(2.5 * 1000 / 1025, rel=1e-6)
    assert solution.pin_current("U1", "8")[0] == pytest.approx(2.5 / 1025, rel=1e-3)


def test_supply_pin_carries_its_own_current_and_the_driven_one(solve: Solve) -> None:
    part = controller(supply_current=2e-3, drive_resistance=25.0)
    solution = solve(SUPPLY, part, LOAD, situations=words("low", "high"))
    assert solution.pin_current("U1", "8") == pytest.approx([2e-3, 2e-3 + 5.0 / 1025], rel=1e-6)


def test_unpowered_controller_draws_nothing(solve: Solve) -> None:
    off = [Situation(name="off", settings={"V1": {"connected": "disconnected"}})]
    solution = solve(SUPPLY, controller(), LOAD, situations=off)
    assert solution.voltage("vcc")[0] == pytest.approx(0.0, abs=1e-9)


def test_clamp_lets_a_driven_pin_feed_an_unpowered_supply(solve: Solve) -> None:
    outside = ("V2", "dc_supply", {"plus": "x", "minus": "gnd"}, {"voltage": 5.0})
    feed = ("R2", "resistor", {"1": "x", "2": "out"}, {"resistance": 1e3})
    rail = ("R3", "resistor", {"1": "vcc", "2": "gnd"}, {"resistance": 10e3})
    part = controller(clamp_drop=0.6, supply_current=0.0)
    solution = solve(outside, feed, part, rail)
    assert 3.8 < solution.voltage("vcc")[0] < 4.1


def test_pattern_drives_the_pin_in_its_rhythm(circuit_of: Callable[..., Circuit]) -> None:
    told: dict[str, float | str] = {
        "2": "pattern",
        "2_period": 1e-3,
        "2_share": 0.25,
        "drive_resistance": 25.0,
    }
    part = controller(**told)
    wave = waveform(circuit_of(SUPPLY, part, LOAD), until=3e-3)
    late = wave.times > 1e-3
    high = wave.voltage("out")[late] > 2.5
    share = np.trapezoid(high.astype(float), wave.times[late]) / (wave.times[late][-1] - wave.times[late][0])
    assert share == pytest.approx(0.25, abs=0.01)


def test_pattern_without_a_period_is_no_word_of_the_pin() -> None:
    with pytest.raises(UnknownName, match="'pattern' is not understood"):
        settings_of(controller(**{"2": "pattern"}))


def test_share_above_one_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="cannot be"):
        settings_of(controller(**{"2": 1.5}))


def test_controller_without_a_supply_role_is_refused_with_the_cure() -> None:
    part = Part(reference="U1", kind="controller", pins={"1": "gnd"}, pin_roles={"1": "ground"})
    with pytest.raises(CircuitFault, match="role supply; name its supply pin in pin_roles"):
        kind_of(part).elements(part)


def test_an_edge_of_a_pattern_does_not_short_the_supply(circuit_of: Callable[..., Circuit]) -> None:
    told: dict[str, float | str] = {"2": "pattern", "2_period": 1e-3, "supply_current": 0.0}
    wave = waveform(circuit_of(SUPPLY, controller(**told), LOAD), until=2e-3)
    # the load's 4.9 mA; two of 25 Ω between the rails would take 50 mA more
    assert wave.pin_current("U1", "8").max() == pytest.approx(5.0 / 1025, rel=0.15)


def test_a_pattern_takes_its_own_current_from_the_rail_it_stands_at(
    circuit_of: Callable[..., Circuit],
) -> None:
    told: dict[str, float | str] = {"2": "pattern", "2_period": 1e-3, "supply_current": 0.0}
    wave = waveform(circuit_of(SUPPLY, controller(**told), LOAD), until=1e-3)
    at = np.searchsorted(wave.times, [0.25e-3, 0.75e-3])
    assert wave.pin_current("U1", "8")[at] == pytest.approx([5.0 / 1025, 0.0], abs=1e-8)
    assert wave.pin_current("U1", "1")[at] == pytest.approx([0.0, 0.0], abs=1e-8)
