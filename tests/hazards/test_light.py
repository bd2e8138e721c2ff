"""Light on eye and skin, strong and weak, against sums by hand."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.circuit import Circuit
from lidoff.dossier import analyse, load_dossier
from lidoff.errors import ImpossibleValue
from lidoff.hazards import FROM_MEMORY, Hazard, Laser, Light, Subject, hazard_findings
from lidoff.hazards.shining import illuminance, irradiance_at
from lidoff.hazards.spectra import measured_spectrum
from lidoff.quantities import Quantity

from .build import answers

DEMOS = Path(__file__).parents[2] / "demos"
LAMP = Light(name="lamp", peak="365 nm", width="9 nm", radiant_power="0.1 W", distance="0.2 m")


def light(**changes: str) -> dict[str, Hazard]:
    lamp = replace(LAMP, **changes)  # type: ignore[arg-type]
    looked_at = Subject(circuit=Circuit(parts=()), lights=(lamp,))
    return dict(zip(("actinic", "near", "blue"), answers("light", looked_at), strict=True))


def value(hazard: Hazard) -> float:
    assert hazard.value is not None
    return hazard.value.value


def test_a_lambertian_lamp_shines_by_the_square_of_its_distance() -> None:
    assert 0.1 / math.pi / 0.04 == pytest.approx(value(light()["near"]), rel=1e-4)


def test_a_cone_shines_by_its_solid_angle() -> None:
    assert 1.0 / (2.0 * math.pi) == pytest.approx(irradiance_at(1.0, 1.0, math.pi))


def test_a_weak_lamp_is_not_flagged() -> None:
    assert not any(one.flagged for one in light(radiant_power="2 mW").values())


def test_a_strong_violet_lamp_is_flagged_for_near_ultraviolet_alone() -> None:
    found = light(peak="385 nm", radiant_power="3 W")
    assert ["beyond the limit", "within the limit"] == [found["near"].outcome, found["blue"].outcome]


def test_a_germicidal_lamp_is_flagged_for_eye_and_skin() -> None:
    found = light(peak="254 nm", width="0.1 nm", radiant_power="10 mW")
    assert found["actinic"].outcome == "beyond the limit"
    assert found["near"].outcome == "within the limit"
    # 10 mW / (π · 0.04 m²) · 0.5 = 39.8 mW/m²; 30 J/m² after 754 s
    assert 0.0398 == pytest.approx(value(found["actinic"]), rel=2e-3)
    assert "30 J/m² are reached after 13 min" in found["actinic"].what


def test_a_strong_blue_lamp_is_flagged_for_the_retina_alone() -> None:
    found = light(peak="450 nm", width="20 nm", radiant_power="1 W")
    assert ["within the limit", "within the limit", "beyond the limit"] == [
        one.outcome for one in found.values()
    ]


def test_a_green_lamp_of_the_same_power_is_not_flagged() -> None:
    assert not any(one.flagged for one in light(peak="530 nm", width="30 nm", radiant_power="1 W").values())


def test_a_short_exposure_is_held_against_the_dose() -> None:
    found = light(exposure="100 s")["near"]
    assert found.limit is not None
    assert 100.0 == pytest.approx(found.limit.value)  # 10 kJ/m² over 100 s


def test_an_uncertain_power_makes_the_answer_uncertain() -> None:
    found = light(radiant_power="1.3 W ± 40 %")["near"]
    assert found.outcome == "cannot tell"
    assert found.value is not None
    assert 0.4 == pytest.approx(found.value.expanded / found.value.value, rel=0.01)


def test_a_recalled_limit_says_so() -> None:
    found = light()
    assert FROM_MEMORY in found["near"].source
    assert FROM_MEMORY not in found["actinic"].source


def test_the_insect_lure_is_flagged_for_its_light() -> None:
    found = [one for one in analyse(load_dossier(DEMOS / "insect-lure")).hazards if one.check == "light"]
    assert "beyond the limit" in [one.outcome for one in found]


# --- the sun, large sources, flux, risk groups


def test_the_answer_compares_with_the_sun() -> None:
    # 0.1 W / (π · 0.04 m²) = 0.796 W/m², of 45.4 W/m² from the sun
    assert "0.018 times as much as from sun and sky" in light()["near"].what


def test_a_lamp_that_burns_skin_tells_a_uv_index() -> None:
    # 10 mW at 298 nm count in full: 79.6 mW/m² over 25 mW/m² a step
    found = light(peak="297 nm", width="0.1 nm", radiant_power="10 mW")["actinic"]
    assert "UV index of 3.2" in found.what


def test_a_large_source_is_held_against_radiance() -> None:
    found = light(peak="450 nm", width="20 nm", radiant_power="1 W", source_size="50 mm")["blue"]
    assert found.value is not None
    assert "W/(m²·sr)" == found.value.unit
    small = value(light(peak="450 nm", width="20 nm", radiant_power="1 W")["blue"])
    assert small / (math.pi / 4.0 * 0.25**2) == pytest.approx(found.value.value)


def test_a_flux_stands_for_power_by_the_brightness_of_its_spectrum() -> None:
    # 683 lm/W at 555 nm, so 683 lm of a narrow green line are one watt
    flux = Light(
        name="lamp", peak="555 nm", width="0.1 nm", luminous_flux="683 lm", distance="1 m", beam_angle="180°"
    )
    watt = replace(flux, luminous_flux="", radiant_power="1 W")
    assert illuminance(flux) == pytest.approx(illuminance(watt), rel=1e-4)
    assert 683.0 / (2.0 * math.pi) == pytest.approx(illuminance(flux), rel=1e-4)


def test_lights_that_differ_in_what_a_group_does_not_count_get_one_answer() -> None:
    far = replace(LAMP, name="at_the_eye", distance="0.5 m")
    other = replace(LAMP, name="green", peak="530 nm")
    found = answers("risk group", Subject(circuit=Circuit(parts=()), lights=(LAMP, other, far)))
    assert ["light of lamp and at the eye", "light of green"] == [
        one.title.partition(":")[0] for one in found
    ]


def group(**changes: str) -> Hazard:
    lamp = replace(LAMP, **changes)  # type: ignore[arg-type]
    (found,) = answers("risk group", Subject(circuit=Circuit(parts=()), lights=(lamp,)))
    return found


@pytest.mark.parametrize(
    ("power", "title"), [("0.1 W", "exempt"), ("3 W", "group 1"), ("10 W", "group 2"), ("20 W", "group 3")]
)
def test_a_stronger_lamp_falls_into_a_higher_group(power: str, title: str) -> None:
    # 385 nm: 10, 33 and 100 W/m² of near ultraviolet at 0.2 m are 1.26, 4.15 and 12.6 W after Lambert
    assert title in group(peak="385 nm", radiant_power=power).title


def test_a_lamp_whose_uncertainty_spans_a_limit_may_be_of_either_group() -> None:
    # 385 nm: 3 W after Lambert are 24 W/m²; 40 % more are 33.4 W/m², above the 33 W/m² that end group 1
    found = group(peak="385 nm", radiant_power="3 W ± 40 %")
    assert "light of lamp: risk group 1 (low) or risk group 2 (moderate)" == found.title
    assert ("cannot tell", "caution") == (found.outcome, found.severity)
    assert ("33 W/m²", "highest of risk group 1 (low)") == (str(found.limit), found.limit_says)


def test_an_open_risk_group_is_told_as_such_and_as_grave_as_the_worse() -> None:
    (found,) = hazard_findings([group(peak="385 nm", radiant_power="3 W ± 40 %")])
    assert "Cannot tell: light of lamp: risk group 1 (low) or risk group 2 (moderate)" == found.title
    assert "caution" == found.severity


def test_a_wide_uncertainty_leaves_a_stretch_of_groups() -> None:
    # 2 W ± 90 %: from 1.6 W/m², exempt, to 30 W/m², group 1
    assert "exempt group or risk group 1 (low)" in group(peak="385 nm", radiant_power="2 W ± 90 %").title
    assert "exempt group to risk group 2 (moderate)" in group(peak="385 nm", radiant_power="3 W ± 90 %").title


def test_general_lighting_is_held_where_it_gives_five_hundred_lux() -> None:
    found = group(peak="555 nm", width="60 nm", radiant_power="3 W", use="general lighting")
    assert "where general lighting gives 500 lx" in found.what
    assert not found.flagged


# --- measured spectra

ROWS = "400;0,5\n410;1,5\n420;0,5\n430;0,0\n440;0,0\n"


@pytest.mark.parametrize(
    ("heading", "scale"),
    [
        ("wavelength (nm);irradiance (W/m2/nm)", 1.0),
        ("nm;E in mW/(m²·nm)", 1e-3),
        ("λ [nm];µW/cm²/nm", 1e-2),
    ],
)
def test_a_measured_spectrum_is_read_in_its_units(heading: str, scale: float) -> None:
    # trapezia of 10 nm: 10 + 10 + 2.5
    found = measured_spectrum(f"{heading}\n{ROWS}".encode())
    assert 22.5 * scale == pytest.approx(found.sum())
    assert 410e-9 == pytest.approx(found.peak)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (ROWS, "tells no units"),
        ("nm;counts\n" + ROWS, "tells no units"),
        ("nm;W/m2/nm\n400;dark\n", "line 2 of the spectrum is not two numbers: '400;dark'"),
        ("nm;W/m2/nm\n400;1\n401;1\n", "has 2 rows"),
        ("nm;W/m2/nm\n" + ROWS + "440;1\n", "come twice"),
        ("nm;W/m2/nm\n400;nan\n", "line 2 of the spectrum is not finite"),
        ("", "it is empty"),
    ],
)
def test_a_file_that_is_no_spectrum_is_refused_in_words(text: str, words: str) -> None:
    with pytest.raises(ImpossibleValue, match=words):
        measured_spectrum(text.encode())


def test_a_measured_spectrum_is_judged_where_it_was_taken() -> None:
    content = b"nm,W/m2/nm\n360,0\n365,2\n370,2\n375,2\n380,0\n"  # 2 W/m² · 15 nm = 30 W/m²
    lamp = Light(name="lamp", distance="0.2 m", spectrum="logs/lamp.csv", content=content)
    near = answers("light", Subject(circuit=Circuit(parts=()), lights=(lamp,)))[1]
    assert "beyond the limit" == near.outcome
    assert 30.0 == pytest.approx(value(near))
    assert any("as measured" in words for words in near.assumed)


def test_a_spectrum_that_was_not_looked_for_cannot_be_told() -> None:
    lamp = Light(name="lamp", distance="0.2 m", spectrum="logs/lamp.csv")
    looked_at = Subject(circuit=Circuit(parts=()), lights=(lamp,))
    assert ["cannot tell"] == [one.outcome for one in answers("light", looked_at)]


def test_a_measured_spectrum_falls_with_the_square_of_the_distance() -> None:
    content = b"nm,W/m2/nm\n540,0\n550,1\n555,1\n560,1\n570,0\n"
    lamp = Light(name="lamp", distance="0.5 m", spectrum="logs/lamp.csv", content=content)
    assert illuminance(lamp) / 4.0 == pytest.approx(illuminance(lamp, Quantity(1.0, "m")))


# --- lasers


def lasers(**told: str) -> Hazard:
    laser = Laser(name="pointer", **told)  # type: ignore[arg-type]
    (found,) = answers("lasers", Subject(circuit=Circuit(parts=()), lasers=(laser,)))
    return found


def test_a_laser_is_never_found_within_a_limit() -> None:
    found = lasers(laser_class="2", power="0.9 mW", wavelength="650 nm")
    assert ("cannot tell", "caution") == (found.outcome, found.severity)


def test_a_laser_stronger_than_its_printed_class_is_a_fault() -> None:
    found = lasers(laser_class="2", power="40 mW", wavelength="532 nm")
    assert ("beyond the limit", "fault") == (found.outcome, found.severity)


def test_a_laser_that_may_be_stronger_than_its_printed_class_is_told_so() -> None:
    found = lasers(laser_class="2", power="0.9 mW ± 0.3 mW", wavelength="650 nm")
    assert "laser pointer perhaps stronger than the class printed" == found.title
    assert ("cannot tell", "fault") == (found.outcome, found.severity)


def test_a_laser_surely_within_its_printed_class_is_not_called_stronger() -> None:
    assert "laser pointer (class 2 is printed)" == lasers(laser_class="2", power="0.5 mW ± 0.3 mW").title


def test_an_unseen_laser_says_that_nobody_blinks() -> None:
    assert "nobody blinks" in lasers(laser_class="3R", wavelength="808 nm").what


# --- white diodes


def test_a_white_diode_is_told_by_its_colour_temperature() -> None:
    lamp = Light(name="lamp", colour_temperature="4000 K", luminous_flux="100 lm", distance="0.2 m")
    found = dict(
        zip(
            ("actinic", "near", "blue"),
            answers("light", Subject(circuit=Circuit(parts=()), lights=(lamp,))),
            strict=True,
        )
    )
    # 100 lm over π · 0.04 m² are 796 lx; about 0.6 mW of weighted blue to each lumen
    assert 796.0 == pytest.approx(illuminance(lamp), rel=1e-3)
    assert 796.0 * 0.6e-3 == pytest.approx(value(found["blue"]), rel=0.1)
    assert not any(one.flagged for one in found.values())
    assert any("as usual for white diodes" in words for words in found["blue"].assumed)


def test_a_colder_white_has_more_blue_for_the_same_brightness() -> None:
    lamps = [
        Light(name="lamp", colour_temperature=f"{kelvin} K", luminous_flux="100 lm", distance="0.2 m")
        for kelvin in (2700, 4000, 6500)
    ]
    blue = [value(answers("light", Subject(circuit=Circuit(parts=()), lights=(lamp,)))[2]) for lamp in lamps]
    assert blue == sorted(blue)
