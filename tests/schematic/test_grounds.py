"""Tinted grounds hold their parts and no strangers; their captions cover nothing."""

from __future__ import annotations

from itertools import combinations

import pytest
from shapely import box
from shapely.geometry import MultiPolygon, Polygon

from lidoff.schematic import Area, Drawing, DrawingOptions, Group, draw, drawing_quality
from lidoff.schematic.grounds import own_groups
from tests.schematic.faults import faults_of
from tests.schematic.gallery import GALLERY

NAMES = ("crumb_vacuum", "night_light", "insect_lure", "power_bank", "fan_controller", "one_led", "h_bridge")
CAPTIONS = ("switch", "supply with a long name", "sensor divider", "indicator")


def grouped(name: str) -> tuple[Drawing, tuple[Group, ...]]:
    """Circuit of the gallery, its parts put into groups of three as they come."""
    circuit = GALLERY[name]
    references = [part.reference for part in circuit.parts]
    groups = tuple(
        Group(parts=tuple(references[k : k + 3]), caption=CAPTIONS[k // 3 % len(CAPTIONS)])
        for k in range(0, len(references), 3)
    )
    return draw(circuit, groups=groups, options=DrawingOptions(abbreviate=False, effort=0.3)), groups


def shape_of(area: Area) -> MultiPolygon:
    return MultiPolygon([Polygon(ring) for ring in area.rings])


@pytest.mark.parametrize("name", NAMES)
def test_a_ground_holds_its_parts_and_no_others(name: str) -> None:
    drawing, _ = grouped(name)

    for sheet in drawing.sheets:
        for area in sheet.areas:
            ground = shape_of(area)
            for symbol in sheet.symbols:
                body = box(*symbol.strokes).buffer(-0.05)
                share = ground.intersection(body).area / body.area
                assert share > 0.99 if symbol.reference in area.parts else share < 0.02, symbol.reference


@pytest.mark.parametrize("name", NAMES)
def test_captions_cover_nothing_and_all_are_there(name: str) -> None:
    drawing, groups = grouped(name)

    assert faults_of(drawing_quality(drawing)) == {}
    written = " ".join(
        label.text for sheet in drawing.sheets for label in sheet.labels if label.role == "caption"
    )
    assert len(written) == sum(len(group.caption) + 1 for group in groups) - 1


def test_neighbouring_grounds_differ_in_tint() -> None:
    areas = grouped("crumb_vacuum")[0].sheets[0].areas

    near = [(a, b) for a, b in combinations(areas, 2) if shape_of(a).distance(shape_of(b)) < 1.0]
    assert near
    assert all(a.shade != b.shade for a, b in near)


def test_a_part_of_two_groups_stands_in_the_smaller() -> None:
    groups = (Group(parts=("R1", "R2", "D1"), caption="large"), Group(parts=("R1", "D1"), caption="small"))

    assert [group.parts for group in own_groups(groups)] == [("R2",), ("R1", "D1")]


def test_a_group_without_caption_and_tint_is_held_together_unseen() -> None:
    drawing = draw(GALLERY["one_led"], groups=(Group(parts=("R1", "D1")),))

    assert drawing.sheets[0].areas == ()
