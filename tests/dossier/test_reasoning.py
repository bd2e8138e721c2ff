"""Slips and next readings of a whole dossier, in the words that commands and pages show."""

from __future__ import annotations

import json

import pytest

from lidoff.dossier import dossier_from_text, next_readings_of, proposals_json, slips_of
from lidoff.errors import ImpossibleValue

DOSSIER = """
format = 2
ground = "gnd"
[device]
title = "a lamp"
[instruments.meter]
input_resistance = "10 MΩ"
[[instruments.meter.ranges]]
measures = "voltage dc"
up_to = "60 V"
resolution = "1 mV"
accuracy = "±(0.1 % + 2)"
[parts.V1]
kind = "dc_supply"
value = "9.0 V ± 1 %"
pins = { plus = "rail", minus = "gnd" }
[parts.R1]
kind = "resistor"
value = "10 kΩ ± 1 %"
pins = { 1 = "rail", 2 = "mid" }
[parts.R2]
kind = "resistor"
value = "1 kΩ ± 1 %"
pins = { 1 = "mid", 2 = "low" }
[parts.LED1]
kind = "led"
forward_drop = "2.0 V ± 0.1 V"
pins = { anode = "low", cathode = "gnd" }
[situations.on]
title = "switched on"
[situations.off]
[situations.off.set]
V1 = { connected = "disconnected" }
"""
READING = """
[readings.mid_on]
situation = "on"
instrument = "meter"
voltage = "mid"
shown = "8.998 V"
"""


def test_a_light_the_wrong_way_round_is_told_with_what_to_look_at() -> None:
    told = slips_of(dossier_from_text(DOSSIER + READING))
    titles = [one.title for one in told.slips]
    assert "LED1 sits the other way round" in titles[:3]
    look = next(one for one in told.slips if one.title.startswith("LED1 sits")).more
    assert "band, notch or dot on LED1" in look


def test_what_would_tell_slips_apart_parts_the_first_from_others() -> None:
    told = slips_of(dossier_from_text(DOSSIER + READING))
    outcomes = [outcome for one in told.readings for outcome in one.outcomes]
    assert len(outcomes) > len(told.readings)
    assert told.cautions[0].startswith("Before any reading without power")


def test_a_circuit_without_readings_still_has_a_next_one() -> None:
    told = next_readings_of(dossier_from_text(DOSSIER))
    assert told.readings
    assert not told.slips
    assert all(", off" not in one.title for one in told.readings)


def test_readings_that_nothing_on_the_list_explains_are_asked_for_again() -> None:
    readings = "".join(
        f'[readings.{net}_{n}]\nsituation = "on"\ninstrument = "meter"\nvoltage = "{net}"\nshown = "{shown}"\n'
        for net, several in (
            ("rail", ("9.001 V", "3.217 V", "5.713 V")),
            ("mid", ("0.811 V", "7.113 V", "4.007 V")),
        )
        for n, shown in enumerate(several)
    )
    told = next_readings_of(dossier_from_text(DOSSIER + readings))
    assert not told.readings
    (summary,) = [line for line in told.summary if "nothing can be foreseen" in line]
    assert "Take again what fits worst: " in summary
    assert "standard deviations off" in summary


def test_two_slips_at_once_leave_readings_to_take() -> None:
    wrong = (
        READING
        + """
[readings.low_on]
situation = "on"
instrument = "meter"
voltage = "low"
shown = "0.900 V"
"""
    )
    dossier = dossier_from_text(DOSSIER + wrong)
    assert " + " in slips_of(dossier).ranking.explanations[0].kind
    assert next_readings_of(dossier).readings


def test_slips_without_readings_ask_for_some() -> None:
    with pytest.raises(ImpossibleValue, match="no reading is about the circuit"):
        slips_of(dossier_from_text(DOSSIER))


def test_a_dossier_without_parts_has_no_next_reading() -> None:
    with pytest.raises(ImpossibleValue, match="no circuit yet"):
        next_readings_of(dossier_from_text('format = 2\n[device]\ntitle = "a box"\n'))


def test_json_holds_what_pages_show() -> None:
    told = json.loads(json.dumps(proposals_json(slips_of(dossier_from_text(DOSSIER + READING)))))
    assert set(told) == {"summary", "slips", "readings", "cautions"}
    assert {"title", "why", "more", "parts", "nets", "readings"} <= set(told["slips"][0])
    assert sum(one["probability"] for one in told["slips"]) <= 1.0 + 1e-9


OHMS = """
[[instruments.meter.ranges]]
measures = "resistance"
up_to = "600 kΩ"
resolution = "10 Ω"
accuracy = "±(0.9 % + 3)"
[parts.V1]"""


@pytest.mark.parametrize(
    ("between", "shown", "told"),
    [
        ('resistance = "mid"\nagainst = "low"', "9.98 kΩ", "R2 is 10 kΩ, not 1 kΩ"),
        ('resistance = "rail"\nagainst = "mid"', "100.2 kΩ", "R1 is 100 kΩ, not 10 kΩ"),
    ],
)
def test_a_reading_without_power_tells_a_decade_misread(between: str, shown: str, told: str) -> None:
    reading = f'\n[readings.ohms]\ninstrument = "meter"\n{between}\nshown = "{shown}"\n'
    found = slips_of(dossier_from_text(DOSSIER.replace("[parts.V1]", OHMS, 1) + reading))
    assert found.slips[0].title == told


def test_a_reading_on_the_diode_range_tells_a_diode_the_wrong_way_round() -> None:
    reading = '\n[readings.light]\ndiode = "gnd"\nagainst = "low"\nshown = "1.92 V ± 0.02 V"\n'
    found = slips_of(dossier_from_text(DOSSIER + reading))
    assert found.slips[0].title == "LED1 sits the other way round"


def test_readings_to_take_name_situations_by_their_titles() -> None:
    told = next_readings_of(dossier_from_text(DOSSIER))
    titles = [one.title for one in told.readings]
    assert any(title.endswith(", switched on") for title in titles)
    assert not any(title.endswith(", on") for title in titles)
    narrowed = " ".join(one.why for one in told.readings)
    assert "the current of V1 in “switched on”" in narrowed


def test_live_mains_is_left_out_where_a_dead_test_serves() -> None:
    mains = DOSSIER.replace('value = "9.0 V ± 1 %"', 'value = "325 V ± 1 %"')
    told = next_readings_of(dossier_from_text(mains))
    assert told.next_readings.live_left_out > 0
    assert not any(one.candidate.live for one in told.next_readings.readings)
    assert "live circuit" in " ".join(told.summary)
