"""Readings whose display shows no number."""

from __future__ import annotations

import pytest

from lidoff.errors import ImpossibleValue
from lidoff.evidence import (
    Instrument,
    NetVoltage,
    Range,
    Reading,
    Target,
    WithoutPower,
    is_over_range,
    measure,
    told_reading,
)

OHMS = WithoutPower(range_name="resistance", red="rail")
METER = Instrument(
    name="meter",
    title="",
    ranges=(
        Range(measures="resistance", up_to="6 kΩ", accuracy="±(1 % + 3)"),
        Range(measures="resistance", up_to="40 MΩ", accuracy="±(2 % + 3)"),
        Range(measures="voltage dc", up_to="600 V", accuracy="±(1 % + 3)"),
    ),
)


def read(target: Target, *shown: str, instrument: str = "", on_range: str = "") -> Reading:
    return Reading(name="r", target=target, shown=shown, instrument=instrument, on_range=on_range)


@pytest.mark.parametrize("text", ["over range", "Over range", "OL", "O.L", "0L", " ol "])
def test_what_displays_show_counts_as_over_range(text: str) -> None:
    assert is_over_range(text)
    assert measure(read(OHMS, text), {}).over_range


@pytest.mark.parametrize("text", ["0", "1 Ω", "oil", "", "over"])
def test_other_texts_do_not(text: str) -> None:
    assert not is_over_range(text)


def test_the_end_of_the_range_is_the_one_named_then_the_instruments_largest_then_a_usual_one() -> None:
    meters = {"meter": METER}
    assert measure(read(OHMS, "OL"), meters).quantity.value == 60e6
    assert measure(read(OHMS, "OL", instrument="meter"), meters).quantity.value == 40e6
    named = measure(read(OHMS, "OL", instrument="meter", on_range="6 kΩ"), meters)
    assert named.quantity.value == 6e3
    assert told_reading(named) == "over range (more than 6 kΩ)"


def test_a_range_for_voltages_is_no_end_of_the_diode_range() -> None:
    diode = WithoutPower(range_name="diode", red="rail")
    assert measure(read(diode, "OL", instrument="meter"), {"meter": METER}).quantity.value == 2.0


def test_a_reading_under_power_cannot_be_over_range() -> None:
    with pytest.raises(ImpossibleValue, match="instead of a number"):
        measure(read(NetVoltage(net="rail"), "OL"), {})


def test_repeats_are_all_over_range_or_none() -> None:
    with pytest.raises(ImpossibleValue, match="some of its repeats"):
        measure(read(OHMS, "OL", "52 MΩ"), {})


def test_a_number_is_told_as_it_is() -> None:
    assert told_reading(measure(read(OHMS, "52 kΩ ± 1 kΩ"), {})) == "52.0 kΩ ± 1.0 kΩ"
