"""Textbook circuits are drawn with no more crossings and bends than the usual drawing has."""

from __future__ import annotations

import pytest

from lidoff.schematic import draw, drawing_quality
from tests.schematic.classics import CLASSICS
from tests.schematic.faults import faults_of

# Crossings and bends of the usual drawing of each, sources and load drawn in, rails as lines: counted on the arrangement
# that textbooks share; common practice, no source. A corner of a rail counts as a bend.
USUAL = {
    "one_led": (0, 4),
    "divider": (0, 5),
    "wheatstone": (0, 4),
    "low_pass": (0, 4),
    "half_wave": (0, 4),
    "bridge_rectifier": (1, 6),
    "voltage_doubler": (0, 5),
    "common_emitter": (0, 7),
    "emitter_follower": (0, 6),
    "current_mirror": (0, 6),
    "astable": (1, 8),
    "high_side_switch": (0, 5),
}


@pytest.mark.parametrize("name", sorted(USUAL))
def test_a_classic_has_no_more_crossings_and_bends_than_its_usual_drawing(name: str) -> None:
    quality = drawing_quality(draw(CLASSICS[name]))
    crossings, bends = USUAL[name]

    assert faults_of(quality) == {}
    assert quality.crossings <= crossings
    assert quality.bends <= bends
