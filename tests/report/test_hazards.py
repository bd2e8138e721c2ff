"""The chapter on hazards: the limit, the table, what was assumed and what was not checked stand beside every answer."""

from dataclasses import replace

import pytest

from lidoff.dossier import analyse, dossier_from_text
from lidoff.evidence import CAUTIONS
from lidoff.hazards import FROM_MEMORY, Hazard
from lidoff.report import all_chapters

from .build import bare, words_of

LAMP = """[device]
title = "lamp"

[light.front]
peak = "385 nm"
width = "12 nm"
radiant_power = "3 W"
distance = "0.2 m"
"""


def told(text: str, chapter: str = "hazards") -> str:
    return words_of(*all_chapters()[chapter].build(analyse(dossier_from_text(text))))


def test_an_answer_stands_with_its_limit_table_assumptions_and_gaps() -> None:
    words = told(LAMP)
    for part in (
        "beyond the limit",
        "limit 10 W/m²",
        FROM_MEMORY,
        "Assumed: ",
        "Not checked: heat on retina",
    ):
        assert part in words


def test_a_danger_that_no_chapter_printed_yet_stands_with_the_check_that_flags_it() -> None:
    hazard = Hazard(
        check="insulation", title="creepage", outcome="beyond the limit", severity="fault", what=""
    )
    words = words_of(*all_chapters()["hazards"].build(replace(bare(), hazards=(hazard,))))
    assert CAUTIONS["mains"] in words


@pytest.mark.parametrize("cautions", ["", 'cautions = ["uv"]\n'])
def test_a_caution_is_printed_in_its_own_chapter_and_not_twice(cautions: str) -> None:
    counts = [told(cautions + LAMP, chapter).count(CAUTIONS["uv"]) for chapter in ("cautions", "hazards")]
    assert [1, 0] == counts


def test_a_caution_tells_from_what_its_danger_was_found() -> None:
    assert "Found by lidoff among the lights: front has its peak at 385 nm; among the hazards: " in told(
        LAMP, "cautions"
    )


def test_a_found_danger_stands_at_the_opening_of_the_report() -> None:
    assert "Dangers found by lidoff: UV light, among the lights: front has its peak at 385 nm." in told(
        LAMP, "found"
    )


def test_a_danger_that_the_dossier_alone_names_is_added() -> None:
    words = told('cautions = ["mercury"]\n' + LAMP, "found")
    assert "Further dangers named in the dossier: mercury." in words


def test_a_dossier_without_danger_has_no_box_at_its_opening() -> None:
    assert "Before you open one" not in words_of(*all_chapters()["found"].build(bare()))


def test_nothing_to_look_at_is_not_told_as_no_danger() -> None:
    words = words_of(*all_chapters()["hazards"].build(replace(bare(), hazards=())))
    assert "not a finding that there is no danger" in words
