from __future__ import annotations

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue
from lidoff.quantities import Quantity, format_quantity, parse_quantity
from lidoff.quantities.table import UNITS


@pytest.mark.parametrize(
    ("expected", "quantity"),
    [
        ("4.40 V ± 0.02 V", Quantity(4.4, "V", 0.01)),
        ("4.400 V ± 0.021 V", Quantity(4.4, "V", 0.0105)),
        ("4.40 V ± 0.04 V", Quantity(4.4, "V", 0.0175)),
        ("4.40 V ± 0.10 V", Quantity(4.4, "V", 0.0498)),
        ("1.58 mA ± 0.04 mA", Quantity(0.00158, "A", 0.00002)),
        ("12.3 kΩ ± 0.2 kΩ", Quantity(12340.0, "Ω", 100.0)),
        ("1.0 kΩ ± 0.2 kΩ", Quantity(999.0, "Ω", 100.0)),
        ("0.00 V ± 0.02 V", Quantity(0.0, "V", 0.01)),
        ("−1.20 V ± 0.03 V", Quantity(-1.2, "V", 0.015)),
        ("0 V ± 3 V", Quantity(0.1, "V", 1.5)),
        ("0.0 V ± 1.0 V", Quantity(-0.001, "V", 0.5)),
        ("20 °C ± 2 °C", Quantity(20.0, "°C", 1.0)),
        ("120 lm/W ± 20 lm/W", Quantity(120.0, "lm/W", 10.0)),
        ("93 % ± 3 %", Quantity(0.93, "1", 0.015)),
        ("200 ± 4", Quantity(200.0, "1", 2.0)),
    ],
)
def test_value_and_uncertainty_share_unit_and_last_digit(expected: str, quantity: Quantity) -> None:
    assert expected == str(quantity)


@pytest.mark.parametrize(
    ("expected", "value", "unit"),
    [
        ("4.7 kΩ", 4700.0, "Ω"),
        ("270 Ω", 270.0, "Ω"),
        ("3.333 V", 10.0 / 3.0, "V"),
        ("1 kΩ", 999.96, "Ω"),
        ("0 V", 0.0, "V"),
        ("0 V", -0.0, "V"),
        ("0", 0.0, "1"),
        ("0 s", 0.0, "s"),
        ("100 nF", 1e-7, "F"),
        ("300 mV", 0.1 + 0.2, "V"),
        ("90 s", 90.0, "s"),
        ("20 min", 1200.0, "s"),
        ("3 h", 10800.0, "s"),
        ("250 g", 0.25, "kg"),
        ("5 %", 0.05, "1"),
        ("100 ppm/K", 1e-4, "1/K"),
        ("120°", 2 * math.pi / 3, "rad"),
        ("3000 rpm", 100 * math.pi, "rad/s"),
        ("−5 V", -5.0, "V"),
        ("1000 GV", 1e12, "V"),
        ("0.000000000001 °C", 1e-12, "°C"),
    ],
)
def test_a_plain_value_has_four_digits_without_trailing_zeros(expected: str, value: float, unit: str) -> None:
    assert expected == str(Quantity(value, unit))


def test_the_uncertainty_can_be_left_out_without_adding_digits() -> None:
    assert format_quantity(Quantity(4.4049, "V", 0.01), with_uncertainty=False) == "4.40 V"


def test_the_unit_can_be_chosen() -> None:
    assert format_quantity(Quantity(2.0, "Ah"), shown_in="mAh") == "2000 mAh"
    assert format_quantity(Quantity(2.0, "Ah", 0.05), shown_in="mAh") == "2000 mAh ± 100 mAh"
    assert format_quantity(Quantity(25.0, "°C", 5.0), shown_in="°F") == "77 °F ± 18 °F"
    assert format_quantity(Quantity(7.4, "Wh"), shown_in="kJ") == "26.64 kJ"


def test_a_unit_of_another_dimension_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="charge in Ah cannot be shown in 'mA'"):
        format_quantity(Quantity(2.0, "Ah"), shown_in="mA")


def test_digits_can_be_asked_for() -> None:
    assert format_quantity(Quantity(4.4, "V"), digits=3) == "4.40 V"
    assert format_quantity(Quantity(4.4, "V", 0.0123), digits=2) == "4.400 V ± 0.025 V"
    with pytest.raises(ImpossibleValue, match="0 significant digits"):
        format_quantity(Quantity(4.4, "V"), digits=0)


def test_the_decimal_comma_is_written_and_read_back() -> None:
    text = format_quantity(Quantity(4.4, "V", 0.0105), decimal=",")
    assert text == "4,400 V ± 0,021 V"
    assert parse_quantity(text, decimal=",") == Quantity(4.4, "V", 0.0105)
    with pytest.raises(ImpossibleValue, match="decimal sign ';'"):
        format_quantity(Quantity(4.4, "V"), decimal=";")


MAGNITUDES = st.floats(min_value=-12.0, max_value=9.0).map(lambda power: 10.0**power)
SIGNED = st.tuples(MAGNITUDES, st.sampled_from([-1.0, 1.0])).map(math.prod) | st.just(0.0)
KEPT = st.sampled_from([unit.symbol for unit in UNITS])


@given(value=SIGNED, unit=KEPT)
@example(value=999.95, unit="Ω")
@example(value=119.996, unit="s")
@example(value=0.99996, unit="1")
def test_print_then_parse_gives_the_value_within_its_rounding(value: float, unit: str) -> None:
    text = str(Quantity(value, unit))
    back = parse_quantity(text, unit=unit)
    assert back.unit == unit
    assert back.uncertainty == 0.0
    assert back.value == pytest.approx(value, rel=0.51e-3, abs=0.0)  # four digits: half of 1 in 1000
    assert "e" not in text.lower().split(" ")[0]


@given(value=SIGNED, spread=MAGNITUDES, unit=KEPT)
@example(value=999.96, spread=0.02, unit="Ω")
@example(value=1234.0, spread=100.0, unit="F")
@example(value=-40.0, spread=0.5, unit="°C")
def test_print_then_parse_gives_value_and_uncertainty_within_rounding(
    value: float, spread: float, unit: str
) -> None:
    back = parse_quantity(str(Quantity(value, unit, spread)), unit=unit)
    # One digit from 3 up: at most 0.5 in 3; two digits from 10 to 29: at most 0.5 in 10.
    assert back.uncertainty == pytest.approx(spread, rel=0.167, abs=0.0)
    assert abs(back.value - value) <= 0.2501 * back.expanded + 1e-14 * abs(value)


@given(value=SIGNED, spread=MAGNITUDES | st.just(0.0), unit=KEPT)
def test_a_printed_text_prints_the_same_once_read(value: float, spread: float, unit: str) -> None:
    text = str(Quantity(value, unit, spread))
    assert text == str(parse_quantity(text, unit=unit))
