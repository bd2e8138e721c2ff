"""Heat inside parts, gate drive, tracks, cables and electrolytic capacitors: bad ones told, good ones not flagged."""

import pytest

from lidoff.circuit import Part
from lidoff.hazards import Hazard, Subject
from lidoff.hazards.checks.cord_current import flex_current
from lidoff.hazards.checks.electrolytic_life import life_at
from lidoff.hazards.checks.track_current import track_rise, track_width
from lidoff.hazards.heating import body_resistance, junction_temperature
from lidoff.quantities import Quantity

from .build import answers, part, subject


def supply(volts: float, net: str = "plus") -> Part:
    return part("V1", "dc_supply", {"plus": net, "minus": "gnd"}, voltage=volts)


def lamp(resistance: float, package: str = "3 mm") -> Subject:
    led = Part(
        reference="LED1",
        kind="led",
        pins={"anode": "plus", "cathode": "tail"},
        values={"forward_drop": 3.2},
        package=package,
    )
    return subject(supply(5.0), led, part("R1", "resistor", {"1": "tail", "2": "gnd"}, resistance=resistance))


def only(check: str, looked_at: Subject) -> Hazard:
    (hazard,) = answers(check, looked_at)
    return hazard


@pytest.mark.parametrize(
    ("package", "value"), [("SOT-23", 250.0), ("SOT-23-5", 200.0), ("3 mm, clear", 300.0), ("SOIC-8", 110.0)]
)
def test_a_body_tells_its_thermal_resistance(package: str, value: float) -> None:
    found = body_resistance(Part(reference="U1", kind="npn", pins={}, package=package))
    assert found is not None
    assert value == found[0].value


@pytest.mark.parametrize("package", ["", "SOT-235", "fan, 60 mm", "13 mm across"])
def test_a_body_outside_the_table_tells_none(package: str) -> None:
    assert body_resistance(Part(reference="U1", kind="npn", pins={}, package=package)) is None


def test_a_junction_stands_above_its_air_by_power_times_resistance() -> None:
    found = junction_temperature(Quantity(0.5, "W"), Quantity(100.0, "K/W", 10.0), Quantity(35.0, "°C", 3.0))
    assert 85.0 == found.value
    assert (5.0**2 + 3.0**2) ** 0.5 == pytest.approx(found.uncertainty)


def test_an_led_with_too_small_a_resistor_is_too_hot_inside() -> None:
    assert "beyond the limit" == only("junction heat", lamp(5.0)).outcome


def test_an_led_at_its_usual_current_is_not_flagged() -> None:
    assert not only("junction heat", lamp(100.0)).flagged


def test_a_body_that_is_not_known_cannot_be_told() -> None:
    found = only("junction heat", lamp(100.0, package="odd"))
    assert ("cannot tell", "note") == (found.outcome, found.severity)


def switched(gate: float) -> Subject:
    switch = part(
        "Q1",
        "mosfet_n",
        {"gate": "gate", "drain": "load", "source": "gnd"},
        on_resistance=0.03,
        gate_drive=4.5,
        threshold=1.0,
    )
    return subject(
        supply(5.0),
        part("V2", "dc_supply", {"plus": "gate", "minus": "gnd"}, voltage=gate),
        part("R1", "resistor", {"1": "plus", "2": "load"}, resistance=10.0),
        switch,
    )


def test_a_gate_below_the_told_drive_is_flagged_with_its_higher_resistance() -> None:
    found = only("gate drive", switched(3.3))
    assert found.outcome == "beyond the limit"
    assert "1.5 times as high" in found.what  # (4.5 − 1) / (3.3 − 1)


def test_a_gate_with_the_told_drive_is_not_flagged() -> None:
    assert not only("gate drive", switched(5.0)).flagged


def test_a_gate_that_is_off_is_not_looked_at() -> None:
    assert answers("gate drive", switched(0.0)) == ()


def test_a_track_as_wide_as_asked_warms_as_asked() -> None:
    assert 10.0 == pytest.approx(track_rise(2.0, track_width(2.0, 10.0, 35e-6), 35e-6))


@pytest.mark.parametrize(("width", "flagged"), [(0.3e-3, True), (3.0e-3, False)])
def test_a_narrow_track_is_flagged_and_a_wide_one_is_not(width: float, flagged: bool) -> None:
    looked_at = subject(
        supply(5.0),
        part("W1", "track", {"1": "plus", "2": "end"}, length=0.02, width=width),
        part("R1", "resistor", {"1": "end", "2": "gnd"}, resistance=2.0),
    )
    assert flagged is only("track current", looked_at).flagged


@pytest.mark.parametrize(("loop", "flagged"), [(0.9, True), (0.2, False)])
def test_a_thin_cable_is_flagged_and_a_thick_one_is_not(loop: float, flagged: bool) -> None:
    looked_at = subject(
        supply(5.0),
        part(
            "W1",
            "cable",
            {"near_plus": "plus", "near_minus": "gnd", "far_plus": "far", "far_minus": "back"},
            loop_resistance=loop,
        ),
        part("R1", "resistor", {"1": "far", "2": "back"}, resistance=9.5),
    )
    found = only("cable drop", looked_at)
    assert flagged is found.flagged
    assert found.value is not None
    assert 5.0 * loop / (loop + 9.5) == pytest.approx(found.value.value, rel=1e-6)


def test_life_doubles_for_each_ten_kelvin() -> None:
    assert (4000.0, 2000.0, 1000.0) == tuple(life_at(2000.0, 105.0, core) for core in (95.0, 105.0, 115.0))


def test_life_is_not_promised_beyond_six_doublings() -> None:
    assert 64.0 * 2000.0 == life_at(2000.0, 105.0, 20.0)


def rippled(resistance: float) -> Subject:
    return subject(
        part("J1", "ac_supply", {"plus": "line", "minus": "gnd"}, voltage=9.0, frequency=50.0),
        part("D1", "diode", {"anode": "line", "cathode": "rail"}),
        part(
            "C1",
            "electrolytic_capacitor",
            {"plus": "rail", "minus": "gnd"},
            capacitance=470e-6,
            ripple_rating=0.15,
            rated_life=1000.0 * 3600.0,
            rated_temperature=85.0,
        ),
        part("R1", "resistor", {"1": "rail", "2": "gnd"}, resistance=resistance),
    )


def test_a_capacitor_with_much_ripple_does_not_last_a_year() -> None:
    found = only("electrolytic life", rippled(20.0))
    assert found.outcome == "beyond the limit"
    assert "of ripple in on" in found.what


def test_a_capacitor_with_little_ripple_is_not_flagged() -> None:
    assert not only("electrolytic life", rippled(5000.0)).flagged


def corded(watts: float, square_millimetres: float) -> Subject:
    """A heater on the mains behind a metre of cord."""
    return subject(
        part("J1", "ac_supply", {"plus": "live", "minus": "gnd"}, voltage=230.0, frequency=50.0),
        part(
            "W1",
            "cable",
            {"near_plus": "live", "near_minus": "gnd", "far_plus": "in", "far_minus": "back"},
            length=1.0,
            cross_section=1e-6 * square_millimetres,
        ),
        part("HT1", "heater", {"1": "in", "2": "back"}, rated_voltage=230.0, rated_power=watts),
    )


def test_a_cord_of_half_a_square_millimetre_is_too_thin_for_six_amperes() -> None:
    found = only("cord current", corded(1440.0, 0.5))
    assert "beyond the limit" == found.outcome
    assert "may carry 3 A" in found.what


@pytest.mark.parametrize(("watts", "section"), [(600.0, 0.5), (1440.0, 0.75), (2000.0, 1.0)])
def test_a_cord_as_thick_as_its_current_asks_is_not_flagged(watts: float, section: float) -> None:
    assert not only("cord current", corded(watts, section)).flagged


def test_a_thin_cord_may_carry_more_where_it_is_short() -> None:
    assert (10.0, 6.0) == (flex_current(0.75, 2.0), flex_current(0.75, 2.1))
    assert 0.2 == flex_current(0.1, 1.0)


def test_heat_beyond_where_parts_fail_is_told_without_digits() -> None:
    found = only("junction heat", lamp(1.0, package="3 mm"))
    assert "more than 300 °C, if that lasts for minutes: it fails before" in found.what
    assert found.value is None
