"""The chapter on hazards: the limit, the table, what was assumed and what was not checked stand beside every answer."""

from dataclasses import replace

from lidoff.dossier import analyse, dossier_from_text
from lidoff.evidence import CAUTIONS
from lidoff.hazards import FROM_MEMORY
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


def told(text: str) -> str:
    return words_of(*all_chapters()["hazards"].build(analyse(dossier_from_text(text))))


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


def test_a_flagged_hazard_brings_its_caution() -> None:
    assert CAUTIONS["uv"] in told(LAMP)


def test_a_caution_that_the_dossier_prints_is_not_printed_twice() -> None:
    assert CAUTIONS["uv"] not in told('cautions = ["uv"]\n' + LAMP)


def test_a_kept_limit_brings_no_caution() -> None:
    assert CAUTIONS["uv"] not in told(LAMP.replace("3 W", "1 mW"))


def test_nothing_to_look_at_is_not_told_as_no_danger() -> None:
    words = words_of(*all_chapters()["hazards"].build(replace(bare(), hazards=())))
    assert "not a finding that there is no danger" in words
