"""Contacts against their ratings: relays, changeover and selector switches."""

import pytest

from lidoff.circuit import Part, Situation
from lidoff.hazards import Stress, Subject, stresses_of

from .build import answers, part, subject


def relay(**values: float | str) -> Part:
    pins = {"coil_1": "coil", "coil_2": "gnd", "common": "plus", "normally_open": "load"}
    return part("K1", "relay", pins, **values)


def supply(name: str, net: str, volts: float) -> Part:
    return part(name, "dc_supply", {"plus": net, "minus": "gnd"}, voltage=volts)


def load(net: str, ohms: float) -> Part:
    return part(
        f"R{net}", "resistor", {"1": net, "2": "gnd"}, resistance=ohms, power_rating=1e4, voltage_rating=1e4
    )


def stress_of(looked_at: Subject, reference: str, rating: str) -> Stress:
    return next(one for one in stresses_of(looked_at) if (one.reference, one.rating) == (reference, rating))


def fed(coil: float, volts: float, ohms: float, **values: float | str) -> Subject:
    parts = (supply("V1", "coil", coil), supply("V2", "plus", volts), relay(**values), load("load", ohms))
    return subject(*parts)


def test_a_closed_contact_of_a_relay_is_held_against_its_current_rating() -> None:
    one = stress_of(fed(5.0, 50.0, 10.0, current_rating=1.0), "K1", "current_rating")
    assert 50.0 / 10.05 == pytest.approx(one.load.value, rel=1e-3)


def test_an_open_contact_of_a_relay_is_held_against_its_voltage_rating() -> None:
    one = stress_of(fed(0.0, 50.0, 10.0, voltage_rating=30.0), "K1", "voltage_rating")
    assert 50.0 == pytest.approx(one.load.value, rel=1e-3)


def test_the_coil_of_a_relay_is_not_held_against_the_rating_of_its_contact() -> None:
    one = stress_of(fed(24.0, 5.0, 1e4, voltage_rating=20.0), "K1", "voltage_rating")
    assert 0.1 > one.load.value


def test_an_overloaded_contact_is_told_with_its_pins() -> None:
    found = next(
        one for one in answers("stress", fed(5.0, 50.0, 10.0, current_rating=1.0)) if "K1" in one.parts
    )
    assert "4.98 A ± 0.29 A between common and normally open (at rest" in found.what
    assert ("beyond the limit", "fault") == (found.outcome, found.severity)


@pytest.mark.parametrize("position", ["low", "high"])
def test_each_throw_of_a_selector_switch_is_held_against_its_current_rating(position: str) -> None:
    pins = {"common": "plus", "low": "low", "high": "high"}
    switch = part("S1", "selector_switch", pins, current_rating=1.0, position=position)
    one = stress_of(
        subject(supply("V1", "plus", 50.0), switch, load("low", 5.0), load("high", 5.0)),
        "S1",
        "current_rating",
    )
    assert 50.0 / 5.05 == pytest.approx(one.load.value, rel=1e-3)
    assert ("common", position) == one.contact


def test_both_throws_of_a_changeover_switch_are_held_against_its_voltage_rating() -> None:
    switch = part("S1", "changeover_switch", {"common": "plus", "a": "a", "b": "b"}, voltage_rating=24.0)
    one = stress_of(
        subject(supply("V1", "plus", 50.0), switch, load("a", 50.0), load("b", 50.0)), "S1", "voltage_rating"
    )
    assert 50.0 == pytest.approx(one.load.value, rel=1e-3)
    assert ("common", "b") == one.contact


def test_a_contact_on_the_mains_is_held_against_their_effective_voltage() -> None:
    mains = part("J1", "ac_supply", {"plus": "plus", "minus": "gnd"}, voltage=230.0, frequency=50.0)
    one = stress_of(
        subject(mains, supply("V1", "coil", 0.0), relay(voltage_rating=250.0), load("load", 1e3)),
        "K1",
        "voltage_rating",
    )
    assert 230.0 == pytest.approx(one.load.value, rel=1e-2)


def test_a_contact_on_pulses_of_one_sign_is_held_against_their_highest_voltage() -> None:
    pulses = part(
        "J1",
        "pulse_supply",
        {"plus": "plus", "minus": "gnd"},
        high=50.0,
        low=0.0,
        width=5e-3,
        period=1e-2,
        rise=1e-4,
        fall=1e-4,
    )
    one = stress_of(
        subject(pulses, supply("V1", "coil", 0.0), relay(voltage_rating=30.0), load("load", 1e3)),
        "K1",
        "voltage_rating",
    )
    assert 50.0 == pytest.approx(one.load.value, rel=1e-2)


def test_a_short_of_the_load_is_told_by_the_relays_contact() -> None:
    parts = (
        supply("V1", "coil", 5.0),
        supply("V2", "plus", 12.0),
        relay(current_rating=1.0),
        load("load", 100.0),
    )
    looked_at = subject(*parts, situations=[Situation(name="on")])
    effect = next(one for one in looked_at.fault_effects if one.title == "Rload shorted")
    assert "K1" in [one.reference for one in effect.overloads]
