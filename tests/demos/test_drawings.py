"""The demos' drawings have no faults: nothing covers, strikes or misses anything."""

from __future__ import annotations

from pathlib import Path

import pytest

from lidoff.dossier import circuit_of, drawing_options, load_dossier
from lidoff.schematic import draw, drawing_quality

DEMOS = Path(__file__).parents[2] / "demos"


@pytest.mark.parametrize("name", ["crumb-vacuum", "insect-lure", "night-light"])
def test_a_demos_drawing_has_no_fault(name: str) -> None:
    dossier = load_dossier(DEMOS / name)

    quality = drawing_quality(draw(circuit_of(dossier), options=drawing_options(dossier)))

    assert (quality.symbol_overlaps, quality.wires_through_symbols, quality.wires_along_wires) == (0, 0, 0)
    assert (quality.label_overlaps, quality.wires_through_labels) == (0, 0)
    assert (quality.crossroads, quality.unreached) == (0, 0)
