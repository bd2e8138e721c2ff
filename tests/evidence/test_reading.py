import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence import NetVoltage, Reading, measure, read_text
from lidoff.quantities import Quantity
from tests.evidence.build import METER, measured


def test_accuracy_and_resolution_add_as_rectangles() -> None:
    # 0.5 % of 5.00 V and 3 steps of 1 mV: ± 28 mV; the step itself: ± 0.5 mV.
    expected = math.hypot(0.028 / math.sqrt(3), 0.0005 / math.sqrt(3))
    assert measured("v", "5.000 V", instrument="meter").quantity.uncertainty == pytest.approx(expected)


def test_a_reading_without_instrument_is_as_good_as_its_last_digit() -> None:
    assert measured("v", "4.40 V").quantity == Quantity(4.4, "V", 0.01 / math.sqrt(12))


def test_repeats_bring_the_scatter_of_their_mean() -> None:
    # s = 0.01 V, so s/√3 with two degrees of freedom; JCGM 100:2008, 4.2.3.
    assert measured("v", "5.00 V", "5.01 V", "5.02 V").scatter == pytest.approx(0.01 / math.sqrt(3))


def test_degrees_of_freedom_follow_welch_and_satterthwaite() -> None:
    found = measured("v", "5.00 V", "5.01 V", "5.02 V")
    expected = (
        2 * (found.quantity.uncertainty / found.scatter) ** 4
    )  # JCGM 100:2008, eq. (G.2b), one finite term
    assert found.quantity.dof == pytest.approx(expected)


def test_equal_repeats_do_not_make_the_resolution_vanish() -> None:
    assert measured("v", "5.00 V", "5.00 V").quantity.uncertainty == pytest.approx(0.01 / math.sqrt(12))


def test_a_stated_uncertainty_stands_in_place_of_the_instruments() -> None:
    found = measured("v", "5.00 V ± 0.04 V", instrument="meter")
    assert (0.02, 0.0, 0.0) == (found.quantity.uncertainty, found.accuracy, found.resolution)


def test_a_count_by_hand_is_exact() -> None:
    assert measured("leds", "24").quantity == Quantity(24.0, "1")


def test_a_range_used_worsens_a_small_reading() -> None:
    fine = measured("v", "5.00 V", instrument="meter")
    coarse = measured("v", "5.00 V", instrument="meter", on_range="60 V")
    assert coarse.quantity.uncertainty > fine.quantity.uncertainty


def test_an_ac_reading_takes_the_ac_range() -> None:
    found = measured("v", "230.0 V", instrument="meter", measures="voltage ac")
    assert found.accuracy == pytest.approx((2.30 + 0.5) / math.sqrt(3))


def test_energy_in_watt_hours_is_as_accurate_as_in_joules() -> None:
    # The same meter and the same display, told in either unit.
    hours = measured("e", "1.0000 Wh ± 0.02 Wh").quantity
    joules = measured("e", "3600.0 J ± 72 J").quantity
    assert hours.value_in("J") == pytest.approx(joules.value)
    assert joules.uncertainty == pytest.approx(3600 * hours.uncertainty)


def test_a_reading_in_another_unit_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"states current \[A\], but voltage \[V\] is expected"):
        measure(Reading(name="v", target=NetVoltage(net="a"), shown=("5 A",)), {})


def test_a_value_without_unit_is_refused_where_one_is_expected() -> None:
    with pytest.raises(ImpossibleValue, match="'5' is a value without unit"):
        measure(Reading(name="v", target=NetVoltage(net="a"), shown=("5",)), {})


def test_a_reading_that_shows_nothing_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="'v' shows nothing; add what was shown"):
        measured("v")


def test_an_unknown_instrument_suggests_the_nearest() -> None:
    with pytest.raises(UnknownName, match="did you mean 'meter'"):
        measured("v", "5 V", instrument="metre")


@given(st.lists(st.integers(1, 5999), min_size=1, max_size=6))
def test_repeating_never_makes_a_reading_worse_than_its_parts(steps: list[int]) -> None:
    found = measured("v", *(f"{step / 1000:.3f} V" for step in steps), instrument="meter")
    assert found.quantity.uncertainty == pytest.approx(
        math.hypot(found.scatter, found.accuracy, found.resolution)
    )
    assert found.quantity.value == pytest.approx(sum(steps) / len(steps) / 1000)


@given(st.integers(1, 5999), st.integers(1, 5999))
def test_a_larger_reading_on_one_range_is_never_more_certain(one: int, other: int) -> None:
    low, high = sorted((one, other))
    small, large = (
        measured("v", f"{step / 1000:.3f} V", instrument="meter", on_range="6 V") for step in (low, high)
    )
    assert small.quantity.uncertainty <= large.quantity.uncertainty


def test_the_meter_of_these_tests_is_well_formed() -> None:
    for span in METER.ranges:
        span.check()


def test_a_bare_ratio_may_tell_its_uncertainty() -> None:
    assert Quantity(0.55, "1", 0.01) == read_text("0.55 ± 0.02")


def test_three_repeats_take_students_t() -> None:
    # s = 0.3512 mA, s/√3 = 0.2028 mA, the last digit next to nothing: 4.53 · 0.2028 = 0.918 mA (Table G.2, 95.45 %)
    found = measured("a", "13.20000 mA", "13.50000 mA", "13.90000 mA").quantity
    assert 0.918e-3 == pytest.approx(found.expanded, abs=1e-6)


@pytest.mark.parametrize("count", [3, 5])
def test_plus_minus_of_few_repeats_holds_the_truth_about_95_of_100_times(count: int) -> None:
    rng = np.random.default_rng(7)
    held = 0
    for _ in range(2000):
        found = measured("v", *(f"{value:.6f} V" for value in rng.normal(5.0, 0.1, count))).quantity
        held += abs(found.value - 5.0) <= found.expanded
    # 95.45 % of 2000 within four standard deviations of √(2000 · 0.9545 · 0.0455) = 9.3
    assert 1909 == pytest.approx(held, abs=38)
