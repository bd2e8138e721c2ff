"""Questions to meters and their answers."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.meters import QUESTIONS, answer_of, ask_from


@pytest.mark.parametrize("words", sorted(QUESTIONS))
def test_what_can_be_measured_can_be_asked_for(words: str) -> None:
    ask = ask_from(words)
    assert QUESTIONS[words] == ask.question
    assert ask.unit


@pytest.mark.parametrize(
    ("text", "heading", "question"),
    [
        ("current dc", "I [A]", "MEAS:CURR:DC?"),
        ("cell = voltage dc", "cell [V]", "MEAS:VOLT:DC?"),
        ("cell [mV] = MEAS:VOLT? (@101)", "cell [mV]", "MEAS:VOLT? (@101)"),
        ("glow = READ?", "glow", "READ?"),
    ],
)
def test_a_column_has_its_heading_and_question(text: str, heading: str, question: str) -> None:
    ask = ask_from(text)
    assert (heading, question) == (ask.heading, ask.question)


@pytest.mark.parametrize(
    "text", ["x = OUTP ON", "x = VOLT 5", "x = *RST", "x = MEAS?;OUTP ON", "x = MEAS?\nOUTP ON"]
)
def test_nothing_but_a_question_is_ever_sent(text: str) -> None:
    with pytest.raises(ImpossibleValue, match=r"is not one question"):
        ask_from(text)


def test_an_unknown_measurement_suggests_the_nearest() -> None:
    with pytest.raises(UnknownName, match="no meter is asked for 'voltage cd'"):
        ask_from("voltage cd")


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(UnknownName):
        ask_from("x [parsnips] = READ?")


def test_a_name_that_would_break_the_table_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="cannot head a column"):
        ask_from("a,b = READ?")


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("+4.98765E+00", "4.98765"),
        ("-1.5e-3\r\n", "-0.0015"),
        ("1.250 V", "1.250"),
        ("0.5,1.0,2.0", "0.5"),
        ("9.9E37", "OL"),
        ("-9.9E+37", "OL"),
        ("9.91E37", ""),
        ("ERROR", ""),
        ("", ""),
    ],
)
def test_answers_are_read_with_the_digits_that_were_sent(text: str, cell: str) -> None:
    assert cell == answer_of(text).cell


@given(st.decimals(-(10**9), 10**9, allow_nan=False, allow_infinity=False, places=6))
def test_a_number_in_any_form_comes_back(number: Decimal) -> None:
    for text in (f"{number:f}", f"{number:E}", f"+{number:f}" if number >= 0 else f"{number:f}"):
        assert number == answer_of(text).number


@pytest.mark.parametrize("text", ["12\xff.7", "\xff3.7", "3.7\x00", "\xa03.7"])
def test_an_answer_that_the_line_garbled_is_no_number(text: str) -> None:
    assert "" == answer_of(text).cell


def test_a_unit_in_letters_of_its_own_is_passed_over() -> None:
    assert "21.5" == answer_of("21.5 \xb0C").cell


def test_words_that_cannot_be_asked_are_told_which_can() -> None:
    with pytest.raises(UnknownName) as caught:
        ask_from("voltge dc")
    assert caught.value.remedy.startswith(
        "did you mean 'voltage dc'? name one of voltage dc, voltage ac, current dc,"
    )
