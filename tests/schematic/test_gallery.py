"""Every circuit of the gallery is drawn without a fault and within bounds."""

from __future__ import annotations

import pytest

from lidoff.schematic import draw, drawing_quality
from tests.schematic.faults import faults_of
from tests.schematic.gallery import GALLERY


@pytest.mark.parametrize("name", sorted(GALLERY))
def test_a_circuit_is_drawn_without_a_fault(name: str) -> None:
    drawing = draw(GALLERY[name])
    quality = drawing_quality(drawing)
    parts = len(drawing.shown.parts)

    assert faults_of(quality) == {}
    assert quality.crossings <= max(2, 0.25 * parts)
    assert quality.bends <= 2.0 * parts + 2
    assert quality.length <= 1.6
    assert quality.rightward >= 0.5
    assert 0.35 <= quality.aspect <= 5.0


def test_the_gallery_is_large_enough_to_judge_by() -> None:
    assert len(GALLERY) >= 40
    assert min(len(c.parts) for c in GALLERY.values()) == 2
    assert max(len(c.parts) for c in GALLERY.values()) >= 30
