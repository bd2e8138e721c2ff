"""Volts times amperes of what alternates."""

from lidoff.evidence import (
    BorneOut,
    CannotTell,
    ClaimResult,
    FromSolution,
    Instrument,
    Measured,
    NamedQuantity,
    NotBorneOut,
    Range,
    Reading,
    judge,
    measure,
)
from lidoff.quantities import Quantity
from tests.evidence.build import claim, measured

MAINS_METER = Instrument(
    name="meter",
    ranges=(
        Range(measures="voltage ac", up_to="600 V", resolution="0.1 V", accuracy="±(1 % + 3)"),
        Range(measures="current ac", up_to="60 mA", resolution="0.01 mA", accuracy="±(1 % + 3)"),
        Range(
            measures="current ac", up_to="600 mA", resolution="0.1 mA", accuracy="±(1 % + 3)", responds="mean"
        ),
    ),
)


def mains(name: str, shown: str, measures: str) -> Measured:
    reading = Reading(
        name=name, target=NamedQuantity(name=name), shown=(shown,), instrument="meter", measures=measures
    )
    return measure(reading, {"meter": MAINS_METER})


VOLTS = mains("volts", "231.2 V", "voltage ac")
AMPS = mains("amps", "22.00 mA", "current ac")
FROM = {"voltage": "volts", "current": "amps"}


def unsolved(source: FromSolution) -> Quantity:
    raise AssertionError(source)


def judged(kind: str, value: str, sense: str, *readings: Measured, **roles: str) -> ClaimResult:
    known = {one.name: one for one in (VOLTS, AMPS, *readings)}
    return judge(claim(kind, value, sense=sense, **(roles or FROM)), known, unsolved)


def test_volts_times_amperes_on_mains_is_apparent_power() -> None:
    # 231.2 · 22.00 mA = 5.086 VA; ± 2·√((2.612/231.2)² + (0.25/22)²)/√3 of it = 0.094
    assert (
        judged("power_input", "5 W", "about").sum
        == "231.2 V × 22.00 mA = 5.09 VA ± 0.09 VA of apparent power; the box says 5 W"
    )


def test_apparent_power_leaves_a_claim_of_watts_open() -> None:
    verdict = judged("power_input", "5 W", "about").verdict
    assert isinstance(verdict, CannotTell)
    assert verdict.why == (
        "the voltage at the terminals and the current alternate, so volts times amperes is apparent power, "
        "5.09 VA ± 0.09 VA, of which an unknown share is power"
    )


def test_what_would_tell_is_power_power_factor_or_energy() -> None:
    verdict = judged("power_input", "5 W", "about").verdict
    assert isinstance(verdict, CannotTell)
    assert (
        verdict.needs
        == "a reading of the power by a wattmeter, of the power factor, or of the energy over a time"
    )


def test_one_alternating_input_is_enough() -> None:
    verdict = judged(
        "power_input", "5 W", "about", measured("plain", "22.0 mA"), voltage="volts", current="plain"
    ).verdict
    assert isinstance(verdict, CannotTell)
    assert verdict.why.startswith("the voltage at the terminals alternates, so")


def test_a_power_factor_makes_it_watts_with_the_uncertainty_of_all_three() -> None:
    result = judged(
        "power_input", "5 W", "about", measured("factor", "0.30 ± 0.03"), **FROM, power_factor="factor"
    )
    # 5.086 · 0.30 = 1.526 W; 2·5.086·0.015 = 0.153 and 0.3·0.094 = 0.028 together 0.155
    assert result.sum == "231.2 V × 22.00 mA × 30 % = 1.53 W ± 0.16 W; the box says 5 W"
    assert isinstance(result.verdict, NotBorneOut)


def test_an_energy_over_a_time_makes_it_watts() -> None:
    result = judged(
        "power_input", "5 W", "about",
        measured("counted", "4.5 Wh ± 0.1 Wh"), measured("hours", "3 h ± 1 min"),
        energy="counted", time="hours",
    )  # fmt: skip
    assert result.sum == "4.50 Wh ÷ 3.000 h = 1.50 W ± 0.03 W; the box says 5 W"


def test_even_all_of_the_apparent_power_may_be_too_little_for_a_claim() -> None:
    result = judged("power_input", "60 W", "at least")
    assert isinstance(result.verdict, NotBorneOut)
    assert result.notes[0].startswith("Power is never more than apparent power")


def test_apparent_power_below_what_is_claimed_at_most_bears_the_claim_out() -> None:
    assert isinstance(judged("idle_power", "6 W", "at most").verdict, BorneOut)


def test_a_meter_that_responds_to_the_mean_sets_no_bound() -> None:
    mean = mains("mean", "61.0 mA", "current ac")
    verdict = judged("power_input", "60 W", "at least", mean, voltage="volts", current="mean").verdict
    assert isinstance(verdict, CannotTell)


def test_efficiency_from_alternating_volts_and_amperes_stays_open() -> None:
    verdict = judged(
        "efficiency", "80 %", "at least", measured("out_v", "5 V ± 0.01 V"), measured("out_a", "0.2 A ± 0.01 A"),
        voltage_in="volts", current_in="amps", voltage_out="out_v", current_out="out_a",
    ).verdict  # fmt: skip
    assert isinstance(verdict, CannotTell)
    assert verdict.why.startswith("the voltage at the input and the current at the input alternate")


def test_steady_volts_times_amperes_stay_watts() -> None:
    result = judged(
        "power_input", "7 W", "at least", measured("usb_v", "5.02 V ± 0.02 V"), measured("usb_a", "1.58 A ± 0.02 A"),
        voltage="usb_v", current="usb_a",
    )  # fmt: skip
    assert result.sum == "5.02 V × 1.58 A = 7.93 W ± 0.11 W; the box says 7 W"
