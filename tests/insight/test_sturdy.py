"""Half-traced circuits stop nothing: economies, guesses and comparison go on where pins are left out or nets are merged."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace

import pytest

from lidoff.circuit import Circuit
from lidoff.insight import (
    BlockKind,
    all_blocks,
    contrast,
    economies_of,
    recognise,
    stock_of,
    survey_of,
    unnamed_parts,
)

KINDS = list(all_blocks().values())


def named(kind: BlockKind) -> str:
    return kind.name


def half_traced(whole: Circuit) -> Iterator[Circuit]:
    """The circuit with one pin left out, each in turn, and with two nets merged, some by chance."""
    for index, part in enumerate(whole.parts):
        for pin in part.pins:
            pins = {name: net for name, net in part.pins.items() if name != pin}
            yield replace(
                whole, parts=(*whole.parts[:index], replace(part, pins=pins), *whole.parts[index + 1 :])
            )
    chance = random.Random(4)
    nets = sorted({net for part in whole.parts for net in part.pins.values()})
    for _ in range(3):
        kept, lost = chance.sample(nets, 2)
        parts = tuple(
            replace(part, pins={pin: kept if net == lost else net for pin, net in part.pins.items()})
            for part in whole.parts
        )
        yield replace(whole, parts=parts, ground=kept if whole.ground == lost else whole.ground)


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_economies_and_guesses_go_on(kind: BlockKind) -> None:
    for circuit in half_traced(kind.example()):
        economies_of(survey_of(circuit, recognise(circuit)))
        stock_of(circuit)
        unnamed_parts(circuit)


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_comparison_goes_on(kind: BlockKind) -> None:
    circuits = list(half_traced(kind.example()))
    for circuit in random.Random(9).sample(circuits, 2):
        assert contrast(kind.example(), circuit).summary
