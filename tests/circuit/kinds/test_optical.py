"""Light into current."""

from __future__ import annotations

import numpy as np
import pytest

from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "v", "minus": "gnd"}, {"voltage": 5.0})
LOAD = ("R1", "resistor", {"1": "a", "2": "gnd"}, {"resistance": 1e3})


def test_photodiode_in_reverse_gives_its_photocurrent(solve: Solve) -> None:
    values = {"current_per_lux": 70e-9, "dark_current": 0.0}
    part = ("D1", "photodiode", {"anode": "a", "cathode": "v"}, values)
    solution = solve(SUPPLY, LOAD, part, variations={("D1", "light"): [0.0, 100.0, 1000.0]})
    assert solution.voltage("a") == pytest.approx([0.0, 7e-3, 70e-3], abs=1e-5)


def test_photodiode_without_a_circuit_lifts_itself_by_a_junction(solve: Solve) -> None:
    high = ("R1", "resistor", {"1": "a", "2": "gnd"}, {"resistance": 1e9})
    part = ("D1", "photodiode", {"anode": "a", "cathode": "gnd"}, {"light": 1000.0})
    assert 0.3 < solve(high, part).voltage("a")[0] < 0.6


def test_phototransistor_follows_the_light_until_it_saturates(solve: Solve) -> None:
    part = (
        "Q1",
        "phototransistor",
        {"collector": "v", "emitter": "a"},
        {"current_per_lux": 2e-6, "dark_current": 0.0},
    )
    solution = solve(SUPPLY, LOAD, part, variations={("Q1", "light"): [10.0, 100.0, 1e5]})
    dim, lit, glaring = solution.voltage("a")
    assert [dim, lit] == pytest.approx([0.02, 0.2], rel=1e-3)
    assert 4.5 < glaring < 5.0


def test_optocoupler_hands_on_its_share_of_the_current(solve: Solve) -> None:
    source = ("I1", "current_supply", {"plus": "led", "minus": "far"}, {"current": 0.01})
    far = ("W1", "wire", {"1": "far", "2": "gnd"})
    pins = {"anode": "led", "cathode": "far", "collector": "c", "emitter": "gnd"}
    pull = ("R1", "resistor", {"1": "v", "2": "c"}, {"resistance": 100.0})
    part = ("U1", "optocoupler", pins, {"transfer_ratio": 0.5})
    solution = solve(SUPPLY, source, far, pull, part, variations={("I1", "current"): [0.0, 0.001, 0.01]})
    assert solution.pin_current("U1", "collector") == pytest.approx([0.0, 0.5e-3, 5e-3], rel=1e-3, abs=1e-8)


def test_optocoupler_joins_no_current_between_its_sides(solve: Solve) -> None:
    pins = {"anode": "led", "cathode": "gnd", "collector": "c", "emitter": "e"}
    other = ("V2", "dc_supply", {"plus": "p", "minus": "e"}, {"voltage": 12.0})
    pull = ("R1", "resistor", {"1": "p", "2": "c"}, {"resistance": 1e3})
    feed = ("R2", "resistor", {"1": "v", "2": "led"}, {"resistance": 1e3})
    solution = solve(SUPPLY, feed, other, pull, ("U1", "optocoupler", pins))
    sides = solution.pin_current("U1", "collector") + solution.pin_current("U1", "emitter")
    assert np.abs(sides).max() < 1e-10
