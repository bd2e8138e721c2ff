"""A diode across a coil is told by the way it points."""

from __future__ import annotations

import pytest

from lidoff.circuit import Circuit, Part, Situation, operating_point
from lidoff.insight import Block, recognise
from lidoff.insight.sketch import piece, sketch

SUPPLY = piece("V1", "dc_supply", "vin gnd", voltage=24.0)
GATE = piece("R1", "resistor", "vin gate", resistance=1e4)
FROM_BELOW = piece("Q1", "mosfet_n", "gate c gnd")
COILS = {
    "relay": piece("K1", "relay", "vin c vin out -"),
    "motor": piece("M1", "motor", "vin c"),
    "motor that turns back": piece("M1", "motor", "c vin"),
    "inductor": piece("L1", "inductor", "c vin", inductance=1e-3),
}


def diode_block(*parts: Part) -> Block:
    """The block that explains D1, with the circuit solved."""
    return found_in(sketch("", *parts))


def found_in(circuit: Circuit) -> Block:
    solution = operating_point(circuit, situations=[Situation(name="on")])
    return next(block for block in recognise(circuit, solution) if "D1" in block.parts)


@pytest.mark.parametrize("coil", COILS.values(), ids=COILS)
def test_with_its_cathode_at_the_supply_it_is_a_flyback_diode(coil: Part) -> None:
    block = diode_block(SUPPLY, GATE, FROM_BELOW, coil, piece("D1", "diode", "c vin"))
    assert "flyback_diode" == block.kind


@pytest.mark.parametrize("coil", COILS.values(), ids=COILS)
def test_with_its_anode_at_the_supply_it_is_told_to_be_the_wrong_way_round(coil: Part) -> None:
    block = diode_block(SUPPLY, GATE, FROM_BELOW, coil, piece("D1", "diode", "vin c"))
    assert "reversed_flyback_diode" == block.kind
    assert "the wrong way round: it conducts while the switch is on and shorts the supply" in block.purpose


def test_behind_a_switch_in_the_upper_line_the_wrong_way_is_told_as_well() -> None:
    block = diode_block(
        SUPPLY,
        piece("S1", "switch", "vin k", state=1.0),
        piece("K1", "relay", "k gnd vin out -"),
        piece("D1", "diode", "k gnd"),
    )
    assert "reversed_flyback_diode" == block.kind


def test_between_the_ground_and_a_negative_supply_the_transistor_tells_which_way_is_right() -> None:
    block = diode_block(
        piece("V1", "dc_supply", "vin gnd", voltage=12.0),
        piece("V2", "dc_supply", "gnd low", voltage=12.0),
        piece("K1", "relay", "gnd c vin out -"),
        piece("Q1", "npn", "c base low"),
        piece("R1", "resistor", "vin base", resistance=1e4),
        piece("D1", "diode", "c gnd"),
    )
    assert "flyback_diode" == block.kind


def test_a_diode_past_a_choke_that_nothing_switches_is_not_told_to_be_wrong() -> None:
    blocks = recognise(
        sketch(
            "",
            SUPPLY,
            piece("L1", "inductor", "vin out", inductance=1e-3),
            piece("D1", "diode", "vin out"),
            piece("C1", "electrolytic_capacitor", "out gnd", capacitance=1e-4),
        )
    )
    assert [] == [block.kind for block in blocks if block.kind.endswith("flyback_diode")]


def test_the_voltage_that_the_wrong_way_leaves_for_the_coil_is_worked_out() -> None:
    coil = piece("K1", "relay", "vin c vin out -", coil_resistance=1.5e3)
    block = diode_block(
        SUPPLY,
        piece("R1", "resistor", "vin base", resistance=1e4),
        piece("Q1", "npn", "c base gnd"),
        coil,
        piece("D1", "diode", "vin c"),
    )
    left = next(one for one in block.sums if one.says == "voltage that is left for the load")
    assert 0.5 < left.result.value < 1.2


def test_a_relay_whose_coil_gets_too_little_is_told_to_stay_open() -> None:
    circuit = sketch(
        "",
        SUPPLY,
        piece("R1", "resistor", "vin base", resistance=1e4),
        piece("Q1", "npn", "c base gnd"),
        piece("K1", "relay", "vin c vin out -", operate_voltage=17.0),
        piece("D1", "diode", "vin c"),
    )
    solution = operating_point(circuit, situations=[Situation(name="on")])
    relay = next(block for block in recognise(circuit, solution) if block.kind == "relay_drive")
    assert relay.unusual[-1].endswith("the contact stays open")
