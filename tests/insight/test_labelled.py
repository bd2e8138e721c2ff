"""Recognition against circuits that were labelled by hand; each names its source."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from benchmarks.accuracy_blocks import SETS, section, total
from benchmarks.composites import composites
from lidoff.circuit import Circuit, Part, check_pins
from lidoff.insight import all_blocks, recognise
from tests.labelled.label import Labelled, counted

CIRCUITS = [one for circuits in SETS.values() for one in circuits]
PAGE = Path(__file__).parents[2] / "docs" / "accuracy.md"


def named(one: Labelled) -> str:
    return one.name


@pytest.mark.parametrize("one", CIRCUITS, ids=named)
def test_a_label_names_a_kind_and_parts_that_exist(one: Labelled) -> None:
    assert one.source
    assert check_pins(one.circuit) == ()
    references = {part.reference for part in one.circuit.parts}
    for label in one.blocks:
        kind, _, parts = label.partition(":")
        assert kind in all_blocks()
        assert set(parts.split()) <= references


@pytest.mark.parametrize("circuits", list(SETS.values()), ids=list(SETS))
def test_most_blocks_told_are_right_and_most_labels_are_found(circuits: tuple[Labelled, ...]) -> None:
    count = total([counted(recognise(one.circuit), one.blocks) for one in circuits])
    assert count.precision >= 0.95, count.wrong
    assert count.recall >= 0.9, count.missed


def test_there_are_thirty_circuits_at_least() -> None:
    assert 30 <= len(CIRCUITS)
    assert len({one.name for one in CIRCUITS}) == len(CIRCUITS)


def test_blocks_are_told_apart_on_boards_of_many_examples() -> None:
    count = total([counted(recognise(one.circuit), one.blocks) for one in composites(number=60)])
    assert count.precision >= 0.95, count.wrong
    assert count.recall >= 0.9, count.missed


def other_names(circuit: Circuit, seed: int) -> Circuit:
    """The same circuit with its parts in another order and its nets under other names."""
    chance = random.Random(seed)
    nets = sorted({net for part in circuit.parts for net in part.pins.values()} | {circuit.ground})
    numbers = list(range(len(nets)))
    chance.shuffle(numbers)
    names = {net: f"n{number}" for net, number in zip(nets, numbers, strict=True)}
    # Names that say what a net is are kept: they are read on purpose.
    names |= {net: net for net in nets if "rst" in net or "reset" in net or net.startswith("cc")}
    parts = [
        replace(part, pins={pin: names[net] for pin, net in part.pins.items()}) for part in circuit.parts
    ]
    chance.shuffle(parts)
    return replace(circuit, parts=tuple(parts), ground=names[circuit.ground], rails={
        names[net]: role for net, role in circuit.rails.items() if net in names
    })  # fmt: skip


@pytest.mark.parametrize("one", CIRCUITS, ids=named)
def test_names_of_nets_and_order_of_parts_change_nothing(one: Labelled) -> None:
    expected = sorted((block.kind, block.parts) for block in recognise(one.circuit))
    moved = recognise(other_names(one.circuit, seed=7))
    assert expected == sorted((block.kind, block.parts) for block in moved)


def test_the_page_shows_what_the_count_gives() -> None:
    assert section() in PAGE.read_text(encoding="utf-8")


def with_wires(circuit: Circuit, seed: int) -> Circuit:
    """The same with a wire, a link or a stretch of track between every third pin and its net."""
    chance = random.Random(seed)
    parts: list[Part] = []
    more: list[Part] = []
    for part in circuit.parts:
        pins = dict(part.pins)
        for pin, net in part.pins.items():
            if chance.random() < 0.33 and net != circuit.ground:
                pins[pin] = f"{net}_{part.reference}_{pin}"
                kind = chance.choice(("wire", "link", "track"))
                values: dict[str, float | str] = {"length": 0.01, "width": 0.001} if kind == "track" else {}
                more.append(
                    Part(
                        reference=f"W{900 + len(more)}",
                        kind=kind,
                        pins={"1": net, "2": pins[pin]},
                        values=values,
                    )
                )
        parts.append(replace(part, pins=pins))
    return replace(circuit, parts=(*parts, *more))


@pytest.mark.parametrize("one", CIRCUITS, ids=named)
def test_wires_and_tracks_between_the_pins_change_nothing(one: Labelled) -> None:
    expected = sorted((block.kind, block.parts) for block in recognise(one.circuit))
    wired = recognise(with_wires(one.circuit, seed=2))
    assert expected == sorted((block.kind, block.parts) for block in wired)
