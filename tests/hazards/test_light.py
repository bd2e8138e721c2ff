"""Light on eye and skin, strong and weak, against sums by hand."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.circuit import Circuit
from lidoff.dossier import analyse, load_dossier
from lidoff.hazards import FROM_MEMORY, Hazard, Light, Subject
from lidoff.hazards.checks.light import irradiance_at

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
