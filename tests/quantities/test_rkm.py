from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue
from lidoff.quantities import format_rkm, parse_quantity


@pytest.mark.parametrize(
    ("expected", "value", "unit"),
    [
        ("4k7", 4700.0, "Ω"),
        ("2R2", 2.2, "Ω"),
        ("R47", 0.47, "Ω"),
        ("R005", 0.005, "Ω"),
        ("100R", 100.0, "Ω"),
        ("10k", 1e4, "Ω"),
        ("1M5", 1.5e6, "Ω"),
        ("1k", 999.99, "Ω"),
        ("0R", 0.0, "Ω"),
        ("100n", 1e-7, "F"),
        ("4µ7", 4.7e-6, "F"),
        ("4n7", 4.7e-9, "F"),
        ("4F7", 4.7, "F"),
        ("10µ", 1e-5, "H"),
        ("3V3", 3.3, "V"),
    ],
)
def test_the_letter_stands_for_the_decimal_point(expected: str, value: float, unit: str) -> None:
    assert expected == format_rkm(value, unit)


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (-1.0, "Ω", "no letter form"),
        (float("nan"), "Ω", "no letter form"),
        (float("inf"), "F", "no letter form"),
        (1e20, "Ω", "beyond the letters"),
        (1.0, "s", "no letter that stands for a decimal point"),
    ],
)
def test_a_value_without_letter_form_is_refused(value: float, unit: str, words: str) -> None:
    with pytest.raises(ImpossibleValue, match=words):
        format_rkm(value, unit)


@given(
    digits=st.integers(min_value=1, max_value=9999),
    power=st.integers(min_value=-3, max_value=8),
    unit=st.sampled_from(["Ω", "F", "H", "V", "A", "W"]),
)
def test_letters_read_back_as_the_value(digits: int, power: int, unit: str) -> None:
    exponent = power if unit == "Ω" else power - 12
    value = float(f"{digits}e{exponent}")
    assert value == pytest.approx(
        parse_quantity(format_rkm(value, unit), unit=unit).value, rel=1e-12, abs=0.0
    )
