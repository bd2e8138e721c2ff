from __future__ import annotations

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities import Quantity, parse_quantity, resolution_of
from lidoff.quantities.table import UNITS

# Text, expected unit, value and kept unit.
PLAIN: list[tuple[str, str | None, float, str]] = [
    ("4.7 kΩ", None, 4700.0, "Ω"),
    ("4.7 k\u2126", None, 4700.0, "Ω"),
    ("4k7", "Ω", 4700.0, "Ω"),
    ("4K7", None, 4700.0, "Ω"),
    ("4k7", None, 4700.0, "Ω"),
    ("2R2", None, 2.2, "Ω"),
    ("R47", "Ω", 0.47, "Ω"),
    ("0R", "Ω", 0.0, "Ω"),
    ("100R", None, 100.0, "Ω"),
    ("10K", "Ω", 1e4, "Ω"),
    ("10 K", None, 10.0, "K"),
    ("1M", "Ω", 1e6, "Ω"),
    ("10 k", "Ω", 1e4, "Ω"),
    ("100n", "F", 1e-7, "F"),
    ("100n", None, 1e-7, "F"),
    ("4u7", "F", 4.7e-6, "F"),
    ("4\u03bc7", "H", 4.7e-6, "H"),
    ("3V3", None, 3.3, "V"),
    ("270 Ω", None, 270.0, "Ω"),
    ("270ohm", None, 270.0, "Ω"),
    ("1.58A", None, 1.58, "A"),
    ("60W", None, 60.0, "W"),
    ("60w", "W", 60.0, "W"),
    ("2000mAh", None, 2.0, "Ah"),
    ("2000MAH", "Ah", 2.0, "Ah"),
    ("7.4 Wh", None, 7.4, "Wh"),
    ("7.4 Wh", "J", 26640.0, "J"),
    ("20 min", None, 1200.0, "s"),
    ("3 h", "s", 10800.0, "s"),
    ("9000 Pa", None, 9000.0, "Pa"),
    ("9 kPa", None, 9000.0, "Pa"),
    ("365 nm", None, 365e-9, "m"),
    ("5 %", None, 0.05, "1"),
    ("0.93", "1", 0.93, "1"),
    ("25 °C", None, 25.0, "°C"),
    ("25 C", "°C", 25.0, "°C"),
    ("77 °F", None, 25.0, "°C"),
    ("\u22125 V", None, -5.0, "V"),
    ("- 5 V", None, -5.0, "V"),
    ("+5V", None, 5.0, "V"),
    ("1e-3 A", None, 1e-3, "A"),
    ("1.5E3Ω", None, 1500.0, "Ω"),
    ("1.5 × 10^3 Ω", None, 1500.0, "Ω"),
    ("1.5·10⁻³ A", None, 1.5e-3, "A"),
    ("4,40 V", None, 4.4, "V"),
    ("0,100 V", None, 0.1, "V"),
    (",5 V", None, 0.5, "V"),
    ("1 000 Ω", None, 1000.0, "Ω"),
    ("12\u202f000,5 Ω", None, 12000.5, "Ω"),
    ("500 ppm/°C", None, 5e-4, "1/K"),
    ("1/4W", "W", 0.25, "W"),
    ("1/8 W", None, 0.125, "W"),
    ("2 1/K", None, 2.0, "1/K"),
    ("5\u00a0V", None, 5.0, "V"),
]


@pytest.mark.parametrize(("text", "unit", "value", "kept"), PLAIN)
def test_text_is_read_as_people_write_it(text: str, unit: str | None, value: float, kept: str) -> None:
    assert Quantity(value, kept) == parse_quantity(text, unit=unit)


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("4.40 V ± 0.02 V", None, Quantity(4.4, "V", 0.01)),
        ("4.40 V ± 20 mV", "V", Quantity(4.4, "V", 0.01)),
        ("4.40 ± 0.02 V", None, Quantity(4.4, "V", 0.01)),
        ("4.40 V ± 0.02", None, Quantity(4.4, "V", 0.01)),
        ("(4.40 ± 0.02) V", None, Quantity(4.4, "V", 0.01)),
        ("(4400 ± 20)mV", "V", Quantity(4.4, "V", 0.01)),
        ("4,40 V +/- 0,02 V", None, Quantity(4.4, "V", 0.01)),
        ("4.40(2) V", None, Quantity(4.4, "V", 0.02)),
        ("127.732(70) Ω", None, Quantity(127.732, "Ω", 0.07)),
        ("4.7(2)e3 Ω", None, Quantity(4700.0, "Ω", 200.0)),
        ("1.2 mA ± 3 %", None, Quantity(1.2e-3, "A", 1.8e-5)),
        ("\u22121.2 mA ± 3 %", None, Quantity(-1.2e-3, "A", 1.8e-5)),
        ("4k7 ± 5 %", "Ω", Quantity(4700.0, "Ω", 117.5)),
        ("50 % ± 2 %", None, Quantity(0.5, "1", 0.01)),
        ("200 ± 4", "1", Quantity(200.0, "1", 2.0)),
        ("20 °C ± 2 K", None, Quantity(20.0, "°C", 1.0)),
        ("20 °C ± 2 °C", "°C", Quantity(20.0, "°C", 1.0)),
        ("77 °F ± 18 °F", "°C", Quantity(25.0, "°C", 5.0)),
    ],
)
def test_uncertainty_is_read_as_stated(text: str, unit: str | None, expected: Quantity) -> None:
    assert expected == parse_quantity(text, unit=unit)


@pytest.mark.parametrize(
    ("text", "small", "large"),
    [
        ("5,012 V", "5.012 V", "5012 V"),
        ("12,345 mV", "12.345 mV", "12345 mV"),
        ("4 V ± 1,000 V", "4 V ± 1.000 V", "4 V ± 1000 V"),
    ],
)
def test_a_comma_that_may_part_thousands_is_refused_with_both_ways_to_write_it(
    text: str, small: str, large: str
) -> None:
    with pytest.raises(ImpossibleValue) as caught:
        parse_quantity(text)
    assert (
        f"{text!r} can be read in two ways: a comma may be the decimal sign or part thousands"
        == caught.value.what
    )
    assert f'write "{small}" or "{large}"' == caught.value.remedy


@pytest.mark.parametrize(
    ("text", "sign", "plain"),
    [
        ("1,000,000 V", ",", "1 000 000 V"),
        ("1,000.5 V", ",", "1 000.5 V"),
        ("1.000.000 V", ".", "1 000 000 V"),
        ("1.234,5 kΩ", ".", "1 234.5 kΩ"),
    ],
)
def test_signs_that_part_thousands_are_refused_with_spaces_in_their_place(
    text: str, sign: str, plain: str
) -> None:
    with pytest.raises(ImpossibleValue) as caught:
        parse_quantity(text)
    assert f"{text!r} parts thousands by {sign!r}, which may also be a decimal sign" == caught.value.what
    assert f'write "{plain}"' == caught.value.remedy
    assert parse_quantity(plain).value > 999.0


@pytest.mark.parametrize(
    ("text", "digits", "many"),
    [
        ("5..012 V", "5..012", "two"),
        ("5.0.1 V", "5.0.1", "two"),
        ("1.2.3 kΩ", "1.2.3", "two"),
        ("5.,0 V", "5.,0", "two"),
        ("1.2.3.4 V", "1.2.3.4", "three"),
    ],
)
def test_more_than_one_decimal_sign_makes_no_number(text: str, digits: str, many: str) -> None:
    with pytest.raises(ImpossibleValue) as caught:
        parse_quantity(text)
    assert f"{text!r} is no number: {digits!r} has {many} decimal signs" == caught.value.what


def test_a_stated_decimal_sign_settles_the_comma() -> None:
    assert Quantity(1.0, "V") == parse_quantity("1,000 V", decimal=",")
    with pytest.raises(ImpossibleValue, match="other signs than one"):
        parse_quantity("1,000 V", decimal=".")


@pytest.mark.parametrize(
    ("text", "unit"), [("4.40", "V"), ("4.40", None), ("4.40 ± 0.02", "V"), ("200", None)]
)
def test_a_bare_number_is_refused(text: str, unit: str | None) -> None:
    with pytest.raises(ImpossibleValue, match="value without unit; write for instance"):
        parse_quantity(text, unit=unit)


def test_another_dimension_is_refused_with_the_unit_that_is_expected() -> None:
    with pytest.raises(ImpossibleValue, match=r"'4.4 A' states current \[A\], but voltage \[V\] is expected"):
        parse_quantity("4.4 A", unit="V")
    with pytest.raises(ImpossibleValue, match="states current"):
        parse_quantity("4.4 V ± 1 A")


def test_a_lone_prefix_is_no_time() -> None:
    # 5m could be five minutes or five milliseconds.
    with pytest.raises(ImpossibleValue, match=r"states length \[m\], but time \[s\] is expected"):
        parse_quantity("5m", unit="s")


@pytest.mark.parametrize("text", ["25 °C", "298 K"])
def test_celsius_and_kelvin_do_not_turn_into_each_other(text: str) -> None:
    with pytest.raises(ImpossibleValue, match="temperature"):
        parse_quantity(text, unit="K" if "C" in text else "°C")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "does not start with a number"),
        ("abc", "does not start with a number"),
        ("V 5", "does not start with a number"),
        ("± 5 V", "value ± uncertainty"),
        ("5 V ±", "value ± uncertainty"),
        ("5 V ± 1 V ± 2 V", "value ± uncertainty"),
        ("(5 ± 1 V", "bracket that does not close"),
        ("5 V ± -1 V", "no plain positive number"),
        ("4.40(2) V ± 0.02 V", "states its uncertainty twice"),
        ("3-4 V", "one number with a unit"),
        ("5 V; 3 A", "one number with a unit"),
        ("1e999 V", "too large or too small"),
        ("1e-999 V", "too large or too small"),
        ("10K", "can mean kiloohm or kelvin"),
        ("R47", "does not start with a number"),
        ("5 " + "V" * 300, "302 characters"),
    ],
)
def test_text_that_is_no_quantity_is_refused_in_words(text: str, words: str) -> None:
    with pytest.raises(ImpossibleValue, match=words):
        parse_quantity(text)


def test_an_unknown_unit_is_named_with_the_nearest_one() -> None:
    with pytest.raises(UnknownName, match="unknown unit 'vlot' in '5 vlot'; did you mean 'volt'"):
        parse_quantity("5 vlot")


@pytest.mark.parametrize(
    ("text", "unit", "step"),
    [
        ("4.40 V", None, 0.01),
        ("4.400 V ± 0.02 V", None, 0.001),
        ("440 mV", None, 1e-3),
        ("1.2e-3 A", None, 1e-4),
        ("270 Ω", None, 1.0),
        ("4k7", "Ω", 100.0),
        ("2R20", "Ω", 0.01),
        ("2000 mAh", None, 1e-3),
        ("25.0 °C", None, 0.1),
        ("(4.40 ± 0.02) V", None, 0.01),
        ("4,40 V", None, 0.01),
        ("1 000 Ω", None, 1.0),
    ],
)
def test_the_resolution_is_the_last_digit_as_typed(text: str, unit: str | None, step: float) -> None:
    assert step == resolution_of(text, unit=unit).value


def test_the_resolution_of_junk_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="does not start with a number"):
        resolution_of("about five volts")


NEAR_MISSES = st.lists(
    st.sampled_from(
        [*"0123456789.,+-±()%eE ", "k", "M", "m", "µ", "Ω", "V", "A", "R", "10^", "×", "°C", "/", "²", "±"]
    ),
    max_size=14,
).map("".join)
SYMBOLS = st.none() | st.sampled_from([unit.symbol for unit in UNITS])


@given(text=st.text(max_size=40) | NEAR_MISSES, unit=SYMBOLS)
@example(text="9" * 199, unit="V")
@example(text="1e99999999999 V", unit=None)
@example(text="٣ V", unit=None)
@example(text="1(9)e-300 V", unit=None)
def test_any_text_is_read_or_refused_and_nothing_else(text: str, unit: str | None) -> None:
    try:
        quantity = parse_quantity(text, unit=unit)
    except (ImpossibleValue, UnknownName):
        pass
    else:
        assert math.isfinite(quantity.value)
        assert unit in (None, quantity.unit)
