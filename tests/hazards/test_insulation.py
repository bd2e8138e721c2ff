"""Distances against what their voltage asks for, short ones and clean ones."""

from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.dossier import analyse, load_dossier
from lidoff.errors import ImpossibleValue
from lidoff.hazards import Distance, Hazard, Subject
from lidoff.hazards.checks.insulation import impulse_voltage, required_creepage

from .build import answers, part, subject

DEMOS = Path(__file__).parents[2] / "demos"
MAINS = Distance(
    name="pads",
    between=("live", "gnd"),
    creepage="2.6 mm ± 0.1 mm",
    clearance="1.8 mm ± 0.1 mm",
    surface="other",
    working_voltage="250 V",
    mains="230 V",
)


def bare(**changes: str) -> tuple[Hazard, ...]:
    plain = subject(part("J1", "dc_supply", {"plus": "live", "minus": "gnd"}, voltage=5.0))
    distance = replace(MAINS, **changes)  # type: ignore[arg-type]
    return answers("insulation", replace(plain, distances=(distance,)))


def creepage(**changes: str) -> Hazard:
    return next(one for one in bare(**changes) if "creepage" in one.title)


def clearance(**changes: str) -> Hazard:
    return next(one for one in bare(**changes) if "clearance" in one.title)


def test_distances_that_are_long_enough_are_not_flagged() -> None:
    assert [False, False] == [one.flagged for one in bare()]


def test_a_short_creepage_is_flagged() -> None:
    found = creepage(creepage="2.2 mm ± 0.1 mm")
    assert found.outcome == "beyond the limit"
    assert "asks for 2.5 mm along any surface" in found.what


def test_a_short_clearance_is_flagged() -> None:
    found = clearance(clearance="1.2 mm ± 0.1 mm")
    assert found.outcome == "beyond the limit"
    assert "impulses of 2500 V" in found.what


def test_high_up_more_clearance_is_asked_for() -> None:
    limit = clearance(altitude="5000 m").limit
    assert limit is not None
    assert 1.48 * 1.5e-3 == pytest.approx(limit.value)
    assert any("up to 2000 m" in words for words in clearance().assumed)


def test_a_distance_within_its_uncertainty_of_the_limit_cannot_be_told() -> None:
    assert creepage(creepage="2.5 mm ± 0.2 mm").outcome == "cannot tell"


def test_reinforced_insulation_asks_for_twice_the_creepage() -> None:
    limit = creepage(insulation="reinforced").limit
    assert limit is not None
    assert 5.0e-3 == pytest.approx(limit.value)


def test_creepage_is_no_less_than_clearance() -> None:
    found = creepage(surface="", working_voltage="50 V")  # 0.04 mm by itself
    assert found.limit is not None
    assert 1.5e-3 == pytest.approx(found.limit.value)


def test_what_the_dossier_does_not_say_is_told_as_assumed() -> None:
    assert any("pollution degree 2" in words for words in creepage().assumed)
    assert not any("pollution degree" in words for words in creepage(pollution_degree="3").assumed)


def test_a_clearance_without_mains_cannot_be_told() -> None:
    found = clearance(mains="")
    assert found.outcome == "cannot tell"
    assert "no mains voltage" in found.what


def test_the_working_voltage_comes_from_the_solved_circuit() -> None:
    assert "A working voltage of 5 V (solved, on)" in creepage(working_voltage="", mains="").what


def test_the_working_voltage_is_never_below_the_mains_told() -> None:
    assert "A working voltage of 230 V (the mains)" in creepage(working_voltage="").what


def test_a_floating_net_counts_at_the_worst_pole_of_the_mains() -> None:
    looked_at = replace(
        subject(
            part("J1", "ac_supply", {"plus": "live", "minus": "gnd"}, voltage=230.0, frequency=50.0),
            part("D1", "diode", {"anode": "live", "cathode": "high"}),
            part("C1", "electrolytic_capacitor", {"plus": "high", "minus": "gnd"}, capacitance=47e-6),
            part("R1", "resistor", {"1": "high", "2": "gnd"}, resistance=1e5),
            part("T1", "box", {"in": "high", "back": "gnd", "out": "out", "return": "low"}),
            part("R2", "resistor", {"1": "out", "2": "low"}, resistance=100.0),
        ),
        distances=(replace(MAINS, between=("high", "out"), working_voltage="", surface=""),),
    )
    (found,) = (one for one in answers("insulation", looked_at) if "creepage" in one.title)
    # Against the live pole the rail stands at the crest less the sine: rms = sqrt(325² + 230²) V = 398 V, 3.2 mm at 320 V
    # and 4.0 mm at 400 V
    assert found.limit is not None
    assert 3.98e-3 == pytest.approx(found.limit.value, abs=0.05e-3)
    assert "high against live" in found.what


def test_against_the_mains_a_board_gets_no_shorter_distance() -> None:
    told = creepage(surface="printed board", insulation="reinforced", creepage="4.0 mm ± 0.2 mm")
    assert told.outcome == "beyond the limit"
    assert told.limit is not None
    assert 5.0e-3 == pytest.approx(told.limit.value)
    assert "not taken where the mains feed the circuit" in told.what


def test_without_mains_a_printed_board_has_its_own_row() -> None:
    limit = creepage(surface="printed board", mains="").limit
    assert limit is not None
    assert 1.0e-3 == pytest.approx(limit.value)


def test_a_silent_dossier_gets_the_longer_distance() -> None:
    limit = creepage(surface="").limit
    assert limit is not None
    assert 2.5e-3 == pytest.approx(limit.value)


def test_an_alternating_voltage_counts_by_its_root_mean_square() -> None:
    source = part("J1", "ac_supply", {"plus": "live", "minus": "gnd"}, voltage=230.0, frequency=50.0)
    looked_at: Subject = replace(
        subject(source, part("R1", "resistor", {"1": "live", "2": "gnd"}, resistance=1e5)),
        distances=(replace(MAINS, working_voltage=""),),
    )
    assert any(
        "A working voltage of 230 V (root mean square" in one.what for one in answers("insulation", looked_at)
    )


def test_a_group_without_a_row_is_refused_in_words() -> None:
    found = creepage(surface="printed board", pollution_degree="3", mains="")
    assert found.outcome == "cannot tell"
    assert "no row for a printed board in pollution degree 3" in found.what


def test_a_voltage_beyond_the_table_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="the voltage of 2000 lies beyond the table"):
        required_creepage(
            2000.0, surface="other", pollution_degree="2", material_group="I", insulation="basic"
        )


def test_mains_beyond_the_table_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="mains of 3000 V lie beyond"):
        impulse_voltage(3000.0, "II")


def test_the_night_light_is_flagged_for_its_pads() -> None:
    found = [one for one in analyse(load_dossier(DEMOS / "night-light")).hazards if one.check == "insulation"]
    assert ["beyond the limit", "beyond the limit"] == [one.outcome for one in found]


def test_between_sides_that_nothing_joins_the_mains_are_the_working_voltage() -> None:
    coil = {"primary_1": "live", "primary_2": "gnd", "secondary_1": "out", "secondary_2": "back"}
    looked_at = replace(
        subject(
            part("J1", "ac_supply", {"plus": "live", "minus": "gnd"}, voltage=230.0, frequency=50.0),
            part(
                "T1", "transformer", coil, turns_ratio=20.0, primary_inductance=30.0, primary_resistance=300.0
            ),
            part("R1", "resistor", {"1": "out", "2": "back"}, resistance=50.0),
        ),
        distances=(replace(MAINS, between=("live", "out"), working_voltage=""),),
    )
    (found,) = (one for one in answers("insulation", looked_at) if "creepage" in one.title)
    assert "A working voltage of 230 V (the mains, as nothing known joins the two sides)" in found.what
