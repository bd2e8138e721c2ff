"""Loads against ratings: at rest, over a period, by the body where nothing is told, and what designers usually take."""

import math

import pytest

from lidoff.circuit import Part, Situation
from lidoff.hazards import Hazard, Stress, Subject, hazard_findings, stresses_of, usual_share
from lidoff.hazards.bodies import has_mains_class, rating_of_body
from lidoff.hazards.fuses import fuse_at
from tests.hazards.build import answers, part, subject


def resistor(value: float, *, package: str = "", **values: float) -> Part:
    return Part(
        reference="R1",
        kind="resistor",
        pins={"1": "plus", "2": "gnd"},
        values={"resistance": value, **values},
        package=package,
    )


def supply(volts: float) -> Part:
    return part("V1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=volts)


def mains(*parts: Part) -> Subject:
    return subject(
        part("J1", "ac_supply", {"plus": "line", "minus": "gnd"}, voltage=230.0, frequency=50.0), *parts
    )


def stress_of(looked_at: Subject, reference: str, rating: str) -> Stress:
    return next(one for one in stresses_of(looked_at) if (one.reference, one.rating) == (reference, rating))


def flagged(looked_at: Subject) -> list[Hazard]:
    return [one for one in answers("stress", looked_at) if one.flagged]


def test_power_is_held_against_the_told_rating() -> None:
    one = stress_of(subject(supply(5.0), resistor(100.0, power_rating=0.2)), "R1", "power_rating")
    assert 0.25 == pytest.approx(one.load.value)
    assert (0.2, True) == (one.limit.value, one.told)


def test_a_load_over_a_told_rating_is_a_fault() -> None:
    (hazard,) = flagged(subject(supply(5.0), resistor(100.0, power_rating=0.1)))
    assert ("beyond the limit", "fault", ("R1",)) == (hazard.outcome, hazard.severity, hazard.parts)


def test_a_load_within_rating_but_beyond_usual_derating_is_told_as_common_practice() -> None:
    (hazard,) = flagged(subject(supply(5.0), resistor(100.0, power_rating=0.35)))
    assert hazard.severity == "note"
    assert "common practice, no source" in hazard.source
    assert hazard.limit is not None
    assert 0.6 * 0.35 == pytest.approx(hazard.limit.value)


def test_a_load_whose_spread_straddles_the_rating_cannot_be_told() -> None:
    (hazard,) = flagged(subject(supply(5.0), resistor(100.0, power_rating=0.249)))
    assert hazard.outcome == "cannot tell"


def test_loads_within_rating_and_derating_are_told_in_one_answer() -> None:
    (hazard,) = answers("stress", subject(supply(5.0), resistor(1e4)))
    assert hazard.outcome == "within the limit"
    assert hazard_findings([hazard]) == ()


@pytest.mark.parametrize(("package", "power"), [("0402", 0.062), ("chip, 1206", 0.25), ("axial, 0.5 W", 0.5)])
def test_power_follows_from_the_body_where_it_is_not_told(package: str, power: float) -> None:
    one = stress_of(subject(supply(5.0), resistor(1e4, package=package)), "R1", "power_rating")
    assert power == one.limit.value
    assert not one.told


def test_a_told_power_goes_before_the_body() -> None:
    one = stress_of(
        subject(supply(5.0), resistor(1e4, package="0402", power_rating=1.0)), "R1", "power_rating"
    )
    assert one.limit.value == 1.0


def test_the_voltage_of_a_chip_resistor_follows_from_its_size() -> None:
    found = rating_of_body(resistor(1e6, package="0805"), "voltage_rating")
    assert found is not None
    assert found.value == 150.0


def test_a_body_without_size_or_power_says_nothing() -> None:
    assert rating_of_body(resistor(1e6, package="grey"), "power_rating") is None


def test_a_capacitor_on_mains_is_rated_against_its_crest_and_not_its_rest() -> None:
    looked_at = mains(
        part("C1", "film_capacitor", {"1": "line", "2": "gnd"}, capacitance=1e-7, voltage_rating=630.0)
    )
    one = next(one for one in stresses_of(looked_at) if one.reference == "C1" and one.told)
    assert 230.0 * math.sqrt(2.0) == pytest.approx(one.load.value, rel=2e-3)
    assert one.seen == "highest within a period"


def test_a_resistor_on_mains_is_held_against_their_effective_voltage() -> None:
    bleeder = part(
        "R1", "resistor", {"1": "line", "2": "gnd"}, resistance=1e6, power_rating=0.5, voltage_rating=250.0
    )
    one = stress_of(mains(bleeder), "R1", "voltage_rating")
    assert 230.0 == pytest.approx(one.load.value, rel=2e-3)
    assert one.seen == "effective over a period"


def test_a_resistor_on_short_pulses_is_held_against_half_of_their_crest() -> None:
    pulses = part(
        "V1", "pulse_supply", {"plus": "line", "minus": "gnd"}, high=600.0, low=0.0, width=1e-4, period=1e-2,
        rise=1e-5, fall=1e-5,
    )  # fmt: skip
    snubber = part("R1", "resistor", {"1": "line", "2": "gnd"}, resistance=1e6, voltage_rating=250.0)
    one = stress_of(subject(pulses, snubber), "R1", "voltage_rating")
    assert 300.0 == pytest.approx(one.load.value, rel=2e-3)
    assert one.seen == "half of the highest within a period"


def test_a_contact_printed_for_the_mains_runs_within_its_derating() -> None:
    switch = part("S1", "switch", {"1": "line", "2": "load"}, state="open", voltage_rating=250.0)
    load = part(
        "R1", "resistor", {"1": "load", "2": "gnd"}, resistance=1e3, power_rating=100.0, voltage_rating=500.0
    )
    assert [] == [one for one in flagged(mains(switch, load)) if "S1" in one.parts]


def test_a_film_capacitor_without_a_class_stands_less_of_alternating_voltage() -> None:
    looked_at = mains(
        part("C1", "film_capacitor", {"1": "line", "2": "gnd"}, capacitance=1e-7, voltage_rating=400.0)
    )
    (hazard,) = [one for one in flagged(looked_at) if one.value is not None and one.value.value < 240.0]
    assert "no class for alternating voltage is printed" in hazard.what


def test_a_limit_that_is_not_told_is_named_where_it_is_the_nearest() -> None:
    looked_at = mains(
        part("C1", "film_capacitor", {"1": "line", "2": "gnd"}, capacitance=1e-7, voltage_rating=630.0)
    )
    (kept,) = (one for one in answers("stress", looked_at) if one.outcome == "within the limit")
    assert "66 % of its voltage rating of 346.5 V, 55 % of its steady rating" in kept.what


def test_a_class_for_the_mains_makes_its_rating_an_effective_one() -> None:
    capacitor = Part(
        reference="C1",
        kind="film_capacitor",
        pins={"1": "line", "2": "gnd"},
        values={"capacitance": 1e-7, "voltage_rating": 275.0},
        marking="MKP X2 0.1µF 275V~",
    )
    assert has_mains_class(capacitor)
    assert flagged(mains(capacitor)) == []


def test_a_told_alternating_rating_is_held_against_the_effective_voltage() -> None:
    looked_at = mains(
        part("C1", "film_capacitor", {"1": "line", "2": "gnd"}, capacitance=1e-7, alternating_rating=275.0)
    )
    one = stress_of(looked_at, "C1", "alternating_rating")
    assert 230.0 == pytest.approx(one.load.value, rel=3e-3)  # straight lines between coarse steps


def test_a_rectifier_carries_the_mean_of_its_half_waves() -> None:
    looked_at = mains(
        part("D1", "diode", {"anode": "line", "cathode": "out"}),
        part("R1", "resistor", {"1": "out", "2": "gnd"}, resistance=1000.0),
    )
    one = stress_of(looked_at, "D1", "current_rating")
    # mean of a half wave: peak / π, less the diode's drop
    assert (230.0 * math.sqrt(2.0) - 0.7) / math.pi / 1000.0 == pytest.approx(one.load.value, rel=5e-3)
    assert one.seen == "mean over a period"


def test_ripple_of_a_smoothing_capacitor_is_its_alternating_current() -> None:
    looked_at = mains(
        part("R1", "resistor", {"1": "line", "2": "top"}, resistance=1000.0),
        part("C1", "electrolytic_capacitor", {"plus": "top", "minus": "gnd"}, capacitance=1e-3),
    )
    one = stress_of(looked_at, "C1", "ripple_rating")
    assert 0.23 == pytest.approx(one.load.value, rel=0.01)  # the resistor alone limits it


@pytest.mark.parametrize(
    ("kind", "unit", "share"), [("resistor", "W", 0.6), ("led", "A", 0.8), ("npn", "V", 0.8)]
)
def test_usual_shares_stand_in_the_table(kind: str, unit: str, share: float) -> None:
    assert share == usual_share(kind, unit)


def test_parts_alike_are_told_together_and_the_worst_in_full() -> None:
    looked_at = subject(
        supply(5.0),
        *(
            part(f"R{n}", "resistor", {"1": "plus", "2": "gnd"}, resistance=100.0 + n, power_rating=0.1)
            for n in range(3)
        ),
    )
    (hazard,) = flagged(looked_at)
    assert hazard.parts == ("R0", "R1", "R2")
    assert hazard.title.startswith("R0, R1 and R2 over the power rating")


def test_the_worst_situation_is_told() -> None:
    situations = [
        Situation(name="low"),
        Situation(name="high", settings={"V1": {"voltage": 9.0}}),
    ]
    one = stress_of(subject(supply(5.0), resistor(1e3), situations=situations), "R1", "power_rating")
    assert one.situation == "high"


def pulsed(share: float) -> Subject:
    controller = Part(
        reference="U1",
        kind="controller",
        pins={"1": "vdd", "2": "drive", "8": "gnd"},
        pin_roles={"1": "supply", "8": "ground"},
        values={"2_period": 1e-3, "2_share": share, "drive_resistance": 20.0},
    )
    return subject(
        part("V1", "dc_supply", {"plus": "vdd", "minus": "gnd"}, voltage=5.0),
        controller,
        part("R1", "resistor", {"1": "drive", "2": "gnd"}, resistance=80.0, power_rating=0.25),
        situations=(Situation(name="dimmed", settings={"U1": {"2": "pattern"}}),),
    )


@pytest.mark.parametrize("share", [0.25, 0.75])
def test_a_pulsed_load_counts_by_its_mean_power(share: float) -> None:
    # 5 V over 100 Ω while high: 50 mA and 0.2 W in R1, for a share of the time
    one = stress_of(pulsed(share), "R1", "power_rating")
    assert one.seen == "mean over a period"
    assert 0.2 * share == pytest.approx(one.load.value, rel=0.02)


def test_a_pin_without_a_pattern_in_the_situation_leaves_it_at_rest() -> None:
    looked_at = pulsed(0.25)
    high = Situation(name="high", settings={"U1": {"2": "high"}})
    one = stress_of(subject(*looked_at.circuit.parts, situations=(high,)), "R1", "power_rating")
    assert one.seen == "at rest"
    assert 0.2 == pytest.approx(one.load.value)


def fused(ohms: float, **values: float) -> Subject:
    fuse = part("F1", "fuse", {"1": "plus", "2": "out"}, current_rating=1.0, resistance=0.0, **values)
    load = part(
        "R1", "resistor", {"1": "out", "2": "gnd"}, resistance=ohms, power_rating=1e4, voltage_rating=1e4
    )
    return subject(supply(12.0), fuse, load)


@pytest.mark.parametrize(
    ("ohms", "values", "words"),
    [
        (4.0, {}, "At that it opens, at 3.0 times its rating."),
        (
            4.0,
            {"melting_integral": 0.9},
            "At that it opens no sooner than after about 0.1 s (I²t), and within minutes.",
        ),
        (1.0, {"melting_integral": 0.9}, "At that it opens after about 0.0062 s (I²t)."),
        (8.0, {}, "At that it may carry 1.5 times its rating for an hour and more."),
    ],
)
def test_what_a_fuse_over_its_rating_does_is_told(ohms: float, values: dict[str, float], words: str) -> None:
    (hazard,) = flagged(fused(ohms, **values))
    assert words in hazard.what


def test_no_larger_fuse_is_advised_where_one_is_over_its_rating() -> None:
    (hazard,) = flagged(fused(4.0))
    assert "expect it to open, and find why the current is so large" in hazard.remedy
    assert "a larger part" not in hazard.remedy


def test_a_voltage_behind_a_leak_alone_is_told_without_the_solvers_noise() -> None:
    led = part("D1", "led", {"anode": "gnd", "cathode": "out"})
    feed = part(
        "R1", "resistor", {"1": "plus", "2": "out"}, resistance=10.0, power_rating=5.0, voltage_rating=50.0
    )
    (hazard,) = flagged(subject(supply(12.0), feed, led))
    assert "D1 sees 12 V (at rest in on), 240 % of its reverse rating" in hazard.what


def test_loads_far_below_their_ratings_are_not_told_with_numbers() -> None:
    pull = part(
        "R1", "resistor", {"1": "plus", "2": "out"}, resistance=1e3, power_rating=1.0, voltage_rating=50.0
    )
    open_end = part("C1", "capacitor", {"1": "plus", "2": "out"}, capacitance=1e-7, voltage_rating=50.0)
    (hazard,) = (one for one in answers("stress", subject(supply(5.0), pull, open_end)) if not one.flagged)
    assert "none of them comes near a thousandth of its rating" in hazard.what


def test_a_fuse_a_little_over_its_rating_is_told_as_one_that_may_open() -> None:
    (hazard,) = flagged(fused(8.0))
    assert "expect that it may open at any time, and find why" in hazard.remedy


def test_a_fuse_that_melts_within_a_tenth_of_a_millisecond_opens_at_once() -> None:
    assert "opens at once (I²t)" == fuse_at({"current_rating": 1.0, "melting_integral": 0.5}, 1000.0)
    assert "opens at once (I²t usual for its rating)" == fuse_at({"current_rating": 1.0}, 1000.0)
