"""The demo dossiers: each loads, settles, and shows the verdicts, misfits and faults that it was made to show."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from lidoff.circuit import figures
from lidoff.dossier import Analysis, SolvedSituation, analyse, load_dossier

DEMOS = Path(__file__).parents[2] / "demos"
NAMES = ("crumb-vacuum", "insect-lure", "night-light")

VERDICTS = {
    "crumb-vacuum": {
        "motor_power": "not borne out",
        "suction": "cannot tell",
        "battery": "not borne out",
        "run_time": "borne out",
        "charge_current": "not borne out",
        "charging_time": "borne out",
        "weight": "borne out",
        "noise": "cannot tell",
    },
    "insect-lure": {
        "power": "not borne out",
        "leds": "borne out",
        "wavelength": "not borne out",
        "area": "cannot tell",
        "voltage": "borne out",
        "weight": "borne out",
    },
    "night-light": {
        "power": "borne out",
        "day_power": "not borne out",
        "leds": "not borne out",
        "threshold": "not borne out",
        "voltage": "cannot tell",
        "light": "cannot tell",
    },
}
MISFITS = {
    "crumb-vacuum": {"board_running", "motor_voltage", "gate_running", "stall_current", "board_stalled"},
    "insect-lure": {"ballast_5", "ballast_6"},
    "night-light": {"rail_dark", "led_resistor_dark"},
}
OVERLOADED = {
    "crumb-vacuum": {"BT1", "M1", "Q1"},  # with the fan held
    "insect-lure": {"LED19", "LED20", "M1"},
    "night-light": {"C1"},  # no class for alternating voltage is printed on it
}
CAUTIONS = {
    "crumb-vacuum": {"lithium"},
    "insect-lure": {"uv"},
    "night-light": {"mains", "stored charge"},
}


@cache
def analysed(name: str) -> Analysis:
    return analyse(load_dossier(DEMOS / name))


@pytest.mark.parametrize("name", NAMES)
def test_a_demo_says_that_device_and_readings_are_invented(name: str) -> None:
    dossier = analysed(name).dossier
    assert "Device, brand, claims and readings are made up" in dossier.invented
    assert dossier.device.maker.endswith("(invented)")


@pytest.mark.parametrize("name", NAMES)
def test_every_situation_settles_with_its_whole_spread(name: str) -> None:
    result = analysed(name)
    assert 4 <= len(result.situations) <= 5
    assert [] == [one.name for one in result.situations if not isinstance(one, SolvedSituation)]
    assert [] == [finding.what for finding in result.findings if finding.name == "spread not complete"]


@pytest.mark.parametrize("name", NAMES)
def test_the_wiring_leaves_nothing_to_remark(name: str) -> None:
    assert () == analysed(name).wiring


@pytest.mark.parametrize("name", NAMES)
def test_claims_are_judged_as_designed(name: str) -> None:
    assert VERDICTS[name] == {one.claim.name: one.verdict.words for one in analysed(name).claims}


@pytest.mark.parametrize("name", NAMES)
def test_only_the_planted_deviation_shows_as_misfit(name: str) -> None:
    result = analysed(name)
    assert MISFITS[name] == {one.reading for one in result.comparisons if one.fit != "agrees"}
    assert () == result.uncompared


@pytest.mark.parametrize("name", NAMES)
def test_the_parts_over_their_ratings_are_the_planted_ones(name: str) -> None:
    assert OVERLOADED[name] == {one.reference for one in analysed(name).stresses if one.share > 1.0}


@pytest.mark.parametrize("name", NAMES)
def test_the_dangers_inside_are_named(name: str) -> None:
    assert set() == CAUTIONS[name] - set(analysed(name).dossier.cautions)


@pytest.mark.parametrize("name", NAMES)
def test_every_part_says_what_it_does_here(name: str) -> None:
    assert [] == [part.reference for part in analysed(name).dossier.parts if not part.does]


def test_the_night_light_has_nothing_to_discharge_its_dropper() -> None:
    dossier = analysed("night-light").dossier
    dropper = next(part for part in dossier.parts if part.reference == "C1")
    across = [
        part.reference for part in dossier.parts if set(part.pins.values()) == set(dropper.pins.values())
    ]
    assert ["C1"] == across
    assert any("Nothing discharges C1" in note for note in dossier.notes)


def test_the_charge_left_in_the_dropper_is_the_gravest_finding() -> None:
    gravest = analysed("night-light").findings[0]
    assert ("fault", "stored charge", ("C1",)) == (gravest.severity, gravest.name, gravest.parts)


def test_the_night_light_loads_its_parts_alike_at_rest_and_over_a_period() -> None:
    result = analysed("night-light")
    waves = {one.situation.name: one.waveforms for one in result.repeating}
    for name, reference in (("dark", "LED1"), ("dark", "R5"), ("bright", "D5")):
        resting, followed = result.situation(name), waves[name]
        assert isinstance(resting, SolvedSituation)
        assert followed is not None
        average = figures(followed.times, followed.power(reference)).average
        # the stand-in tells averages as long as the rail hardly moves within a period
        assert resting.parts[reference].power.value == pytest.approx(average, rel=0.04), (name, reference)


def test_two_leds_of_the_insect_lure_have_no_resistor_of_their_own() -> None:
    parts = analysed("insect-lure").dossier.parts
    ballasted = {part.pins["2"] for part in parts if part.kind == "resistor" and part.reference != "R10"}
    bare = {part.reference for part in parts if part.kind == "led" and part.pins["anode"] not in ballasted}
    assert {"LED19", "LED20"} == bare
