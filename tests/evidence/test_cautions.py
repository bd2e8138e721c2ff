import re

import pytest

from lidoff.evidence import CAUTIONS


@pytest.mark.parametrize("words", CAUTIONS.values(), ids=CAUTIONS.keys())
def test_a_caution_says_what_to_do_and_never_that_something_does_no_harm(words: str) -> None:
    assert words.endswith(".")
    assert len(words.split(".")) >= 3  # at least two sentences: the danger, and what to do about it
    assert re.search(r"\bsafe", words, flags=re.IGNORECASE) is None


@pytest.mark.parametrize("word", ["mains", "laser", "mercury"])
def test_what_is_licensed_or_regulated_defers_to_local_rules(word: str) -> None:
    assert re.search(r"licensed|local", CAUTIONS[word])
