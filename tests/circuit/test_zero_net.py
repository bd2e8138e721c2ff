from __future__ import annotations

from dataclasses import replace

import pytest

from lidoff.circuit import Circuit, Part, operating_point
from lidoff.circuit.zero_net import zero_nets
from tests.circuit.build import capacitor, circuit, resistor, supply


def _lamp(*more: Part) -> Circuit:
    """A supply with its rail named by pins, as a board gives it before any net has a name."""
    return circuit(
        supply("J1", "J1.1", 5.0, minus="J1.2"),
        resistor("R1", "J1.1", "R1.2", 100.0),
        resistor("R2", "R1.2", "J1.2", 100.0),
        *more,
    )


def test_a_named_ground_is_zero() -> None:
    assert zero_nets(circuit(supply("V", "a", 5.0), resistor("R", "a", "gnd", 1.0))) == ("gnd",)


def test_without_a_named_ground_the_supplys_minus_is_zero_however_many_pins_its_plus_gets() -> None:
    crowded = _lamp(capacitor("C1", "J1.1", "R1.2", 1e-6), resistor("R3", "J1.1", "R1.2", 1e3))
    assert zero_nets(crowded) == ("J1.2",)
    found = operating_point(crowded)
    assert found.voltage("J1.2")[0] == 0.0
    assert found.voltage("J1.1")[0] == pytest.approx(5.0)


def test_a_net_said_to_be_ground_goes_before_a_supplys_minus() -> None:
    assert zero_nets(replace(_lamp(), rails={"R1.2": "ground"}))[0] == "R1.2"


def test_of_cells_in_series_the_lowest_end_is_zero() -> None:
    stack = circuit(
        supply("B1", "middle", 1.5, minus="low"),
        supply("B2", "top", 1.5, minus="middle"),
        resistor("R1", "top", "low", 100.0),
        resistor("R2", "middle", "top", 100.0),
    )
    assert zero_nets(stack) == ("low", "middle")
    assert operating_point(stack).voltage("top")[0] == pytest.approx(3.0)


def test_an_island_without_a_supply_is_told_against_its_net_with_most_pins() -> None:
    apart = [resistor("R8", "x", "y", 1.0), resistor("R9", "y", "z", 1.0)]
    assert operating_point(_lamp(*apart)).system.references["x"] == "y"
