"""Words: verdicts, percentages, differences, texts made fit to print."""

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.evidence import BorneOut, CannotTell, NetVoltage, NotBorneOut, Reading, compare, measure
from lidoff.quantities import Quantity
from lidoff.report import words
from lidoff.report.words import (
    amount,
    anchor,
    clean,
    counted,
    difference_words,
    loading,
    odds,
    percent,
    score,
    typeset,
    verdict_words,
)


def test_examples_in_the_docstrings_hold() -> None:
    assert 0 == doctest.testmod(words).failed


def test_verdicts_are_told_in_three_fixed_phrases() -> None:
    verdicts = (
        BorneOut(probability=0.99),
        NotBorneOut(probability=0.0),
        CannotTell(why="close", needs="more"),
    )
    phrases = ["borne out", "not borne out", "cannot tell from these readings"]
    assert phrases == [verdict_words(verdict) for verdict in verdicts]


def test_a_probability_that_cannot_be_given_is_said_so() -> None:
    assert "no probability can be given" == odds(CannotTell(why="nothing read", needs="a reading"))


@given(st.floats(0.0, 1.0))
def test_no_percentage_reads_as_bare_nought_or_hundred(share: float) -> None:
    assert percent(share) not in ("0 %", "0.0 %", "100 %", "100.0 %")


def test_a_load_above_its_limit_is_told_in_full() -> None:
    assert "123 %" == loading(1.234)


def test_rounding_of_the_solver_is_told_as_nothing() -> None:
    assert "0 V" == amount(Quantity(3e-17, "V", 1e-18))


def _compared(read: str, predicted: float) -> str:
    measured = measure(Reading(name="r", target=NetVoltage(net="out"), shown=(read,)), {})
    return difference_words(compare(measured, Quantity(predicted, "V", 0.0)))


@pytest.mark.parametrize(
    ("predicted", "expected"),
    [
        (4.40, "agrees exactly"),
        (4.42, "agrees: predicted 20 mV more"),
        (4.375, "strained: predicted 25 mV less"),
        (4.50, "misfit: predicted 100 mV more"),
    ],
)
def test_a_difference_is_told_by_its_size_and_way(predicted: float, expected: str) -> None:
    assert expected == _compared("4.40 V ± 0.02 V", predicted)


def test_a_score_keeps_its_sign_but_not_on_nought() -> None:
    measured = measure(Reading(name="r", target=NetVoltage(net="out"), shown=("4.40 V ± 0.02 V",)), {})
    scores = [score(compare(measured, Quantity(value, "V"))) for value in (4.42, 4.38, 4.4001)]
    assert ["+2.0 u", "−2.0 u", "0.0 u"] == scores


def test_counts_are_words_up_to_twelve() -> None:
    assert ["no claims", "one claim", "twelve claims", "13 claims"] == [
        counted(number, "claim") for number in (0, 1, 12, 13)
    ]


def test_marks_that_turn_the_reading_direction_are_taken_out() -> None:
    assert "R1 abc" == clean("R1 \u202eabc\u2066\x00\x1b")


def test_numbers_stay_with_their_units_at_a_line_end() -> None:
    told = typeset("5.02 V × 1.58 A = 7.9 W ± 0.1 W; 62 % of 20 mA, 3 of 4 kinds")
    assert "5.02~V × 1.58~A = 7.9~W ±~0.1~W; 62~% of 20~mA, 3 of 4 kinds" == told.replace("\xa0", "~")


@given(st.text(max_size=12), st.text(max_size=12))
def test_different_names_have_different_anchors(one: str, other: str) -> None:
    assert (one == other) == (anchor("part", one) == anchor("part", other))


@given(st.text(max_size=12))
def test_an_anchor_is_plain(name: str) -> None:
    assert anchor("net", name).replace("-", "").replace("_", "").isalnum()
    assert anchor("net", name).isascii()
