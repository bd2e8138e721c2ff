import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence import (
    BorneOut,
    CannotTell,
    Claim,
    ClaimResult,
    FromReading,
    FromSolution,
    FromStatement,
    InPart,
    Measured,
    NotBorneOut,
    judge,
)
from lidoff.quantities import Quantity
from tests.evidence.build import claim, measured


def unsolved(source: FromSolution) -> Quantity:
    raise UnknownName(f"no circuit tells the {source.target}")


def judged(one: Claim, *readings: Measured) -> ClaimResult:
    return judge(one, {reading.name: reading for reading in readings}, unsolved)


VOLTS = measured("volts", "5.02 V ± 0.02 V")
AMPS = measured("amps", "1.58 A ± 0.02 A")
POWER = {"voltage": "volts", "current": "amps"}


def test_the_sum_reads_as_a_person_would_write_it() -> None:
    # 5.02 · 1.58 = 7.9316; 2·√((1.58·0.01)² + (5.02·0.01)²) = 0.105
    result = judged(claim("power_input", "60 W", **POWER), VOLTS, AMPS)
    assert result.sum == "5.02 V × 1.58 A = 7.93 W ± 0.11 W; the box says 60 W"


def test_a_claim_far_above_the_readings_is_not_borne_out() -> None:
    assert isinstance(judged(claim("power_input", "60 W", **POWER), VOLTS, AMPS).verdict, NotBorneOut)


def test_a_claim_below_the_readings_is_borne_out() -> None:
    assert isinstance(judged(claim("power_input", "7.5 W", **POWER), VOLTS, AMPS).verdict, BorneOut)


def test_the_probability_is_that_of_a_normal_estimate() -> None:
    # One standard uncertainty above the limit: Φ(1) = 0.8413 (any table of the normal distribution).
    result = judged(claim("voltage", "5.01 V", sense="at least", voltage="volts"), VOLTS)
    assert result.verdict.probability == pytest.approx(0.8413, abs=5e-5)


def test_few_repeats_make_the_tails_longer() -> None:
    # Student's t with two degrees of freedom, one-sided 0.95 at 2.920 (JCGM 100:2008, Table G.2, p = 90 % two-sided).
    scattered = measured("volts", "4.90 V", "5.00 V", "5.10 V")
    limit = 5.0 - 2.920 * scattered.quantity.uncertainty
    result = judged(claim("voltage", f"{limit} V", sense="at least", voltage="volts"), scattered)
    assert result.verdict.probability == pytest.approx(0.95, abs=0.001)


def test_too_close_a_claim_names_the_reading_that_would_tell() -> None:
    verdict = judged(claim("power_input", "7.93 W", **POWER), VOLTS, AMPS).verdict
    assert isinstance(verdict, CannotTell)
    # (5.02·0.01)² over (5.02·0.01)² + (1.58·0.01)² = 91 %; 1.6 mW off with a standard uncertainty of 53 mW
    assert verdict.needs == (
        "hardly any reading, since the result lies at the limit; reading amps brings 91 % of the variance"
    )


def test_an_open_claim_tells_how_fine_its_widest_input_must_be() -> None:
    verdict = judged(claim("power_input", "7.87 W", **POWER), VOLTS, AMPS).verdict
    assert isinstance(verdict, CannotTell)
    # (61.6 mW/1.645)² − (1.58·10 mV)² = (33.95 mW)²; over 5.02 V 6.76 mA, expanded 13.5 mA
    assert verdict.needs == (
        "a reading of the current to ± 14 mA or better; reading amps brings 91 % of the variance"
    )


def test_an_open_claim_whose_inputs_are_all_too_wide_says_so() -> None:
    # The voltage alone leaves 15.8 mW, and 21.6 mW / 1.645 = 13.1 mW is wanted.
    verdict = judged(claim("power_input", "7.91 W", **POWER), VOLTS, AMPS).verdict
    assert isinstance(verdict, CannotTell)
    assert verdict.needs.startswith("closer readings of more than one input")


def test_a_close_claim_tells_how_fine_a_reading_it_takes() -> None:
    verdict = judged(claim("voltage", "5.01 V", sense="at least", voltage="volts"), VOLTS).verdict
    assert isinstance(verdict, CannotTell)
    # 10 mV away, so 2 · 10 mV / 1.645 = 12.2 mV
    assert verdict.needs == "a reading of the voltage to ± 12 mV or better"
    assert verdict.why == "10 mV from the limit of 5.01 V, with an uncertainty of ± 20 mV"


def test_a_missing_input_is_named() -> None:
    verdict = judged(claim("power_input", "60 W", voltage="volts"), VOLTS).verdict
    assert verdict == CannotTell(why="no reading of the current", needs="a reading of the current")


def test_a_claim_without_any_reading_cannot_be_told() -> None:
    assert isinstance(judged(claim("run_time", "20 min")).verdict, CannotTell)


def test_shares_come_largest_first_and_add_up() -> None:
    shares = judged(claim("power_input", "60 W", **POWER), VOLTS, AMPS).shares
    assert ["current", "voltage"] == [share.role for share in shares]
    assert math.fsum(share.fraction for share in shares) == pytest.approx(1.0)


def test_a_battery_is_judged_in_milliampere_hours() -> None:
    result = judged(
        claim("battery_capacity", "2000 mAh", current="drain", time="time"),
        measured("drain", "500 mA ± 2 mA"),
        measured("time", "2 h ± 2 min"),
    )
    assert result.sum == "500 mA × 2.00 h = 1000 mAh ± 17 mAh; the box says 2000 mAh"


def test_most_runs_from_below() -> None:
    result = judged(claim("charge_time", "3 h", time="t"), measured("t", "2.5 h ± 5 min"))
    assert isinstance(result.verdict, BorneOut)


def test_about_grants_a_tenth_unless_told() -> None:
    result = judged(claim("voltage", "5 V", voltage="volts"), VOLTS)
    assert (4.5, 5.5) == (result.low, result.high)


def test_a_tolerance_may_be_an_amount() -> None:
    result = judged(claim("voltage", "5 V", tolerance="50 mV", voltage="volts"), VOLTS)
    assert (4.95, 5.05) == (result.low, result.high)


def test_a_tolerance_lowers_what_must_at_least_be_there() -> None:
    assert judged(claim("power_input", "60 W", tolerance="10 %")).low == pytest.approx(54.0)


@pytest.mark.parametrize(("seen", "expected"), [("24", BorneOut), ("23", NotBorneOut), ("25", NotBorneOut)])
def test_a_count_is_exact(seen: str, expected: type[BorneOut | NotBorneOut]) -> None:
    assert isinstance(judged(claim("led_count", "24", count="n"), measured("n", seen)).verdict, expected)


def test_an_input_may_be_stated_with_its_ground() -> None:
    stated = FromStatement(value="3.7 V ± 0.1 V", why="printed on the cell")
    one = Claim(
        name="e",
        kind="battery_energy",
        says="2 Wh",
        value="2 Wh",
        inputs={"voltage": stated, "charge": FromStatement(value="500 mAh", why="counted")},
    )
    assert judged(one).shares[0].source == "stated: printed on the cell"


def test_an_input_may_come_from_the_solved_circuit() -> None:
    source = FromSolution(situation="running", target=InPart(what="power", reference="M1"))
    one = Claim(name="m", kind="power_output", says="60 W", value="60 W", inputs={"power": source})
    result = judge(one, {}, lambda asked: Quantity(6.0, "W", 0.1) if asked == source else Quantity(0.0, "W"))
    assert result.found == Quantity(6.0, "W", 0.1)


def test_an_unsolved_input_leaves_the_claim_open() -> None:
    source = FromSolution(situation="running", target=InPart(what="power", reference="M1"))
    one = Claim(name="m", kind="power_output", says="60 W", value="60 W", inputs={"power": source})
    verdict = judge(one, {}, unsolved).verdict
    assert isinstance(verdict, CannotTell)
    assert "no circuit tells the power of M1" in verdict.why


def test_one_reading_in_two_roles_cancels_in_a_ratio() -> None:
    one = claim("efficiency", "90 %", power_in="p", power_out="p")
    found = judged(one, measured("p", "5.0 W ± 0.2 W")).found
    assert found is not None
    assert found.value == 1.0
    assert found.uncertainty == pytest.approx(0.0, abs=1e-12)


def test_readings_on_one_range_share_its_error() -> None:
    # Both accuracies are the same 1 % of reading + 3 steps, so only the two resolutions are left in the ratio.
    one = claim("efficiency", "90 %", voltage_in="a", current_in="i", voltage_out="b", current_out="i")
    readings = [measured(name, "5.000 V", instrument="meter") for name in ("a", "b")]
    result = judged(one, *readings, measured("i", "1.00 A ± 0 A"))
    assert result.found is not None
    resolution = 0.001 / math.sqrt(12) / 5.0
    assert result.found.uncertainty == pytest.approx(math.sqrt(2) * resolution, rel=0.01)
    assert "were read on one range of meter" in result.notes[0]


def test_readings_on_different_ranges_are_independent() -> None:
    one = claim("efficiency", "90 %", voltage_in="a", current_in="i", voltage_out="b", current_out="i")
    readings = [
        measured("a", "5.000 V", instrument="meter"),
        measured("b", "5.00 V", instrument="meter", on_range="60 V"),
    ]
    result = judged(one, *readings, measured("i", "1.00 A ± 0 A"))
    assert result.found is not None
    expected = math.hypot(*(reading.quantity.uncertainty / 5.0 for reading in readings))
    assert result.found.uncertainty == pytest.approx(expected, rel=0.01)


def test_an_exact_claim_of_what_is_measured_is_refused() -> None:
    with pytest.raises(
        ImpossibleValue, match="5 V cannot be met exactly, since it is measured and not counted"
    ):
        judged(claim("voltage", "5 V", sense="exactly", voltage="volts"), VOLTS)


def test_a_negative_tolerance_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="tolerance '-5 %' is negative"):
        judged(claim("voltage", "5 V", tolerance="-5 %", voltage="volts"), VOLTS)


def test_an_unknown_sense_lists_the_known_ones() -> None:
    with pytest.raises(UnknownName, match="did you mean 'at least'"):
        judged(claim("voltage", "5 V", sense="at lest", voltage="volts"), VOLTS)


def test_an_unknown_kind_suggests_the_nearest() -> None:
    with pytest.raises(UnknownName, match="did you mean 'power_input'"):
        judged(claim("power_inputs", "5 W"))


def test_an_input_that_the_kind_does_not_use_is_refused() -> None:
    with pytest.raises(UnknownName, match="not worked out from 'torque'"):
        judged(claim("power_input", "5 W", torque="volts"), VOLTS)


@settings(deadline=None)  # the first draw loads the numerics
@given(st.floats(0.1, 50.0), st.floats(0.1, 50.0))
def test_a_bolder_claim_is_never_more_probable(one: float, other: float) -> None:
    low, high = sorted((one, other))
    modest, bold = (
        judged(claim("power_input", f"{value!r} W", **POWER), VOLTS, AMPS).verdict.probability
        for value in (low, high)
    )
    assert modest is not None
    assert bold is not None
    assert modest >= bold


@settings(deadline=None)
@given(st.floats(0.5, 20.0))
def test_at_least_and_at_most_share_out_all_probability(value: float) -> None:
    least, most = (
        judged(claim("power_input", f"{value!r} W", sense=sense, **POWER), VOLTS, AMPS).verdict.probability
        for sense in ("at least", "at most")
    )
    assert least is not None
    assert most is not None
    assert least + most == pytest.approx(1.0)


def test_a_reading_that_cannot_be_relied_on_leaves_the_claim_open() -> None:
    doubtful = replace(VOLTS, doubts=("its crest factor is above what the meter follows",))
    verdict = judged(claim("voltage", "5 V", voltage="volts"), doubtful).verdict
    assert isinstance(verdict, CannotTell)
    assert "cannot be relied on: its crest factor is above what the meter follows" in verdict.why


def test_a_ratio_of_wide_inputs_is_drawn_and_says_so() -> None:
    # 1/x of a normal x with a spread of 15 %: the mean lies above 1 by about 0.15² (second order of the series).
    inputs = {"value": FromReading(reading="a"), "compared_with": FromReading(reading="b")}
    one = Claim(name="claim", kind="times_more", says="1.5 times brighter", value="1.5", inputs=inputs)
    result = judged(one, measured("a", "1 lx ± 0 lx"), measured("b", "1 lx ± 0.3 lx"))
    assert result.found is not None
    assert result.found.value == pytest.approx(1.0 + 0.15**2, abs=0.004)
    assert any("drawn 100 000 times (JCGM 101)" in note for note in result.notes)


def test_what_is_found_is_shown_in_the_unit_of_the_claim() -> None:
    result = judged(claim("current", "1800 mA", sense="at least", current="amps"), AMPS)
    assert result.shown == "1580 mA ± 20 mA"


def test_an_unreadable_size_is_not_shown_in_the_unit_of_the_claim() -> None:
    result = judged(claim("current", "2 A", sense="at most", current="i"), measured("i", "3 µA ± 0.2 µA"))
    assert result.shown == "3.0 µA ± 0.2 µA"


def test_few_repeats_are_told_with_their_coverage_factor() -> None:
    # Three repeats by hand, with digits far finer than their scatter: two degrees of freedom, t = 4.53 for 95.45 % (Table G.2).
    result = judged(claim("voltage", "5 V", voltage="v"), measured("v", "4.9000 V", "5.0000 V", "5.1000 V"))
    assert any(
        "2.0 effective degrees of freedom, so ± is 4.53 standard uncertainties in place of 2" in note
        for note in result.notes
    )


def test_many_repeats_need_no_word() -> None:
    result = judged(claim("voltage", "5 V", voltage="volts"), VOLTS)
    assert not any("degrees of freedom" in note for note in result.notes)


def test_a_comparison_with_nothing_says_that_it_says_nothing() -> None:
    one = Claim(name="b", kind="times_more", says="10 times brighter", value="10", where="the box")
    result = judged(one)
    assert result.sum == "the box says 10; it does not say than what, nor which quantity is meant"
    assert isinstance(result.verdict, CannotTell)


def test_an_estimate_is_called_one_in_the_sum_and_says_why() -> None:
    # π · 40 lx · (0.5 m)² = 31.4 lm
    stated = {"illuminance": "40 lx ± 2 lx", "distance": "0.5 m ± 0.005 m"}
    inputs = {role: FromStatement(value=value, why="read") for role, value in stated.items()}
    one = Claim(name="l", kind="luminous_flux", says="200 lm", value="200 lm", where="the box", inputs=inputs)
    result = judged(one)
    assert result.sum == "π × 40 lx × (500 mm)² = 31.4 lm ± 1.7 lm (an estimate); the box says 200 lm"
    assert result.notes[0].startswith("An estimate, not a measurement: without an integrating sphere")


def test_two_inputs_from_one_solved_circuit_are_said_to_be_taken_as_independent() -> None:
    inputs = {
        role: FromSolution(situation="running", target=InPart(what="current", reference="M1"))
        for role in ("voltage", "current")
    }
    one = Claim(name="m", kind="power_input", says="60 W", value="60 W", inputs=inputs)
    units = iter((Quantity(5.0, "V", 0.1), Quantity(1.0, "A", 0.1)))
    result = judge(one, {}, lambda _: next(units))
    assert any("taken as independent of each other" in note for note in result.notes)


def test_a_peak_that_lies_in_another_band_as_well_is_told_beside_the_verdict() -> None:
    result = judged(claim("light_band", "violet", wavelength="peak"), measured("peak", "396 nm ± 1 nm"))
    assert isinstance(result.verdict, BorneOut)
    [note] = [note for note in result.notes if note.startswith("Bands overlap")]
    assert "396.0 nm ± 1.0 nm lies in UV-A (315 nm to 400 nm" in note


def test_a_peak_in_one_band_alone_brings_no_remark() -> None:
    result = judged(claim("light_band", "violet", wavelength="peak"), measured("peak", "420 nm ± 1 nm"))
    assert not any(note.startswith("Bands overlap") for note in result.notes)
