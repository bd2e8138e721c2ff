from __future__ import annotations

from decimal import Decimal

import pytest

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities.table import UNITS
from lidoff.quantities.unit import PREFIXES, Unit
from lidoff.quantities.units import find_spelling, spelling_key, unit_named

ALL_UNITS = [pytest.param(unit, id=unit.symbol) for unit in UNITS]


@pytest.mark.parametrize("unit", ALL_UNITS)
def test_every_symbol_is_its_own_spelling(unit: Unit) -> None:
    spelling = find_spelling(unit.symbol)
    assert (unit.symbol, Decimal(1), Decimal(0)) == (spelling.unit.symbol, spelling.factor, spelling.offset)


@pytest.mark.parametrize("unit", ALL_UNITS)
def test_every_way_to_show_a_unit_reads_back_as_that_unit(unit: Unit) -> None:
    for label, _ in unit.shown:
        assert unit.symbol == find_spelling(label, expected=unit).unit.symbol


@pytest.mark.parametrize("unit", ALL_UNITS)
def test_ways_to_show_a_unit_are_listed_from_small_to_large(unit: Unit) -> None:
    starts = [start for _, start in unit.shown]
    factors = [find_spelling(label, expected=unit).factor for label, _ in unit.shown]
    assert sorted(starts) == starts
    assert sorted(factors) == factors


@pytest.mark.parametrize("unit", ALL_UNITS)
def test_every_prefix_of_a_unit_scales_its_symbol(unit: Unit) -> None:
    for prefix in unit.prefixes:
        assert PREFIXES[prefix] == find_spelling(prefix + unit.symbol).factor


@pytest.mark.parametrize(
    ("text", "symbol", "factor"),
    [
        ("ohms", "Ω", "1"),
        ("kohm", "Ω", "1e3"),
        ("kilohm", "Ω", "1e3"),
        ("Megaohm", "Ω", "1e6"),
        ("uF", "F", "1e-6"),
        ("UF", "F", "1e-6"),
        ("microfarads", "F", "1e-6"),
        ("milliamps", "A", "1e-3"),
        ("KHZ", "Hz", "1e3"),
        ("mAh", "Ah", "1e-3"),
        ("MAH", "Ah", "1e-3"),
        ("w", "W", "1"),
        ("VDC", "V", "1"),
        ("min", "s", "60"),
        ("hrs", "s", "3600"),
        ("rpm", "rad/s", "0.10471975511965978"),
        ("W/m^2", "W/m²", "1"),
        ("mW/cm2", "W/m²", "10"),
        ("N m", "N·m", "1"),
        ("ohm*m", "Ω·m", "1"),
        ("Ω·mm²/m", "Ω·m", "1e-6"),
        ("°C/W", "K/W", "1"),
        ("ppm/°C", "1/K", "1e-6"),
        ("V/us", "V/s", "1e6"),
        ("mcd", "cd", "1e-3"),
        ("mΩ/m", "Ω/m", "1e-3"),
    ],
)
def test_a_spelling_stands_for_its_unit(text: str, symbol: str, factor: str) -> None:
    spelling = find_spelling(text)
    assert (symbol, Decimal(factor)) == (spelling.unit.symbol, spelling.factor)


def test_capital_m_is_mega_where_labels_do_not_shout() -> None:
    assert Decimal(10) ** 6 == find_spelling("MV").factor
    with pytest.raises(UnknownName, match="unknown unit 'MA'"):
        find_spelling("MA")


def test_an_unknown_unit_gets_the_nearest_spelling() -> None:
    with pytest.raises(UnknownName, match="unknown unit 'vlot' in '5 vlot'; did you mean 'volt'"):
        find_spelling("vlot", within="5 vlot")


def test_a_unit_that_could_be_two_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"can mean .*mind capitals"):
        find_spelling("NM")


def test_the_expected_unit_settles_what_a_letter_means() -> None:
    assert find_spelling("C").unit.symbol == "C"
    assert find_spelling("C", expected=unit_named("°C")).unit.symbol == "°C"
    assert find_spelling("K").unit.symbol == "K"
    assert find_spelling("K", expected=unit_named("Ω")).factor == 1000
    assert find_spelling("m", expected=unit_named("V")).factor == Decimal("1e-3")
    assert find_spelling("m", expected=unit_named("m")).factor == 1


def test_spacing_dots_and_raised_digits_do_not_matter() -> None:
    assert spelling_key("W/m²") == spelling_key("W / m^2")
    assert spelling_key("N·m") == spelling_key("N m")
