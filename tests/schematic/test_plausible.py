"""Random circuits of the usual pieces are drawn without a fault, on one sheet or several."""

from __future__ import annotations

import pytest

from benchmarks.plausible import plausible_circuit
from lidoff.schematic import DrawingOptions, draw, drawing_quality
from tests.schematic.faults import faults_of

# Text that a wire passes is counted apart: on a crowded page a voltage or value may have no free place left.
SELDOM = 0.05


@pytest.mark.parametrize("seed", range(12))
def test_a_random_circuit_is_drawn_without_a_fault(seed: int) -> None:
    drawing = draw(plausible_circuit(seed, 5), options=DrawingOptions(effort=0.4))
    quality = drawing_quality(drawing)

    faults = faults_of(quality)
    struck = faults.pop("wires_through_labels", 0)
    assert faults == {}
    assert struck <= SELDOM * sum(len(sheet.labels) for sheet in drawing.sheets)
    assert quality.crossings <= 0.35 * len(drawing.shown.parts)


def test_a_hundred_parts_fall_into_sheets_of_at_most_sixty() -> None:
    drawing = draw(plausible_circuit(1, 28), options=DrawingOptions(effort=0.1))

    assert len(drawing.shown.parts) > 100
    assert len(drawing.sheets) == 2
    assert max(len(sheet.symbols) for sheet in drawing.sheets) <= 60
    faults = faults_of(drawing_quality(drawing))
    faults.pop("wires_through_labels", 0)
    assert faults == {}
