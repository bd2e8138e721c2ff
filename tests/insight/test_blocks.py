"""Every block kind: finds itself in its own example, and nothing there that it does not name."""

from __future__ import annotations

import string
from dataclasses import replace
from itertools import combinations

import pytest

from lidoff.circuit import check_pins
from lidoff.insight import all_blocks, recognise
from lidoff.insight.pattern import BlockKind

KINDS = list(all_blocks().values())


def named(kind: BlockKind) -> str:
    return kind.name


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_the_example_holds_the_block_and_the_others_it_names_and_no_more(kind: BlockKind) -> None:
    assert sorted((kind.name, *kind.also)) == sorted(block.kind for block in recognise(kind.example()))


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_the_example_is_a_circuit_whose_pins_exist(kind: BlockKind) -> None:
    assert check_pins(kind.example()) == ()


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_a_pin_that_was_left_out_stops_nothing(kind: BlockKind) -> None:
    whole = kind.example()
    for index, part in enumerate(whole.parts):
        for pin in part.pins:
            pins = {name: net for name, net in part.pins.items() if name != pin}
            parts = (*whole.parts[:index], replace(part, pins=pins), *whole.parts[index + 1 :])
            recognise(replace(whole, parts=parts))


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_two_nets_merged_by_mistake_stop_nothing(kind: BlockKind) -> None:
    whole = kind.example()
    for one, other in combinations(whole.nets, 2):
        parts = [
            replace(part, pins={pin: one if net == other else net for pin, net in part.pins.items()})
            for part in whole.parts
        ]
        recognise(replace(whole, parts=tuple(parts), ground=one if whole.ground == other else whole.ground))


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_no_part_of_the_example_is_explained_twice(kind: BlockKind) -> None:
    parts = [part for block in recognise(kind.example()) for part in block.parts]
    assert len(set(parts)) == len(parts)


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_the_words_name_only_what_the_pattern_has(kind: BlockKind) -> None:
    block = next(block for block in recognise(kind.example()) if block.kind == kind.name)
    asked = {name for _, name, _, _ in string.Formatter().parse(kind.purpose) if name}
    assert set() == asked - {*block.roles, *block.nets}


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_a_block_says_what_it_is_for_and_what_happens_if_it_fails(kind: BlockKind) -> None:
    block = next(block for block in recognise(kind.example()) if block.kind == kind.name)
    assert block.purpose.endswith(".")
    assert block.if_it_fails
    assert kind.source
