"""Boards thrown together at random from the examples that stand beside the block kinds."""

from __future__ import annotations

import random
from dataclasses import replace

from lidoff.circuit import Circuit, Part
from lidoff.insight import BlockKind, all_blocks
from tests.labelled.label import Labelled

__all__ = ["COMPOSITES", "TOGETHER", "composites"]

SEED = 20250
COMPOSITES = 200
TOGETHER = 8


def _moved(part: Part, prefix: str, ground: str, random_source: random.Random) -> Part:
    """A part of an example in a composite: own names for all nets but the ground, and symmetric pins turned by chance."""
    pins = {pin: "gnd" if net == ground else f"{prefix}_{net}" for pin, net in part.pins.items()}
    if set(pins) == {"1", "2"} and random_source.random() < 0.5:
        pins = {"1": pins["2"], "2": pins["1"]}
    return replace(part, reference=f"{part.reference}_{prefix}", pins=pins)


def composites(number: int = COMPOSITES, together: int = TOGETHER, seed: int = SEED) -> list[Labelled]:
    """Examples of several block kinds on one board, which share only their ground; parts in random order.

    Parameters
    ----------
    number : int
        How many.
    together : int
        How many examples each holds.
    seed : int
        Of the choice.

    Returns
    -------
    list of Labelled
        Labels are the kinds that the examples name.
    """
    random_source = random.Random(seed)
    kinds: list[BlockKind] = [
        kind
        for kind in all_blocks().values()
        if not any(part.kind == "ac_supply" for part in kind.example().parts)
    ]
    made = []
    for index in range(number):
        chosen = random_source.sample(kinds, together)
        parts: list[Part] = []
        for place, kind in enumerate(chosen):
            example = kind.example()
            parts += [_moved(part, f"x{place}", example.ground, random_source) for part in example.parts]
        random_source.shuffle(parts)
        labels = tuple(f"{name}:" for kind in chosen for name in (kind.name, *kind.also))
        made.append(
            Labelled(
                name=f"composite {index}",
                source="examples of block kinds",
                circuit=Circuit(parts=tuple(parts), ground="gnd"),
                blocks=labels,
            )
        )
    return made
