"""Cautions from the dossier's prose, and none where nothing calls for them."""

import pytest

from lidoff.circuit import Circuit
from lidoff.evidence import CAUTIONS
from lidoff.hazards import Laser, Subject, limit_table

from .build import answers


def told(*words: str) -> list[str]:
    looked_at = Subject(circuit=Circuit(parts=()), words=words)
    return [one.title.removeprefix("whether care is taken with ") for one in answers("handling", looked_at)]


@pytest.mark.parametrize(
    ("words", "caution"),
    [
        ("The board is potted in black epoxy.", "resin"),
        ("Cleaned with acetone.", "solvent"),
        ("Two cold cathode tubes hold mercury.", "mercury"),
        ("I ground down the rivets; much dust.", "dust"),
        ("draws air with its fan", "moving parts"),
        ("A red laser draws the line.", "laser"),
    ],
)
def test_a_word_in_the_prose_brings_its_caution(words: str, caution: str) -> None:
    assert [caution] == told(words)


@pytest.mark.parametrize("words", ["Nothing of note.", "a fancy box", "industry", "motorised by hand"])
def test_other_words_bring_none(words: str) -> None:
    assert told(words) == []


def test_a_caution_that_the_dossier_tells_is_not_told_twice() -> None:
    assert told("The board is potted.", "resin") == []


def test_a_caution_that_the_device_shows_by_itself_is_not_asked_for() -> None:
    looked_at = Subject(
        circuit=Circuit(parts=()),
        words=("A red laser draws the line.",),
        lasers=(Laser(name="pointer", laser_class="2"),),
    )
    assert answers("handling", looked_at) == ()


def test_every_word_of_the_table_leads_to_a_known_caution() -> None:
    assert set(limit_table("handling").entries["words"]) <= set(CAUTIONS)


def test_the_place_in_the_prose_is_told() -> None:
    looked_at = Subject(
        circuit=Circuit(parts=()), words=("All of it is cast in a hard black resin that smells of fish.",)
    )
    (found,) = answers("handling", looked_at)
    assert "resin" in found.what.partition("”")[0]
