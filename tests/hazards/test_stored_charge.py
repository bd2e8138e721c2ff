"""Charge left after unplugging, against hand sums, with clean counter-examples."""

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.circuit import Part, Spread
from lidoff.dossier import analyse, dossier_from_text
from lidoff.dossier.traced import board_texts
from lidoff.hazards import Hazard
from lidoff.hazards.falling import Fall, bleeder_for, time_to_fall, when_fallen

from .build import answers, part, subject


def dropper(*more: Part, farads: float = 220e-9) -> tuple[Part, ...]:
    """A capacitor straight on the mains behind a resistor, feeding a small load."""
    return (
        part("J1", "ac_supply", {"plus": "live", "minus": "gnd"}, voltage=230.0, frequency=50.0),
        part("R1", "resistor", {"1": "live", "2": "after"}, resistance=100.0),
        part("C1", "film_capacitor", {"1": "after", "2": "load"}, capacitance=farads),
        part("R9", "resistor", {"1": "load", "2": "gnd"}, resistance=1000.0),
        *more,
    )


def bleeder(ohms: float) -> Part:
    return part("R2", "resistor", {"1": "after", "2": "load"}, resistance=ohms)


def charge(*parts: Part) -> Hazard:
    (found,) = answers("stored charge", subject(*parts))
    return found


def test_a_dropper_without_bleeder_is_flagged() -> None:
    found = charge(*dropper())
    assert found.outcome == "beyond the limit"
    assert "No resistor lies across it" in found.what


def test_a_dropper_with_a_megohm_across_it_is_not_flagged() -> None:
    assert charge(*dropper(bleeder(1e6))).outcome == "within the limit"


def test_what_a_bleeder_leaves_is_that_of_the_hand_sum() -> None:
    found = charge(*dropper(bleeder(1e6)))
    assert found.value is not None
    crest = 230.0 * math.sqrt(2.0)  # the reactance of C1 far outweighs R1 and R9: less than 0.4 % is lost
    assert crest * math.exp(-1.0 / (1e6 * 220e-9)) == pytest.approx(found.value.value, rel=0.01)


def test_a_bleeder_is_told_with_and_without() -> None:
    found = charge(*dropper(bleeder(1e6)))
    # R·C·ln(V₀/34 V) with it; without it nothing discharges the capacitor but the leakage of the solver
    told = re.search(r"it falls to 34 V after (\d+) ms", found.what)
    assert told is not None, found.what
    assert time_to_fall(324.0, 34.0, 1e6, 220e-9) == pytest.approx(1e-3 * int(told[1]), abs=0.01)
    assert "without it, it would fall that far only after more than an hour" in found.what


def rectified(*more: Part) -> Hazard:
    leds = [
        Part(
            reference=f"LED{number}",
            kind="led",
            pins={"anode": f"l{number}", "cathode": f"l{number + 1}" if number < 11 else "gnd"},
            values={"forward_drop": 9.0, "test_current": 30e-3},
        )
        for number in range(12)
    ]
    (found,) = answers(
        "stored charge",
        subject(
            part("J1", "ac_supply", {"plus": "live", "minus": "neutral"}, voltage=100.0, frequency=50.0),
            part(
                "BR1", "bridge_rectifier", {"ac_1": "live", "ac_2": "neutral", "plus": "plus", "minus": "gnd"}
            ),
            part("C2", "electrolytic_capacitor", {"plus": "plus", "minus": "gnd"}, capacitance=10e-6),
            part("R4", "resistor", {"1": "plus", "2": "l0"}, resistance=1000.0),
            *leds,
            *more,
        ),
    )
    return found


def test_leds_alone_discharge_nothing_below_their_drop() -> None:
    # through diodes a voltage falls with the logarithm of time: an hour's e-folds take a few volts more
    found = rectified()
    told = re.search(r"only after more than an hour \(it still has (\d+) V then\)", found.what)
    assert told is not None, found.what
    assert 85 < int(told[1]) < 105


def test_a_bleeder_beside_leds_brings_it_down_in_the_hand_sums_time() -> None:
    found = rectified(part("R3", "resistor", {"1": "plus", "2": "gnd"}, resistance=470e3))
    told = re.search(r"it falls to 34 V after ([\d.]+) s", found.what)
    assert told is not None, found.what
    assert time_to_fall(105.0, 34.0, 470e3, 10e-6) == pytest.approx(float(told[1]), rel=0.2)


def test_a_fall_that_could_not_be_followed_further_says_so() -> None:
    fall = Fall(times=(0.0, 1.0), sizes=(100.0, 90.0), end=90.0)
    assert "only after more than 1 s (it still has 90 V then, and was not followed further)" == when_fallen(
        fall, 34.0
    )


def test_the_charge_left_is_held_beside_what_may_be_touched() -> None:
    # 220 nF · 325 V = 72 µC without a bleeder; 0.76 µC after a second with 1 MΩ
    assert "71 µC, more than the 45 µC" in charge(*dropper()).what
    assert "760 nC, less than the 45 µC" in charge(*dropper(bleeder(1e6))).what


def test_a_charge_whose_uncertainty_spans_the_limit_is_not_called_more_or_less() -> None:
    mains, *others = dropper(bleeder(9.9e6))  # 45.05 µC at 230 V, and a mains voltage known within 5 %
    wide = replace(mains, spreads={"voltage": Spread(half_width=0.05)})
    assert "45.1 µC ± 2.6 µC, which may be more or less than the 45 µC" in charge(wide, *others).what


def test_a_bleeder_that_is_too_large_is_flagged() -> None:
    assert charge(*dropper(bleeder(3.3e6))).outcome == "beyond the limit"


def test_the_bleeder_proposed_is_just_enough() -> None:
    ohms = bleeder_for(325.0, 34.0, 1.0, 220e-9)
    assert 1.0 == pytest.approx(time_to_fall(325.0, 34.0, ohms, 220e-9))


def test_a_small_capacitor_is_below_what_the_rule_asks() -> None:
    found = charge(*dropper(farads=47e-9))
    assert found.outcome == "within the limit"
    assert "the rule asks nothing" in found.what


def steady(volts: float, *more: Part) -> Hazard:
    return charge(
        part("J1", "dc_supply", {"plus": "rail", "minus": "gnd"}, voltage=volts),
        part("C1", "electrolytic_capacitor", {"plus": "rail", "minus": "gnd"}, capacitance=10e-6),
        *more,
    )


def test_a_low_rail_is_not_flagged() -> None:
    found = steady(5.0)
    assert found.outcome == "within the limit"
    assert "below 60 V from the start" in found.what


def test_a_high_rail_that_holds_its_charge_is_flagged() -> None:
    assert steady(325.0).outcome == "beyond the limit"


def test_a_high_rail_with_a_load_that_empties_it_is_not_flagged() -> None:
    load = part("R1", "resistor", {"1": "rail", "2": "gnd"}, resistance=100e3)
    # 325 V · exp(−2 s / (100 kΩ · 10 µF)) = 44 V
    found = steady(325.0, load)
    assert found.outcome == "within the limit"
    assert found.value is not None
    assert 325.0 * math.exp(-2.0) == pytest.approx(found.value.value, rel=0.01)


def test_the_time_to_the_limit_is_that_of_the_hand_sum() -> None:
    load = part("R1", "resistor", {"1": "rail", "2": "gnd"}, resistance=100e3)
    # t = R·C·ln(325/60) = 1.69 s
    assert "falls to 60 V after 1.7 s" in steady(325.0, load).what


def test_energy_and_charge_are_told() -> None:
    told = steady(325.0).what
    assert "530 mJ" in told  # ½ · 10 µF · (325 V)² = 0.528 J
    assert "3.3 mC" in told  # 10 µF · 325 V = 3.25 mC


def test_a_device_on_cells_alone_has_nothing_to_unplug() -> None:
    cell = part("BT1", "cell", {"plus": "rail", "minus": "gnd"})
    store = part("C1", "capacitor", {"1": "rail", "2": "gnd"}, capacitance=1e-6)
    assert answers("stored charge", subject(cell, store)) == ()


NIGHT_LIGHT = Path(__file__).parents[2] / "demos" / "night-light"
BLEEDER = """
[parts.R2]
kind = "resistor"
value = "1 MΩ"
pins = { 1 = "dropper_in", 2 = "bridge_1" }
"""


@pytest.mark.parametrize(
    ("more", "flagged"), [("", True), (BLEEDER, False)], ids=["as found", "with bleeder"]
)
def test_the_night_light_is_flagged_for_want_of_its_bleeder(more: str, flagged: bool) -> None:
    text = (NIGHT_LIGHT / "dossier.toml").read_text(encoding="utf-8") + more
    analysis = analyse(dossier_from_text(text, boards=board_texts(NIGHT_LIGHT)))
    found = [one for one in analysis.findings if one.name == "stored charge" and one.parts == ("C1",)]
    assert flagged is bool(found)


def test_two_resistors_in_series_are_told_as_what_discharges() -> None:
    half = (
        part("R3", "resistor", {"1": "after", "2": "mid"}, resistance=470e3),
        part("R4", "resistor", {"1": "mid", "2": "load"}, resistance=470e3),
    )
    found = charge(*dropper(*half))
    assert "R3 and R4 in series across it discharge it; without them" in found.what
    assert "No resistor" not in found.what


def test_a_resistor_behind_a_fuse_is_told_as_what_discharges() -> None:
    behind = (
        part("F1", "fuse", {"1": "after", "2": "mid"}, current_rating=1.0),
        part("R3", "resistor", {"1": "mid", "2": "load"}, resistance=470e3),
    )
    assert "R3 across it discharges it; without it" in charge(*dropper(*behind)).what


def test_a_resistor_behind_a_blown_fuse_discharges_nothing() -> None:
    behind = (
        part("F1", "fuse", {"1": "after", "2": "mid"}, current_rating=1.0, state="blown"),
        part("R3", "resistor", {"1": "mid", "2": "load"}, resistance=470e3),
    )
    assert "No resistor lies across it" in charge(*dropper(*behind)).what


def test_a_far_higher_way_beside_a_bleeder_is_not_named() -> None:
    others = (
        part("R3", "resistor", {"1": "after", "2": "load"}, resistance=1e5),
        part("R4", "resistor", {"1": "after", "2": "mid"}, resistance=1e6),
        part("R5", "resistor", {"1": "mid", "2": "load"}, resistance=1e6),
    )
    assert "R2 and R3 across it discharge it" in charge(*dropper(bleeder(1e5), *others)).what


def rail_with_box(**values: float) -> Hazard:
    return charge(
        part("J1", "dc_supply", {"plus": "rail", "minus": "gnd"}, voltage=325.0),
        part("C1", "electrolytic_capacitor", {"plus": "rail", "minus": "gnd"}, capacitance=4.7e-6),
        Part(
            reference="T1",
            kind="box",
            pins={"in": "rail", "back": "gnd"},
            values={"current_in": 0.01, **values},
            pin_roles={"in": "supply", "back": "ground"},
        ),
    )


def test_a_chip_that_may_stop_drawing_is_no_bleeder() -> None:
    found = rail_with_box()
    assert ("cannot tell", ("C1", "T1")) == (found.outcome, found.parts)
    assert found.value is not None
    assert 325.0 == pytest.approx(found.value.value, rel=0.01)
    # (325 V − 60 V) · 4.7 µF / 10 mA = 125 ms
    told = re.search(r"As long as T1 goes on drawing current, it falls to 60 V after (\d+) ms", found.what)
    assert told is not None, found.what
    assert 125 == pytest.approx(int(told[1]), rel=0.05)


def test_a_resistance_measured_in_a_box_discharges_whether_it_draws_or_not() -> None:
    assert rail_with_box(resistance_in_back=100e3).outcome == "within the limit"


def test_next_to_nothing_is_told_without_digits() -> None:
    found = rail_with_box(resistance_in_back=1e3)
    assert "2 s after unplugging it has next to nothing" in found.what
    assert "Next to no charge is left then" in found.what
    assert found.value is not None
    assert 0.0 == found.value.value
