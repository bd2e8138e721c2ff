"""Every circuit of the gallery is drawn without a fault and within bounds, even by a short search."""

from __future__ import annotations

import pytest

from lidoff.schematic import DrawingOptions, draw, drawing_quality
from tests.schematic.faults import faults_of
from tests.schematic.gallery import GALLERY

SHORT = DrawingOptions(effort=0.3)


@pytest.mark.parametrize("name", sorted(GALLERY))
def test_a_circuit_is_drawn_without_a_fault(name: str) -> None:
    drawing = draw(GALLERY[name], options=SHORT)
    quality = drawing_quality(drawing)
    parts = len(drawing.shown.parts)

    faults = faults_of(quality)
    struck = faults.pop("wires_through_labels", 0)
    assert faults == {}
    assert struck <= 1
    assert quality.crossings <= max(2, 0.6 * parts)
    assert quality.bends <= 2.5 * parts + 2
    assert quality.length <= 1.7
    assert quality.rightward >= 0.5
    assert 0.35 <= quality.aspect <= 5.0


def test_the_gallery_is_large_enough_to_judge_by() -> None:
    assert len(GALLERY) >= 40
    assert min(len(c.parts) for c in GALLERY.values()) == 2
    assert max(len(c.parts) for c in GALLERY.values()) >= 30
