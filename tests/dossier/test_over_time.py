"""Readings of what changes with time are held against one period of the circuit, never against the circuit at rest."""

from __future__ import annotations

import math

import pytest

from lidoff.dossier import Analysis, analyse, dossier_from_text
from lidoff.dossier.reasoning import next_readings_of, slips_of
from lidoff.errors import ImpossibleValue
from lidoff.evidence import ClaimResult, Comparison

MAINS = """format = 2
[device]
title = "dropper and load"

[instruments.meter]
[[instruments.meter.ranges]]
measures = "voltage ac"
up_to = "600 V"
resolution = "0.1 V"
accuracy = "±(1 % + 3)"
[[instruments.meter.ranges]]
measures = "current ac"
up_to = "200 mA"
resolution = "0.1 mA"
accuracy = "±(1 % + 3)"
[[instruments.meter.ranges]]
measures = "voltage dc"
up_to = "600 V"
resolution = "0.1 V"
accuracy = "±(1 % + 3)"

[situations.on]
title = "plugged in"

[readings.one]
situation = "on"
READING

[parts.J1]
kind = "ac_supply"
value = "230 V ± 2 %"
frequency = "50 Hz"
pins = { plus = "live", minus = "gnd" }

[parts.C1]
kind = "film_capacitor"
value = "1 µF ± 10 %"
pins = { 1 = "live", 2 = "a" }

[parts.R1]
kind = "resistor"
value = "1 kΩ"
pins = { 1 = "a", 2 = "gnd" }
"""
PASSED = 230.0 / math.hypot(
    1e3, 1.0 / (2.0 * math.pi * 50.0 * 1e-6)
)  # [A] by the impedance of C1 and R1 in series


def text(reading: str) -> str:
    return MAINS.replace("READING", reading)


def analysed(reading: str) -> Analysis:
    return analyse(dossier_from_text(text(reading)))


def compared(reading: str) -> Comparison:
    result = analysed(reading)
    assert () == result.uncompared
    (one,) = result.comparisons
    return one


def refused(reading: str) -> str:
    result = analysed(reading)
    assert () == result.comparisons
    assert not [finding for finding in result.findings if finding.name == "misfit"]
    (one,) = result.uncompared
    return one.why


AC_MAINS = 'across = "J1"\ninstrument = "meter"\nmeasures = "voltage ac"\nshown = "231.2 V"'
AC_CURRENT = 'current = "J1"\ninstrument = "meter"\nmeasures = "current ac"\nshown = "68.5 mA"'


def test_an_ac_voltage_is_held_against_the_effective_value() -> None:
    one = compared(AC_MAINS)
    assert 230.0 == pytest.approx(one.predicted.value, rel=1e-3)
    assert ("agrees", "effective over a period") == (one.fit, one.seen)


def test_an_ac_current_through_a_capacitor_is_held_against_its_impedance() -> None:
    one = compared(AC_CURRENT)
    assert PASSED == pytest.approx(one.predicted.value, rel=1e-3)


def test_the_prediction_has_the_spread_of_the_parts_that_it_hangs_on() -> None:
    one = compared(AC_CURRENT)
    reactance = 1.0 / (2.0 * math.pi * 50.0 * 1e-6)
    # dI/I = dU/U, and (X²/Z²)·dC/C; both limits rectangular
    by_capacitor = reactance**2 / (reactance**2 + 1e6) * 0.1 / 3.0**0.5
    expected = PASSED * math.hypot(by_capacitor, 0.02 / 3.0**0.5)
    assert expected == pytest.approx(one.predicted.uncertainty, rel=0.05)
    assert "C1.capacitance" == next(iter(one.causes))


def test_a_wrong_capacitor_still_shows_as_misfit_over_a_period() -> None:
    assert "misfit" == compared(AC_CURRENT.replace("68.5 mA", "32.0 mA")).fit


def test_a_meter_that_responds_to_the_mean_shows_the_effective_value_of_a_sine() -> None:
    spoken = text(AC_MAINS).replace('up_to = "600 V"', 'responds = "mean"\nup_to = "600 V"', 1)
    (one,) = analyse(dossier_from_text(spoken)).comparisons
    assert 230.0 == pytest.approx(one.predicted.value, rel=2e-3)
    assert "over a period, as a meter shows it that responds to the mean" == one.seen


def test_a_dc_range_on_the_mains_shows_their_mean() -> None:
    one = compared('across = "J1"\ninstrument = "meter"\nmeasures = "voltage dc"\nshown = "0.1 V"')
    assert 0.0 == pytest.approx(one.predicted.value, abs=0.2)
    assert "mean over a period" == one.seen


def test_power_is_held_against_its_mean() -> None:
    one = compared('power = "J1"\nshown = "4.75 W ± 0.05 W"')
    assert PASSED**2 * 1e3 == pytest.approx(one.predicted.value, rel=5e-3)


def test_a_reading_that_tells_neither_ac_nor_dc_is_not_compared() -> None:
    why = refused('current = "J1"\nshown = "22 mA"')
    assert "it changes with time in “plugged in”" in why
    assert 'add measures = "current ac" or measures = "current dc"' in why


def test_ac_measured_where_nothing_alternates_is_not_compared() -> None:
    steady = text('across = "R1"\ninstrument = "meter"\nmeasures = "voltage ac"\nshown = "1.0 V"').replace(
        'kind = "ac_supply"\nvalue = "230 V ± 2 %"\nfrequency = "50 Hz"', 'kind = "dc_supply"\nvalue = "5 V"'
    )
    (one,) = analyse(dossier_from_text(steady)).uncompared
    assert "nothing alternates in “plugged in”, and AC was measured" == one.why


def test_ac_over_a_steady_part_is_not_compared() -> None:
    lifted = text(AC_MAINS).replace('frequency = "50 Hz"', 'frequency = "50 Hz"\noffset = "100 V"')
    (one,) = analyse(dossier_from_text(lifted)).uncompared
    assert "a steady part lies under what alternates" in one.why


def test_readings_of_a_period_count_in_the_misfit_of_all() -> None:
    misfit = analysed(AC_CURRENT).misfit
    assert misfit is not None
    assert 1 == misfit.readings


def test_slips_are_not_tried_against_readings_of_a_period() -> None:
    with pytest.raises(ImpossibleValue, match="of what changes with time, and slips are tried at rest"):
        slips_of(dossier_from_text(text(AC_CURRENT)))


def test_what_was_not_weighed_for_the_next_reading_is_told() -> None:
    summary = next_readings_of(dossier_from_text(text(AC_CURRENT))).summary
    assert (
        "Not weighed, as slips are tried at rest and these are of what changes with time: one." == summary[-1]
    )


CLAIM = """
[claims.power]
kind = "power_input"
says = "5 W"
value = "5 W"
sense = "about"
from = { ROLE = { situation = "on", ASKED = "J1" } }
"""


def claimed(role: str, asked: str) -> ClaimResult:
    spoken = text(AC_MAINS) + CLAIM.replace("ROLE", role).replace("ASKED", asked)
    (result,) = analyse(dossier_from_text(spoken)).claims
    return result


def test_a_claim_of_power_asks_for_the_mean_over_a_period() -> None:
    found = claimed("power", "power").found
    assert found is not None
    assert PASSED**2 * 1e3 == pytest.approx(found.value, rel=5e-3)
