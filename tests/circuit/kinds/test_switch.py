"""Contacts by hand and by coil."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Part, Situation, settings_of
from lidoff.errors import UnknownName
from tests.circuit.kinds.conftest import Row, Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 5.0})


def load(net: str, reference: str = "R1") -> Row:
    return reference, "resistor", {"1": net, "2": "gnd"}, {"resistance": 1e3}


def in_words(reference: str, parameter: str, *words: str) -> list[Situation]:
    return [Situation(name=word, settings={reference: {parameter: word}}) for word in words]


def test_closed_switch_of_zero_ohms_passes_all(solve: Solve) -> None:
    switch = ("S1", "switch", {"1": "in", "2": "out"}, {"contact_resistance": 0.0})
    solution = solve(SUPPLY, switch, load("out"), situations=in_words("S1", "state", "open", "closed"))
    assert solution.voltage("out") == pytest.approx([0.0, 5.0], abs=1e-6)


@pytest.mark.parametrize(("action", "expected"), [("makes", [0.0, 5.0]), ("breaks", [5.0, 0.0])])
def test_button_makes_or_breaks_when_pressed(solve: Solve, action: str, expected: list[float]) -> None:
    button = ("S1", "button", {"1": "in", "2": "out"}, {"action": action})
    solution = solve(SUPPLY, button, load("out"), situations=in_words("S1", "state", "released", "pressed"))
    assert solution.voltage("out") == pytest.approx(expected, abs=1e-3)


def test_changeover_switch_joins_one_of_two(solve: Solve) -> None:
    switch = ("S1", "changeover_switch", {"common": "in", "a": "x", "b": "y"})
    positions = in_words("S1", "position", "a", "b", "middle")
    solution = solve(SUPPLY, switch, load("x"), load("y", "R2"), situations=positions)
    assert solution.voltage("x") == pytest.approx([5.0, 0.0, 0.0], abs=1e-3)
    assert solution.voltage("y") == pytest.approx([0.0, 5.0, 0.0], abs=1e-3)


def test_selector_switch_takes_its_pins_as_words(solve: Solve) -> None:
    switch = ("S1", "selector_switch", {"common": "in", "low": "x", "high": "y"})
    solution = solve(
        SUPPLY, switch, load("x"), load("y", "R2"), situations=in_words("S1", "position", "low", "high")
    )
    assert solution.voltage("x") == pytest.approx([5.0, 0.0], abs=1e-3)
    assert solution.voltage("y") == pytest.approx([0.0, 5.0], abs=1e-3)


def test_word_that_no_pin_has_is_refused() -> None:
    part = Part(
        reference="S1", kind="selector_switch", pins={"common": "a", "low": "b"}, values={"position": "mid"}
    )
    with pytest.raises(UnknownName, match="'mid' is not understood"):
        settings_of(part)


def relay(**values: float | str) -> Row:
    pins = {"coil_1": "coil", "coil_2": "gnd", "common": "in", "normally_open": "x", "normally_closed": "y"}
    return "K1", "relay", pins, values


def test_relay_moves_at_its_operate_voltage_of_either_sign(solve: Solve) -> None:
    coil = ("V2", "dc_supply", {"plus": "coil", "minus": "gnd"}, {"voltage": 0.0})
    volts = np.array([0.0, 3.5, 4.0, -3.5, -4.0])
    solution = solve(
        SUPPLY,
        coil,
        relay(operate_voltage=3.75),
        load("x"),
        load("y", "R2"),
        variations={("V2", "voltage"): volts},
    )
    assert solution.voltage("x") == pytest.approx([0.0, 0.0, 5.0, 0.0, 5.0], abs=1e-3)
    assert solution.voltage("y") == pytest.approx([5.0, 5.0, 0.0, 5.0, 0.0], abs=1e-3)


def test_coil_draws_its_current(solve: Solve) -> None:
    coil = ("V2", "dc_supply", {"plus": "coil", "minus": "gnd"}, {"voltage": 5.0})
    solution = solve(SUPPLY, coil, relay(coil_resistance=70.0), load("x"), load("y", "R2"))
    assert solution.current("K1")[0] == pytest.approx(5.0 / 70.0, rel=1e-9)


def test_held_relay_ignores_its_coil(solve: Solve) -> None:
    coil = ("V2", "dc_supply", {"plus": "coil", "minus": "gnd"}, {"voltage": 5.0})
    words = in_words("K1", "state", "by its coil", "released", "operated")
    solution = solve(SUPPLY, coil, relay(), load("x"), load("y", "R2"), situations=words)
    assert solution.voltage("x") == pytest.approx([5.0, 0.0, 5.0], abs=1e-3)
