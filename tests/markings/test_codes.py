"""Writing codes and reading them back; preferred numbers; the table of top marks."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.markings import (
    E_SERIES,
    decode,
    encode_bands,
    encode_digits,
    encode_eia96,
    marks_from_rows,
    nearest_preferred,
    series_of,
)
from lidoff.markings.marks import own_marks
from lidoff.markings.text import decimal_value

TERMS_E24 = st.sampled_from(E_SERIES["E24"])
TERMS_E96 = st.sampled_from(E_SERIES["E96"])


def resistances(text: str) -> list[float]:
    return [meaning.value.value for meaning in decode(text, what="resistor") if meaning.value is not None]


@settings(deadline=None)
@given(term=TERMS_E96, exponent=st.integers(-3, 5))
def test_eia96_reads_back_what_it_wrote(term: int, exponent: int) -> None:
    ohms = decimal_value(str(term), exponent)
    assert ohms in resistances(encode_eia96(ohms))


@settings(deadline=None)
@given(term=TERMS_E24, exponent=st.integers(-2, 9))
def test_three_digits_read_back_what_they_wrote(term: int, exponent: int) -> None:
    ohms = decimal_value(str(term), exponent)
    assert ohms in resistances(encode_digits(ohms))


@settings(deadline=None)
@given(term=TERMS_E96, exponent=st.integers(-3, 9))
def test_four_digits_read_back_what_they_wrote(term: int, exponent: int) -> None:
    ohms = decimal_value(str(term), exponent)
    assert ohms in resistances(encode_digits(ohms, digits=4))


@settings(deadline=None)
@given(
    term=TERMS_E24,
    exponent=st.integers(-2, 9),
    tolerance=st.sampled_from([0.01, 0.02, 0.05, 0.1, 0.25, 0.5, 1, 2, 5, 10]),
)
def test_four_bands_read_back_what_they_wrote(term: int, exponent: int, tolerance: float) -> None:
    ohms = decimal_value(str(term), exponent)
    bands = encode_bands(ohms, tolerance=tolerance)
    meanings = decode(" ".join(bands), what="resistor")
    assert any(
        meaning.value is not None
        and meaning.value.value == ohms
        and meaning.limits is not None
        and meaning.limits.high == pytest.approx(ohms * (1 + tolerance / 100))
        for meaning in meanings
    )


@settings(deadline=None)
@given(term=TERMS_E96, exponent=st.integers(-3, 8))
def test_five_bands_read_back_what_they_wrote(term: int, exponent: int) -> None:
    ohms = decimal_value(str(term), exponent)
    assert ohms in resistances(" ".join(encode_bands(ohms, tolerance=1, bands=5)))


def test_zero_is_written_as_a_link() -> None:
    assert (encode_digits(0.0), encode_digits(0.0, digits=4)) == ("000", "0000")


def test_more_figures_than_the_code_holds_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"4990.0 does not fit a code of 3 digits; round it"):
        encode_digits(4990.0)


@pytest.mark.parametrize("value", [-1.0, float("nan"), float("inf"), 1e12])
def test_impossible_values_have_no_digit_code(value: float) -> None:
    with pytest.raises(ImpossibleValue, match="has no digit code of 3 digits"):
        encode_digits(value)


def test_a_value_off_the_series_has_no_eia96_code() -> None:
    with pytest.raises(ImpossibleValue, match=r"4700.0 Ω has no EIA-96 code; give a value of the E96 series"):
        encode_eia96(4700.0)


def test_a_value_of_three_figures_needs_five_bands() -> None:
    with pytest.raises(
        ImpossibleValue, match=r"4990.0 can't be written with 4 bands; the nearest preferred value is 5100"
    ):
        encode_bands(4990.0, tolerance=1)


def test_a_tolerance_without_a_colour_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"no colour stands for ±3 %; colours stand for 0.01, 0.02"):
        encode_bands(4700.0, tolerance=3)


# --- preferred numbers


@settings(deadline=None)
@given(term=TERMS_E96, exponent=st.integers(-15, 15))
def test_a_term_of_e96_is_found_at_any_power_of_ten(term: int, exponent: int) -> None:
    found = series_of(decimal_value(str(term), exponent))
    assert term in E_SERIES[found] or term // 10 in E_SERIES[found]


@settings(deadline=None)
@given(value=st.floats(1e-12, 1e12), name=st.sampled_from(sorted(E_SERIES)))
def test_the_nearest_term_lies_within_half_a_step(value: float, name: str) -> None:
    near = nearest_preferred(value, series=name)
    terms = sorted(E_SERIES[name])
    widest = max(after / before for before, after in zip(terms, [*terms[1:], 10.0 * terms[0]], strict=True))
    assert max(near / value, value / near) <= widest**0.5 * (1.0 + 1e-9)


def test_zero_is_in_no_series() -> None:
    with pytest.raises(ImpossibleValue, match=r"0.0 has no place in an E series"):
        series_of(0.0)


def test_an_unknown_series_is_refused() -> None:
    with pytest.raises(UnknownName, match="'E13' is not an E series; known: E12, E192"):
        nearest_preferred(1.0, series="E13")


# --- top marks


def row(**changes: Any) -> dict[str, Any]:
    candidate = {"part": "EX7", "what": "diode", "says": "invented, 40 V"}
    return {"mark": "QQ9", "package": "SOT-23", "source": "invented", "candidates": [candidate]} | changes


def test_own_marks_are_read_beside_the_packages() -> None:
    extra = marks_from_rows({"mark": [row(mark="A7")]})
    assert {"BAV99", "EX7"} == {
        meaning.says.partition(":")[0] for meaning in decode("A7", what="diode", extra_marks=extra)
    }


def test_an_own_mark_keeps_its_source() -> None:
    (meaning,) = decode("QQ9", extra_marks=marks_from_rows({"mark": [row()]}))
    assert (meaning.source, meaning.from_memory) == ("invented", False)


def test_a_makers_last_sign_is_set_aside_with_a_doubt() -> None:
    assert "the last sign p is taken for a maker's sign" in decode("1Fp")[0].doubts


def test_a_recalled_mark_says_so() -> None:
    assert decode("2TY", what="bipolar transistor")[0].from_memory


def test_a_mark_read_in_a_data_sheet_names_it() -> None:
    (meaning,) = decode("1AM", what="bipolar transistor")
    assert (meaning.source, meaning.from_memory) == ("maker's data sheet BL/SSSTC061 rev. A, MMBT3904", False)


def test_no_part_stands_twice_under_one_mark() -> None:
    places = [
        (mark.mark, mark.package, candidate.part) for mark in own_marks() for candidate in mark.candidates
    ]
    assert len(places) == len(set(places))


def test_all_faults_of_a_table_are_told_at_once() -> None:
    table = {"mark": [row(mark=""), row(colour="red"), row(candidates=[])], "marks": []}
    with pytest.raises(ImpossibleValue, match="4 unusable rows or keys") as caught:
        marks_from_rows(table)
    assert sorted(str(fault) for fault in caught.value.faults) == [
        'mark 1: mark is missing or no text; give mark = "…"',
        "mark 2: unknown key 'colour'; known: mark, package, source, candidates",
        "mark 3: 'QQ9' has no candidates; give candidates = [{ part, what, says }]",
        "unknown table 'marks'; rows stand under [[mark]]",
    ]


def test_a_part_of_unknown_kind_is_refused() -> None:
    candidate = {"part": "EX7", "what": "valve", "says": "invented"}
    with pytest.raises(
        ImpossibleValue, match="what = 'valve' is not known; use one of MOSFET, bipolar transistor"
    ):
        marks_from_rows({"mark": [row(candidates=[candidate])]})


@settings(deadline=None)
@given(
    table=st.dictionaries(
        st.sampled_from(["mark", "other"]),
        st.lists(
            st.dictionaries(
                st.sampled_from(["mark", "package", "source", "candidates"]),
                st.text(max_size=3)
                | st.integers()
                | st.lists(st.dictionaries(st.text(max_size=4), st.text(max_size=3))),
            )
            | st.none()
        )
        | st.integers(),
    )
)
def test_any_parsed_table_gives_marks_or_our_error(table: dict[str, object]) -> None:
    try:
        told = len(marks_from_rows(table))
    except ImpossibleValue as error:
        told = len(error.faults)
    assert told or not table.get("mark")
