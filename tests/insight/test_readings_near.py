"""Readings stand beside the sums that they are about, also by way of parts in series."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lidoff.circuit import Circuit, Situation, Spread, operating_point
from lidoff.evidence import AcrossPart, Comparison, InPart, Measured, NetVoltage, Reading, Target
from lidoff.insight import Beside, Sum, read_among, recognise, told_once
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.view import view_of
from lidoff.quantities import Quantity

BRIGHT = Situation(name="bright")
DIM = Situation(name="dim", settings={"V1": {"voltage": 4.0}})


def lamp() -> Circuit:
    """An LED behind a resistor of 100 Ω ± 1 % and a wire."""
    resistor = replace(
        piece("R1", "resistor", "v a", resistance=100.0),
        spreads={"resistance": Spread(half_width=0.01, relative=True)},
    )
    return sketch(
        "",
        piece("V1", "dc_supply", "v gnd", voltage=5.0),
        resistor,
        piece("W1", "wire", "a b"),
        piece("D1", "led", "b gnd", forward_drop=2.0),
    )


def read(name: str, target: Target, value: float, situation: str, uncertainty: float = 0.0) -> Comparison:
    quantity = Quantity(value, target.unit, uncertainty)
    reading = Reading(name=name, target=target, situation=situation)
    return Comparison(
        measured=Measured(reading=reading, quantity=quantity),
        predicted=quantity,
        difference=0.0,
        uncertainty=uncertainty,
    )


def current_sum(*readings: Comparison) -> Sum:
    solution = operating_point(lamp(), situations=[BRIGHT, DIM])
    [block] = recognise(lamp(), solution, comparisons=readings)
    return next(one for one in block.sums if one.says == "LED current")


def those_read(one: Sum) -> list[Beside]:
    return [near for near in one.beside if near.what != "solved"]


def test_a_voltage_across_the_resistor_tells_the_current_with_the_resistors_tolerance() -> None:
    [near] = those_read(current_sum(read("drop", AcrossPart(reference="R1"), 3.0, "bright", 0.03)))
    # 3 V / 100 Ω; 1 % from the reading and 1 %/√3 from the resistor's limits add in squares.
    assert 0.03 == pytest.approx(near.quantity.value)
    assert 0.03 * (0.01**2 + 0.01**2 / 3.0) ** 0.5 == pytest.approx(near.quantity.uncertainty)
    assert "A" == near.quantity.unit
    assert "voltage across R1 over its resistance" == near.how


def test_a_current_read_in_a_wire_in_series_counts() -> None:
    [near] = those_read(current_sum(read("clamp", InPart(what="current", reference="W1"), 0.029, "bright")))
    assert ("clamp", "", 0.029) == (near.what, near.how, near.quantity.value)


def test_a_sum_is_told_where_readings_are_rather_than_where_the_current_is_highest() -> None:
    one = current_sum(read("dim_drop", AcrossPart(reference="R1"), 2.0, "dim"))
    assert "dim" == one.situation
    assert ["dim"] == [near.situation for near in those_read(one)]
    assert "bright" == current_sum().situation


def test_a_reading_of_another_situation_does_not_stand_beside_it() -> None:
    both = (
        read("a", AcrossPart(reference="R1"), 3.0, "bright"),
        read("b", AcrossPart(reference="D1"), 2.0, "bright"),
        read("c", AcrossPart(reference="R1"), 2.0, "dim"),
    )
    one = current_sum(*both)
    assert "bright" == one.situation
    assert ["a"] == [near.what for near in those_read(one)]


def test_what_has_another_unit_does_not_stand_beside_it() -> None:
    one = current_sum(read("volts", NetVoltage(net="b"), 2.0, "bright"))
    assert [] == those_read(one)
    assert {"A"} == {near.quantity.unit for near in one.beside}


def test_parts_in_series_are_found_through_wires_and_end_at_a_junction() -> None:
    assert frozenset({"V1", "R1", "W1", "D1"}) == view_of(lamp()).series["R1"]
    circuit = lamp()
    parted = replace(circuit, parts=(*circuit.parts, piece("R2", "resistor", "b gnd", resistance=1e3)))
    assert frozenset({"R1", "W1"}) >= view_of(parted).series["R1"] - {"V1"}
    assert "D1" not in view_of(parted).series["R1"]


def test_of_blocks_that_are_alike_the_lowest_and_the_highest_reading_are_told() -> None:
    pairs = [
        part
        for number in (1, 2, 3)
        for part in (
            piece(f"R{number}", "resistor", f"v a{number}", resistance=100.0),
            piece(f"D{number}", "led", f"a{number} gnd", forward_drop=2.0),
        )
    ]
    circuit = sketch("", piece("V1", "dc_supply", "v gnd", voltage=5.0), *pairs)
    readings = [
        read(f"drop_{number}", AcrossPart(reference=f"R{number}"), volts, "bright")
        for number, volts in ((1, 3.0), (2, 2.7), (3, 3.1))
    ]
    solution = operating_point(circuit, situations=[BRIGHT])
    [group] = told_once(recognise(circuit, solution, comparisons=readings))
    [(says, number, low, high)] = read_among(group)
    assert ("LED current", 3) == (says, number)
    assert ("drop_2", "drop_3") == (low.what, high.what)


def two_side_by_side() -> Circuit:
    """An LED behind 150 Ω beside 300 Ω, which is 100 Ω."""
    return sketch(
        "",
        piece("V1", "dc_supply", "v gnd", voltage=5.0),
        piece("R1", "resistor", "v a", resistance=150.0),
        piece("R2", "resistor", "a v", resistance=300.0),
        piece("D1", "led", "a gnd", forward_drop=2.0),
    )


def test_resistors_side_by_side_are_one_block_with_their_common_resistance() -> None:
    solution = operating_point(two_side_by_side(), situations=[BRIGHT])
    [block] = recognise(two_side_by_side(), solution)
    assert ("D1", "R1", "R2") == block.parts
    assert ("R1", "R2") == block.roles["resistor"]
    assert "R1 and R2" in block.purpose
    one = next(one for one in block.sums if one.says == "LED current")
    assert 100.0 == pytest.approx(one.letters["R"].value)
    [solved] = [near for near in one.beside if near.what == "solved"]
    # All of the current goes through the LED, whose own drop at that current is near the told one.
    assert float(abs(solution.current("D1")[0])) == pytest.approx(solved.quantity.value)


def test_a_voltage_across_two_side_by_side_tells_the_current_of_both() -> None:
    solution = operating_point(two_side_by_side(), situations=[BRIGHT])
    readings = [read("drop", AcrossPart(reference="R2"), -3.0, "bright")]
    [block] = recognise(two_side_by_side(), solution, comparisons=readings)
    [near] = those_read(next(one for one in block.sums if one.says == "LED current"))
    assert 0.03 == pytest.approx(near.quantity.value)
    assert "voltage across R1 and R2 over their resistance" == near.how
