"""Two circuits held against each other: names do not matter, one change is told as that change."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from benchmarks.accuracy_blocks import SETS
from benchmarks.accuracy_compare import section
from lidoff.circuit import Circuit, Part
from lidoff.insight import contrast, contrast_with_block, recognise, tinted_changes
from lidoff.insight.sketch import chip, piece, sketch
from tests.insight.test_labelled import named, other_names
from tests.labelled.label import Labelled

PAGE = Path(__file__).parents[2] / "docs" / "accuracy.md"
CIRCUITS = [one for circuits in SETS.values() for one in circuits]


def drive() -> Circuit:
    return sketch(
        "",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "vbat low"),
        piece("D1", "schottky", "low vbat"),
        piece("Q1", "mosfet_n", "gate low gnd"),
        piece("R1", "resistor", "drive gate", resistance=100.0),
        piece("R2", "resistor", "gate gnd", resistance=100e3),
        chip("U1", supply="supply vbat", ground="ground gnd", drive="output drive"),
    )


def with_part(circuit: Circuit, changed: Part) -> Circuit:
    parts = tuple(changed if part.reference == changed.reference else part for part in circuit.parts)
    return replace(circuit, parts=parts)


def without(circuit: Circuit, reference: str) -> Circuit:
    return replace(circuit, parts=tuple(part for part in circuit.parts if part.reference != reference))


def told(first: Circuit, second: Circuit) -> list[tuple[str, tuple[str, ...], tuple[str, ...]]]:
    found = contrast(first, second)
    return [(one.sort, one.first, one.second) for one in found.changes if one.sort != "blocks"]


def renumbered(circuit: Circuit, seed: int) -> Circuit:
    """The same with other net names, another order of parts, and other numbers behind the references."""
    moved = other_names(circuit, seed)
    numbers = list(range(100, 100 + len(moved.parts)))
    random.Random(seed).shuffle(numbers)
    return replace(
        moved,
        parts=tuple(
            replace(part, reference=f"{part.reference[0]}{number}")
            for part, number in zip(moved.parts, numbers, strict=True)
        ),
    )


@pytest.mark.parametrize("one", CIRCUITS, ids=named)
def test_other_names_are_no_difference(one: Labelled) -> None:
    found = contrast(one.circuit, renumbered(one.circuit, seed=3))
    assert () == found.changes
    assert found.same


@pytest.mark.parametrize("one", CIRCUITS, ids=named)
def test_a_part_left_out_is_the_only_difference_told(one: Labelled) -> None:
    chance = random.Random(5)
    unlosable = ("wire", "link", "cable", "test_point", "dc_supply", "ac_supply")
    lost = chance.choice([part for part in one.circuit.parts if part.kind not in unlosable])
    changes = told(one.circuit, renumbered(without(one.circuit, lost.reference), seed=8))
    assert ["left out"] == [sort for sort, _, _ in changes]
    # Of parts that stand alike, such as twenty equal LEDs, any may be told.
    [(_, [reference], _)] = changes
    assert lost.kind == one.circuit.part(reference).kind


def test_a_changed_value_is_told_with_both_values() -> None:
    second = with_part(drive(), replace(drive().part("R2"), values={"resistance": 10e3}))
    [change] = contrast(drive(), second).changes
    assert ("changed", ("R2",), ("R2",)) == (change.sort, change.first, change.second)
    assert "R2: 100 kΩ became 10 kΩ" == change.says


def test_a_diode_turned_round_is_told_as_that() -> None:
    second = with_part(drive(), replace(drive().part("D1"), pins={"anode": "vbat", "cathode": "low"}))
    changes = [one for one in contrast(drive(), second).changes if one.sort == "moved"]
    assert ["D1: turned round"] == [one.says for one in changes]


def test_a_resistor_turned_round_is_no_difference() -> None:
    second = with_part(drive(), replace(drive().part("R1"), pins={"1": "gate", "2": "drive"}))
    assert contrast(drive(), second).same


def test_a_part_of_another_kind_in_the_same_place_is_a_change_not_a_loss() -> None:
    diode = replace(drive().part("D1"), kind="diode")
    assert [("changed", ("D1",), ("D1",))] == told(drive(), with_part(drive(), diode))


def test_a_lost_part_is_told_with_what_it_was_for_and_the_block_that_goes_with_it() -> None:
    found = contrast(drive(), without(drive(), "R2"))
    [lost] = [one for one in found.changes if one.sort == "left out"]
    assert "R2 (resistor, 100 kΩ) is only in the first" in lost.says
    assert "gate pull-down" in lost.says
    assert ["only the first has a gate pull-down: R2"] == [
        one.says for one in found.changes if one.sort == "blocks"
    ]
    assert "1 only in the first" in found.summary


def test_both_drawings_are_tinted_where_they_differ() -> None:
    second = with_part(without(drive(), "D1"), replace(drive().part("R2"), values={"resistance": 10e3}))
    before, after = tinted_changes(contrast(drive(), second))
    assert {("D1",): "left out", ("R2",): "changed"} == {group.parts: group.caption for group in before}
    assert {("R2",): "changed"} == {group.parts: group.caption for group in after}
    assert all(group.tint.startswith("#") for group in before)


def test_exchanging_the_circuits_turns_left_out_into_added() -> None:
    poorer = without(drive(), "D1")
    assert [("left out", ("D1",), ())] == told(drive(), poorer)
    assert [("added", (), ("D1",))] == told(poorer, drive())


def test_a_block_is_held_against_the_textbooks() -> None:
    circuit = without(drive(), "R1")
    parts = (*circuit.parts[:-1], chip("U1", supply="supply vbat", ground="ground gnd", drive="output gate"))
    circuit = replace(circuit, parts=parts)
    block = next(one for one in recognise(circuit) if one.kind == "low_side_mosfet")
    found = contrast_with_block(circuit, block)
    assert ["left out"] == [one.sort for one in found.changes]
    assert "resistor" in found.changes[0].says
    assert "low-side MOSFET switch" in found.summary


def test_an_empty_circuit_has_nothing_in_common() -> None:
    assert all(sort == "added" for sort, _, _ in told(sketch(""), drive()))
    assert contrast(sketch(""), sketch("")).same


def test_the_page_shows_what_the_count_gives() -> None:
    assert section() in PAGE.read_text(encoding="utf-8")


def test_a_resistor_whose_ends_were_joined_is_moved_not_lost() -> None:
    shorted = replace(drive().part("R2"), pins={"1": "gate", "2": "gate"})
    assert [("moved", ("R2",), ("R2",))] == told(drive(), with_part(drive(), shorted))
