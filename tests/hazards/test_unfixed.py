"""Voltages of nets that nothing fixes are told as unknown, and never as a fault."""

import pytest

from lidoff.circuit import Part
from lidoff.hazards import Subject, stresses_of

from .build import answers, part, subject


def supply(volts: float) -> Part:
    return part("V1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=volts)


def electrolytic(name: str, plus: str, minus: str, **values: float) -> Part:
    pins = {"plus": plus, "minus": minus}
    return part(name, "electrolytic_capacitor", pins, capacitance=1e-4, voltage_rating=25.0, **values)


def in_series(volts: float, *more: Part) -> Subject:
    return subject(supply(volts), electrolytic("C1", "plus", "m"), electrolytic("C2", "m", "gnd"), *more)


def voltages_told(looked_at: Subject) -> set[str]:
    return {one.reference for one in stresses_of(looked_at) if one.rating == "voltage_rating"}


def test_no_voltage_is_told_of_capacitors_whose_middle_nothing_fixes() -> None:
    assert set() == voltages_told(in_series(40.0))


def test_three_capacitors_in_series_are_all_untold() -> None:
    parts = (electrolytic("C1", "plus", "m"), electrolytic("C2", "m", "n"), electrolytic("C3", "n", "gnd"))
    assert set() == voltages_told(subject(supply(40.0), *parts))


def test_a_capacitor_over_a_resistor_on_loose_nets_is_told() -> None:
    """Both ends hang together by the resistor, so between them there is no voltage."""
    bleeder = part("R1", "resistor", {"1": "m", "2": "n"}, resistance=1e3)
    parts = (electrolytic("C1", "plus", "m"), electrolytic("C2", "m", "n"), electrolytic("C3", "n", "gnd"))
    assert {"C2"} == voltages_told(subject(supply(40.0), *parts, bleeder)) - {"R1"}


def test_capacitors_that_may_be_over_their_rating_are_told_once_as_unknown() -> None:
    (found,) = (one for one in answers("stress", in_series(40.0)) if one.flagged)
    assert ("cannot tell", ("C1", "C2"), ("m",)) == (found.outcome, found.parts, found.nets)
    assert "C1 may see up to 40 V" in found.what
    assert "leakage_resistance" in found.remedy


def test_capacitors_that_stand_the_whole_voltage_are_not_told_as_unknown() -> None:
    assert [] == [one for one in answers("stress", in_series(20.0)) if one.flagged]


def test_balancing_resistors_fix_the_voltage() -> None:
    resistors = (
        part("R1", "resistor", {"1": "plus", "2": "m"}, resistance=1e5),
        part("R2", "resistor", {"1": "m", "2": "gnd"}, resistance=1e5),
    )
    looked_at = in_series(40.0, *resistors)
    found = {
        one.reference: one.load.value for one in stresses_of(looked_at) if one.rating == "voltage_rating"
    }
    assert {name: pytest.approx(20.0) for name in ("C1", "C2", "R1", "R2")} == found


def test_the_charge_of_capacitors_whose_middle_nothing_fixes_is_not_told() -> None:
    (found,) = answers("stored charge", in_series(100.0))
    assert ("cannot tell", ("C1", "C2")) == (found.outcome, found.parts)
    assert "up to 100 V" in found.what


def test_a_short_of_either_of_two_capacitors_in_series_is_told_by_the_other() -> None:
    effects = {one.title: one for one in in_series(40.0).fault_effects}
    assert ["C2"] == [one.reference for one in effects["C1 shorted"].overloads]
    assert ["C1"] == [one.reference for one in effects["C2 shorted"].overloads]


def test_no_current_is_told_through_a_transistor_whose_gate_nothing_drives() -> None:
    switched = subject(
        supply(5.0),
        part("R1", "resistor", {"1": "plus", "2": "d"}, resistance=1.0),
        part("Q1", "mosfet_n", {"gate": "g", "drain": "d", "source": "gnd"}, current_rating=1.0),
    )
    told = {one.rating for one in stresses_of(switched) if one.reference == "Q1"}
    assert not told & {"current_rating", "power_rating"}
