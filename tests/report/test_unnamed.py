"""The chapter on chips without a name."""

from __future__ import annotations

from dataclasses import replace

from lidoff.insight.sketch import chip, piece
from lidoff.report import all_chapters
from lidoff.report.model import Items
from tests.report.build import fan


def test_a_chip_with_a_sounder_is_suggested_to_be_a_sound_chip() -> None:
    analysis = fan()
    more = (
        piece("J99", "dc_supply", "v99 g99", voltage=3.0),
        chip("U99", "box", a="v99", b="t99", c="g99"),
        piece("LS99", "piezo", "t99 g99"),
    )
    circuit = replace(analysis.circuit, parts=(*analysis.circuit.parts, *more))
    blocks = all_chapters()["unnamed"].build(replace(analysis, circuit=circuit))
    [items] = [block for block in blocks if isinstance(block, Items)]
    [entry] = [entry for entry in items.entries if "U99" in entry.title]
    assert "may be a sound or melody chip" in entry.title
    assert any(line.startswith("For it: ") for line in entry.lines)


def test_a_circuit_whose_chips_are_known_has_no_such_chapter() -> None:
    analysis = fan()
    parts = tuple(part for part in analysis.circuit.parts if part.kind != "box")
    assert () == all_chapters()["unnamed"].build(
        replace(analysis, circuit=replace(analysis.circuit, parts=parts))
    )
