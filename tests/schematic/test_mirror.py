"""What can be a mirror image is found, and is drawn as one."""

from __future__ import annotations

import pytest

from lidoff.schematic import Drawing, Symbol, draw
from lidoff.schematic.levels import find_levels
from lidoff.schematic.mirror import mirror_images
from tests.schematic.classics import CLASSICS
from tests.schematic.gallery import GALLERY


def _symbols(drawing: Drawing) -> dict[str, Symbol]:
    return {symbol.reference: symbol for sheet in drawing.sheets for symbol in sheet.symbols}


def _images(name: str) -> list[dict[str, str]]:
    return mirror_images(GALLERY[name], find_levels(GALLERY[name]))


def test_both_halves_of_an_astable_are_found() -> None:
    (image,) = _images("astable")

    assert {"Q1": "Q2", "R1": "R4", "R2": "R3", "C1": "C2"}.items() <= image.items()


def test_a_part_between_the_halves_lies_on_the_axis() -> None:
    (image,) = _images("wheatstone")

    assert image["R5"] == "R5"


@pytest.mark.parametrize("name", ["two_strings", "strings_apart", "insect_lure", "bridge_rectifier"])
def test_branches_side_by_side_and_one_way_parts_are_no_mirror_image(name: str) -> None:
    assert _images(name) == []


@pytest.mark.parametrize("name", ["astable", "wheatstone", "h_bridge", "differential_pair"])
def test_mirror_images_stand_at_one_height_round_one_axis(name: str) -> None:
    symbols = _symbols(draw(CLASSICS[name]))
    pairs = [(a, b) for a, b in _images(name)[0].items() if a < b and len(CLASSICS[name].part(a).pins) > 2]
    pairs = pairs or [("R1", "R3"), ("R2", "R4")]
    axes = {symbols[a].x + symbols[b].x for a, b in pairs}
    heights = {abs(symbols[a].y - symbols[b].y) for a, b in pairs}

    assert heights == {0}
    assert len(axes) == 1


@pytest.mark.parametrize("name", ["astable", "h_bridge", "differential_pair"])
def test_mirrored_transistors_face_opposite_ways(name: str) -> None:
    symbols = _symbols(draw(CLASSICS[name]))

    for a, b in _images(name)[0].items():
        if a < b and len(CLASSICS[name].part(a).pins) == 3:
            assert symbols[a].shape.turn.mirrored != symbols[b].shape.turn.mirrored
