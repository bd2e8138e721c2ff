"""Stills show what lies beyond a limit for danger, and nothing where nothing does."""

from __future__ import annotations

from dataclasses import replace

from lidoff.hazards import Hazard
from lidoff.quantities import Quantity
from lidoff.report import Story, stage_of, still_svg
from lidoff.report.scenes import hazards as scene
from tests.report.build import fan

SHORT = Hazard(
    check="cells",
    title="nothing stops a short of BT1",
    outcome="beyond the limit",
    severity="fault",
    what="a short of BT1 is limited by the cell alone",
    value=Quantity(60.0, "A"),
    limit=Quantity(10.0, "A"),
    limit_says="what the cell's leads bear",
)
KEPT = replace(SHORT, title="kept", outcome="within the limit")


def story(*hazards: Hazard) -> Story:
    return Story(analysis=replace(fan(), hazards=hazards))


def test_what_lies_beyond_its_limit_has_a_still() -> None:
    (still,) = scene.MEMBERS[0].build(story(SHORT, KEPT))

    assert ("hazards", "One answer beyond a limit for danger") == (still.name, still.caption)
    drawn = still_svg(still, stage_of("wide"))
    assert "Nothing stops a short of BT1" in drawn
    assert "limit 10 A" in drawn
    assert "Kept" not in drawn
    assert "what was not checked" in still.aside


def test_without_anything_beyond_a_limit_there_is_no_still() -> None:
    assert () == scene.MEMBERS[0].build(story(KEPT))


def test_loads_on_parts_and_notes_are_no_danger() -> None:
    loaded = replace(SHORT, check="stress", title="R1 over its rating")
    noted = replace(SHORT, severity="note", title="noted")
    assert () == scene.MEMBERS[0].build(story(loaded, noted))


def test_many_are_shared_out_over_cards() -> None:
    stills = scene.MEMBERS[0].build(story(*[replace(SHORT, title=f"hazard {k}") for k in range(7)]))

    assert ["hazards-1", "hazards-2"] == [still.name for still in stills]
    assert "Hazard 6" in still_svg(stills[1], stage_of("tall"))
