"""Values are written as a person writes them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.schematic.text import engineering


@pytest.mark.parametrize(
    ("written", "value", "unit"),
    [
        ("270 Ω", 270.0, "Ω"),
        ("4.7 kΩ", 4700.0, "Ω"),
        ("1 MΩ", 999_999.0, "Ω"),
        ("100 nF", 1e-7, "F"),
        ("3.3 pF", 3.3e-12, "F"),
        ("−12.3 mA", -0.0123, "A"),
        ("0 V", 0.0, "V"),
        ("?", math.nan, "V"),
    ],
)
def test_a_value_takes_the_prefix_that_leaves_one_to_three_figures(
    written: str, value: float, unit: str
) -> None:
    assert engineering(value, unit) == written


@given(st.floats(min_value=1e-12, max_value=1e10))
def test_what_is_written_is_the_value_to_three_figures(value: float) -> None:
    number, unit = engineering(value, "V").split(" ")
    factor = {"p": 1e-12, "n": 1e-9, "µ": 1e-6, "m": 1e-3, "V": 1.0, "k": 1e3, "M": 1e6, "G": 1e9}[unit[0]]

    assert abs(float(number) * factor / value - 1.0) <= 0.005 + 1e-9
