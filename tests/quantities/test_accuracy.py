from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities import Accuracy, parse_accuracy


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("±(0.5 % + 3)", Accuracy(0.005, 3.0)),
        ("0.5% + 3 digits", Accuracy(0.005, 3.0)),
        ("±(0.8 % + 5 dgt)", Accuracy(0.008, 5.0)),
        ("±(0.5% rdg + 3 counts)", Accuracy(0.005, 3.0)),
        ("±0.5%±3d", Accuracy(0.005, 3.0)),
        ("+/-(0,5 % + 3)", Accuracy(0.005, 3.0)),
        ("1 %", Accuracy(0.01)),
        ("± 3 counts", Accuracy(0.0, 3.0)),
        ("1 count", Accuracy(0.0, 1.0)),
        ("0.5 % + 2 mV", Accuracy(0.005, floor=0.002, floor_unit="V")),
        ("± 2 °C", Accuracy(floor=2.0, floor_unit="°C")),
        ("0.05 % of reading + 0.02 % of range", Accuracy(0.0005, range_fraction=0.0002)),
        ("1 % FS + 2", Accuracy(counts=2.0, range_fraction=0.01)),
        ("50 ppm + 1 mV", Accuracy(5e-5, floor=0.001, floor_unit="V")),
    ],
)
def test_a_specification_is_read_as_data_sheets_write_it(text: str, expected: Accuracy) -> None:
    assert expected == parse_accuracy(text)


@pytest.mark.parametrize("text", ["", "±", "±3", "()", "about 1 %", "0.5 % + ", "3 + 0.5 %"])
def test_text_that_is_no_accuracy_is_refused(text: str) -> None:
    with pytest.raises(ImpossibleValue, match=r"accuracy|number"):
        parse_accuracy(text)


def test_a_part_is_stated_once() -> None:
    with pytest.raises(ImpossibleValue, match="twice; state each part once"):
        parse_accuracy("1 % + 2 %")


def test_a_fixed_part_is_of_the_readings_dimension() -> None:
    with pytest.raises(ImpossibleValue, match="states current"):
        parse_accuracy("1 % + 2 mA", unit="V")
    with pytest.raises(UnknownName, match="unknown unit 'zog'"):
        parse_accuracy("1 % + 2 zog")


def test_limits_are_spread_evenly() -> None:
    # 0.5 % of 4.40 V and three steps of 10 mV: 0.052 V, over the root of three.
    assert Accuracy(0.005, 3.0).half_width(-4.40, 0.01) == pytest.approx(0.052, abs=1e-12)
    assert Accuracy(0.005, 3.0).standard_uncertainty(4.40, 0.01) == pytest.approx(0.0300222, abs=5e-8)


def test_a_share_of_range_needs_the_range() -> None:
    accuracy = Accuracy(range_fraction=0.01)
    assert accuracy.half_width(1.0, 0.01, full_scale=20.0) == pytest.approx(0.2, abs=1e-12)
    with pytest.raises(ImpossibleValue, match="no range is given"):
        accuracy.half_width(1.0, 0.01)


@pytest.mark.parametrize("part", ["reading_fraction", "counts", "floor", "range_fraction"])
@pytest.mark.parametrize("amount", [-1.0, math.inf, math.nan])
def test_an_accuracy_that_cannot_be_is_refused(part: str, amount: float) -> None:
    parts: dict[str, Any] = {part: amount}
    with pytest.raises(ImpossibleValue, match=f"an accuracy with {part}"):
        replace(Accuracy(), **parts)


def test_a_fixed_part_has_its_unit() -> None:
    with pytest.raises(ImpossibleValue, match="give the fixed part with its unit"):
        Accuracy(0.005, floor=0.002)


def test_a_resolution_below_zero_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"a resolution of -0\.01"):
        Accuracy(0.005).half_width(1.0, -0.01)


@pytest.mark.parametrize(
    "text", ["±(0.5 % + 3 counts)", "±1 %", "±1 count", "±(1 % + 2 % of range)", "±2 mV"]
)
def test_an_accuracy_prints_as_it_is_read(text: str) -> None:
    assert text == str(parse_accuracy(text))


@given(text=st.text(alphabet="0123456789.,+±%() dgtmVAcounsrfeppm", max_size=20) | st.text(max_size=20))
def test_any_text_is_an_accuracy_or_refused(text: str) -> None:
    try:
        accuracy = parse_accuracy(text)
    except (ImpossibleValue, UnknownName):
        pass
    else:
        assert accuracy.half_width(1.0, 0.01, full_scale=10.0) >= 0.0


@pytest.mark.parametrize(
    ("reading", "half"), [(20.0, 2.0), (100.0, 2.0), (150.0, 3.0)], ids=["fixed", "equal", "share"]
)
def test_the_larger_of_two_specifications_counts(reading: float, half: float) -> None:
    for text in (
        "±2 °C or 2 %",
        "2 °C or 2 % of reading, whichever is greater",
        "±2 °C or ±2 %, whichever is the larger",
    ):
        assert half == pytest.approx(parse_accuracy(text, unit="°C").half_width(reading, 0.1))


def test_a_class_is_a_share_of_the_range() -> None:
    # A panel meter of class 1.5 on 10 V may be off by 0.15 V anywhere on its scale.
    assert 0.15 == pytest.approx(parse_accuracy("class 1.5").half_width(2.0, 0.1, full_scale=10.0))


def test_a_larger_of_two_needs_the_range_if_either_does() -> None:
    assert parse_accuracy("2 °C or 1 % of range").needs_range
    assert not parse_accuracy("2 °C or 1 %").needs_range


@pytest.mark.parametrize("text", ["2 °C or 2 %", "class 2.5", "0.5 % + 3 or 10 mV"])
def test_such_a_specification_is_read_back_from_its_text(text: str) -> None:
    accuracy = parse_accuracy(text)
    assert accuracy == parse_accuracy(str(accuracy))


def test_two_halves_of_an_alternative_must_both_be_accuracies() -> None:
    with pytest.raises(ImpossibleValue):
        parse_accuracy("2 °C or so")


@pytest.mark.parametrize("text", ["0.5 % + 3", "2 °C or 2 %", "0.1 % + 0.2 % of range + 1 mV or 1 %"])
def test_many_readings_at_once_have_the_limits_of_each(text: str) -> None:
    accuracy = parse_accuracy(text)
    readings = np.array([-150.0, 0.0, 20.0, 100.0, 150.0])
    each = [accuracy.half_width(float(one), 0.1, full_scale=200.0) for one in readings]
    assert each == pytest.approx(list(accuracy.half_widths(readings, 0.1, full_scale=200.0)))
