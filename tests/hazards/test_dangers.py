"""Dangers that show by themselves in circuit, lights, lasers and answers of the checks."""

import pytest

from lidoff.circuit import Circuit, Part
from lidoff.hazards import Danger, Hazard, Laser, Light, danger_findings, dangers_of

from .build import part


def found(*parts: Part, **told: object) -> dict[str, str]:
    return {one.word: one.why for one in dangers_of(Circuit(parts=parts), **told)}  # type: ignore[arg-type]


def hazard(check: str, title: str, outcome: str = "beyond the limit") -> Hazard:
    return Hazard(check=check, title=title, outcome=outcome, severity="fault", what="")  # type: ignore[arg-type]


def source(volts: float) -> Part:
    return part("J1", "ac_supply", {"plus": "live", "minus": "neutral"}, voltage=volts, frequency=50.0)


def cell(**values: str) -> Part:
    return part("BT1", "cell", {"plus": "cell", "minus": "gnd"}, **values)


def test_a_mains_supply_is_a_danger_told_with_its_volts_and_nets() -> None:
    assert {"mains": "in the circuit: J1 supplies 230 V AC between live and neutral"} == found(source(230.0))


def test_an_alternating_supply_of_few_volts_is_none() -> None:
    assert found(source(12.0)) == {}


def test_a_lithium_cell_is_a_danger() -> None:
    told = found(cell(chemistry="lithium-ion"))
    assert {"lithium": "in the circuit: BT1 is a lithium-ion cell"} == told


def test_a_cell_only_taken_for_lithium_is_told_as_taken_for_it() -> None:
    assert "BT1 of no told chemistry is taken for a lithium" in found(cell())["lithium"]


def test_an_alkaline_cell_is_none() -> None:
    assert found(cell(chemistry="alkaline")) == {}


@pytest.mark.parametrize(("peak", "words"), [("368 nm", {"uv"}), ("455 nm", set())])
def test_a_light_is_a_danger_where_its_peak_is_ultraviolet(peak: str, words: set[str]) -> None:
    light = Light(name="trap", distance="0.3 m", peak=peak, width="10 nm", radiant_power="1 mW")
    assert words == set(found(lights=(light,)))


def test_a_measured_spectrum_is_a_danger_where_its_peak_is_ultraviolet() -> None:
    rows = b"wavelength (nm),irradiance (W/m2/nm)\n" + b"".join(
        f"{nm},{1.0 if nm == 370 else 0.0}\n".encode() for nm in range(350, 400, 10)
    )
    light = Light(name="trap", distance="0.3 m", spectrum="logs/trap.csv", content=rows)
    assert {"uv": "among the lights: trap has its peak at 370 nm"} == found(lights=(light,))


def test_a_laser_is_a_danger_whatever_class_is_printed() -> None:
    assert {"laser": "among the lasers: red line"} == found(lasers=(Laser(name="red_line", laser_class="1"),))


@pytest.mark.parametrize(
    ("outcome", "why"),
    [
        ("beyond the limit", "among the hazards: C1 keeps its charge"),
        ("cannot tell", "among the hazards: cannot tell: C1 keeps its charge"),
    ],
)
def test_charge_that_stays_or_may_stay_is_a_danger(outcome: str, why: str) -> None:
    assert {"stored charge": why} == found(hazards=[hazard("stored charge", "C1 keeps its charge", outcome)])


def test_charge_within_its_limit_is_none() -> None:
    assert found(hazards=[hazard("stored charge", "charge on C1", "within the limit")]) == {}


@pytest.mark.parametrize(
    ("title", "words"),
    [("light of lamp: ultraviolet, eye and skin", {"uv"}), ("light of lamp: blue light, retina", set())],
)
def test_light_beyond_a_limit_is_ultraviolet_only_where_that_limit_is(title: str, words: set[str]) -> None:
    assert words == set(found(hazards=[hazard("light", title)]))


def test_a_hot_surface_beyond_its_limit_is_a_danger() -> None:
    assert {"heat": "among the hazards: lid too hot"} == found(
        hazards=[hazard("surface heat", "lid too hot")]
    )


def test_what_a_single_fault_would_do_is_no_danger_at_hand() -> None:
    assert found(hazards=[hazard("single faults", "D1 shorted: R1 over its rating")]) == {}


def test_of_many_reasons_the_rest_is_told_by_number() -> None:
    assert "a; b; c; 2 more" == Danger(word="heat", reasons=("a", "b", "c", "d", "e")).why


def test_a_danger_that_the_dossier_does_not_name_is_a_finding_of_severity_caution() -> None:
    (finding,) = danger_findings(dangers_of(Circuit(parts=(source(230.0),))), ())
    assert ("Danger found: mains", "caution") == (finding.title, finding.severity)
    assert finding.what.startswith(
        "Found in the circuit: J1 supplies 230 V AC between live and neutral. Mains voltage kills."
    )


def test_a_danger_that_the_dossier_names_is_no_further_finding() -> None:
    assert danger_findings(dangers_of(Circuit(parts=(source(230.0),))), ("mains",)) == ()
