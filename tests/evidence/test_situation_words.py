"""Situations in prose: their titles for a reader, their names for programs."""

from lidoff.evidence import Finding, prose_with_titles, titled, with_titles

TITLES = {"fan_held": "switched on, the fan held", "idle": ""}


def test_a_marked_situation_is_told_by_its_title() -> None:
    assert (
        with_titles(f"M1 warms in {titled('fan_held')}.", TITLES)
        == "M1 warms in “switched on, the fan held”."
    )


def test_a_situation_without_a_title_or_unknown_is_told_by_its_name() -> None:
    text = f"In {titled('idle')} and {titled('as_it_stands')}, not in ‹fan_held›"
    assert with_titles(text, TITLES) == "In idle and as it stands, not in ‹fan_held›"


def test_a_finding_is_told_in_full_and_keeps_its_names() -> None:
    finding = Finding(
        name="misfit",
        title=f"Misfit in {titled('fan_held')}",
        severity="caution",
        what=f"In {titled('fan_held')} it differs.",
        situations=("fan_held",),
        remedy=f"measure in {titled('fan_held')}",
    )
    told = prose_with_titles(finding, TITLES)
    assert "Misfit in “switched on, the fan held”" == told.title
    assert ("fan_held",) == told.situations
    assert told.remedy.endswith("“switched on, the fan held”")
    assert told.severity == finding.severity
