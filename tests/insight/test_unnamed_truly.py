"""Guesses at chips without a name, held against chips whose kind is known."""

from __future__ import annotations

from pathlib import Path

from benchmarks.accuracy_unnamed import TRUTH, section, tried

PAGE = Path(__file__).parents[2] / "docs" / "accuracy.md"


def test_most_chips_are_guessed_rightly_and_sure_guesses_nearly_always() -> None:
    first, among, sure = [], [], []
    for one, found in tried():
        names = [guess.kind for guess in found.guesses]
        right = TRUTH[one.kind]
        first.append(bool(names) and names[0] in right)
        among.append(bool(set(names[:3]) & right))
        if found.guesses and found.guesses[0].share >= 0.8:
            sure.append(names[0] in right)
    assert len(first) >= 40
    assert sum(first) / len(first) >= 0.75
    assert sum(among) / len(among) >= 0.85
    assert sum(sure) / len(sure) >= 0.95


def test_the_page_shows_what_the_count_gives() -> None:
    assert section() in PAGE.read_text(encoding="utf-8")
