"""The chapter on all readings together: its χ² and what it says of it."""

import re
from dataclasses import replace

import pytest

from lidoff.dossier import Analysis, fit_of, slips_of
from lidoff.evidence import Comparison
from lidoff.insight import FitAsTraced, ReadingStrain
from lidoff.report import all_chapters
from lidoff.report.sections import wrong

from .build import fan, words_of


def fit(chi_square: float, chance: float, *strains: ReadingStrain) -> FitAsTraced:
    return FitAsTraced(chi_square=chi_square, readings=7, chance=chance, strains=strains)


def compared(score: float) -> list[Comparison]:
    """The fan's comparisons, all of which agree but the first, which lies so many uncertainties off."""
    first, *others = fan().comparisons
    first = replace(first, difference=score * first.uncertainty)
    assert score == pytest.approx(first.score)
    return [first, *(replace(one, difference=0.0) for one in others)]


def told(monkeypatch: pytest.MonkeyPatch, one: FitAsTraced, comparisons: list[Comparison]) -> str:
    analysis: Analysis = replace(fan(), comparisons=tuple(comparisons))
    monkeypatch.setattr(wrong, "_fit", lambda _: one)
    return words_of(*all_chapters()["wrong"].build(analysis))


def test_report_and_slips_tell_one_chi_square() -> None:
    words = words_of(*all_chapters()["wrong"].build(fan()))
    (report,) = re.findall(r"leave a misfit of χ² = ([\d.]+)", words)
    assert report == f"{slips_of(fan().dossier).ranking.chi_square:.1f}"


def test_a_sum_that_chance_seldom_makes_speaks_against_the_circuit(monkeypatch: pytest.MonkeyPatch) -> None:
    words = told(monkeypatch, fit(40.0, 1e-6, ReadingStrain(reading="rail_on", score=5.1)), compared(0.0))
    assert (
        "as large in under 0.1 % of cases, so something is not as drawn. Against all others stand out: rail on (+5.1 u)."
        in words
    )


def test_a_misfit_in_a_bearable_sum_speaks_against_the_circuit(monkeypatch: pytest.MonkeyPatch) -> None:
    words = told(monkeypatch, fit(12.0, 0.1, ReadingStrain(reading="x", score=2.0)), compared(4.5))
    assert "(4.5 u) lies off what the circuit should show" in words
    assert "in under 0.1 % of cases, so something is not as drawn, or not as read." in words


def test_after_a_misfit_stands_what_may_be_wrong(monkeypatch: pytest.MonkeyPatch) -> None:
    assert "What may be wrong" in told(monkeypatch, fit(12.0, 0.1), compared(4.5))


def test_a_strained_reading_is_told_with_how_often_chance_would_strain_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    words = told(monkeypatch, fit(9.0, 0.25), compared(2.5))
    assert (
        "one would lie as far off by chance in 8.4 % of cases; read it again before more rests on it."
        in words
    )


@pytest.mark.parametrize("score", [2.5, 4.5])
def test_no_named_misfit_is_followed_by_words_that_nothing_speaks_against_the_circuit(
    monkeypatch: pytest.MonkeyPatch, score: float
) -> None:
    assert "do not speak against" not in told(monkeypatch, fit(9.0, 0.25), compared(score))


def test_a_seldom_sum_without_a_reading_that_stands_out_is_told_as_seldom(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    words = told(monkeypatch, fit(15.0, 0.04), compared(0.0))
    assert "in 4.0 % of cases, which is seldom, though no single reading stands out" in words


def test_readings_that_all_agree_prove_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    words = told(monkeypatch, fit(6.0, 0.54), compared(0.0))
    assert "in 54 % of cases, and no single reading stands out." in words
    assert "which does not prove it" in words


def test_the_fit_of_a_dossier_counts_each_number_read() -> None:
    assert len(fan().comparisons) == fit_of(fan().dossier).readings
