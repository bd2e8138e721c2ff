"""Sums over logs, against closed forms and hand sums."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence import Instrument, Range
from lidoff.evidence.logs import Log, integrate, mean_over
from lidoff.quantities import Quantity

from .build import log_of

METER = Instrument(
    name="meter",
    ranges=(
        Range(measures="current dc", up_to="0.6 A", resolution="0.1 mA", accuracy="±(1 % + 5)"),
        Range(measures="current dc", up_to="6 A", resolution="1 mA", accuracy="±(1 % + 5)"),
        Range(measures="voltage dc", up_to="6 V", resolution="1 mV", accuracy="±0.5 %"),
        Range(measures="time", accuracy="0.01 %"),
    ),
)


def steady(amperes: float = 0.5, seconds: int = 3600, step: int = 10) -> Log:
    rows = "\n".join(f"{t},4.0000,{amperes:.4f}" for t in range(0, seconds + 1, step))
    return log_of(f"t [s],U [V],I [A]\n{rows}\n")


def test_a_steady_current_for_an_hour_is_its_charge() -> None:
    found = integrate(steady(), ["I"])
    assert 0.5 == pytest.approx(found.quantity.value)
    assert "Ah" == found.quantity.unit


def test_voltage_times_current_for_an_hour_is_energy() -> None:
    found = integrate(steady(), ["U", "I"])
    assert 2.0 == pytest.approx(found.quantity.value)
    assert "Wh" == found.quantity.unit


def test_a_mean_counts_each_moment_alike_however_the_rows_lie() -> None:
    log = log_of("t [s],U [V]\n0,1\n1,1\n2,1\n3,1\n9,4\n")
    # Three seconds of 1 V, then six of 2.5 V on average.
    assert (3.0 + 15.0) / 9.0 == pytest.approx(mean_over(log, "U").quantity.value)


def test_a_mean_has_the_instruments_whole_error() -> None:
    found = mean_over(steady(), "U", instruments={"U": METER})
    assert 0.02 / math.sqrt(3.0) == pytest.approx(found.parts["accuracy"])


def test_a_mean_of_a_channel_without_unit_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"the unit of X in test\.csv is not known; tell it"):
        mean_over(log_of("t [s],X\n0,1\n1,1\n"), "X")


def test_the_meters_error_is_the_same_all_the_time() -> None:
    # By hand: ±(1 % of 0.5 A + 5 × 0.1 mA) = ±5.5 mA over one hour = ±5.5 mAh, over √3.
    found = integrate(steady(), ["I"], instruments={"I": METER})
    assert 5.5e-3 / math.sqrt(3.0) == pytest.approx(found.parts["accuracy"])


def test_each_value_counts_on_the_range_that_holds_it() -> None:
    log = log_of("t [s],I [A]\n0,0.5000\n1800,0.5000\n1800.001,1.0000\n3600,1.0000\n")
    # Half an hour ±5.5 mA, half an hour ±(10 mA + 5 × 1 mA).
    found = integrate(log, ["I"], instruments={"I": METER})
    assert (0.5 * 5.5e-3 + 0.5 * 15e-3) / math.sqrt(3.0) == pytest.approx(found.parts["accuracy"], rel=1e-3)


def test_errors_of_volts_and_amperes_add_as_independent() -> None:
    # ±0.5 % of 2 Wh and ±5.5 mA × 4 V × 1 h.
    found = integrate(steady(), ["U", "I"], instruments={"U": METER, "I": METER})
    assert math.hypot(0.01, 0.022) / math.sqrt(3.0) == pytest.approx(found.parts["accuracy"])


def test_a_steady_display_is_rounded_the_same_way_all_the_time() -> None:
    # Half a step of 0.1 mA for an hour, over √3.
    assert 0.5e-4 / math.sqrt(3.0) == pytest.approx(integrate(steady(), ["I"]).parts["resolution"])


def test_a_moving_display_is_rounded_at_random() -> None:
    values = [f"{t},{1 + math.sin(t):.3f}" for t in range(1000)]
    log = log_of("t [s],I [A]\n" + "\n".join(values) + "\n")
    expected = 0.5e-3 / math.sqrt(3.0) * math.sqrt(1000) / 3600
    assert expected == pytest.approx(integrate(log, ["I"]).parts["resolution"], rel=0.01)


def test_what_lies_between_coarse_rows_is_covered_by_the_sampling_part() -> None:
    # Charge of exp(−t/100 s) from 0 to 300 s: 100 (1 − e⁻³) A·s, read every 30 s.
    rows = "\n".join(f"{t},{math.exp(-t / 100):.9f}" for t in range(0, 301, 30))
    found = integrate(log_of(f"t [s],I [A]\n{rows}\n"), ["I"])
    error = found.quantity.value - 100.0 * (1.0 - math.exp(-3.0)) / 3600.0
    assert 0.3 * found.parts["sampling"] < error < 2.0 * found.parts["sampling"]


def test_a_gap_counts_what_may_have_happened_there() -> None:
    rows = [f"{t},1.0" for t in (*range(100), *range(200, 300))] + ["300,0.0", "301,0.0"]
    found = integrate(log_of("t [s],I [A]\n" + "\n".join(rows) + "\n"), ["I"])
    # From the last row before to the first behind: 101 s, at the bridged 1 A or as low as 0 A.
    assert 101.0 / math.sqrt(3.0) / 3600.0 == pytest.approx(found.parts["gaps"])


def test_a_clock_error_is_a_share_of_the_sum() -> None:
    found = integrate(steady(), ["I"], clock=METER)
    assert 0.5 * 1e-4 / math.sqrt(3.0) == pytest.approx(found.parts["clock"])


def test_a_doubtful_end_counts_with_the_current_there() -> None:
    found = integrate(steady(), ["I"], end=Quantity(1800.0, "s", 6.0))
    assert 0.25 == pytest.approx(found.quantity.value)
    assert 0.5 * 6.0 / 3600.0 == pytest.approx(found.parts["ends"])


def test_an_end_between_rows_is_interpolated() -> None:
    log = log_of("t [s],I [A]\n0,0\n10,10\n20,20\n")
    found = integrate(log, ["I"], start=Quantity(5.0, "s"), end=Quantity(15.0, "s"))
    assert 100.0 / 3600.0 == pytest.approx(found.quantity.value)


def test_both_directions_are_told_apart() -> None:
    log = log_of("t [s],I [A]\n0,1\n10,1\n30,-1\n40,-1\n")
    found = integrate(log, ["I"])
    assert 0.0 == pytest.approx(found.quantity.value, abs=1e-12)
    assert [15.0 / 3600.0] * 2 == pytest.approx([found.forward, found.backward])


def test_rows_without_a_number_are_bridged() -> None:
    log = log_of("t [s],I [A]\n0,1\n1,1\n2,OL\n3,1\n4,1\n")
    found = integrate(log, ["I"])
    assert 4.0 / 3600.0 == pytest.approx(found.quantity.value)
    assert any("beyond its range" in note for note in found.notes)


def test_channels_that_make_no_sum_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="U in V make neither charge nor energy; sum a current"):
        integrate(steady(), ["U"])


def test_an_unknown_channel_is_refused() -> None:
    with pytest.raises(UnknownName, match="has no channel 'J'"):
        integrate(steady(), ["J"])


def test_an_empty_stretch_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"no two rows .* name a longer stretch"):
        integrate(steady(), ["I"], start=Quantity(10.0, "s"), end=Quantity(10.0, "s"))


@given(
    values=st.lists(st.integers(0, 2000), min_size=4, max_size=40),
    cut=st.integers(1, 2),
    scale=st.integers(2, 9),
)
def test_two_stretches_sum_to_the_whole_and_scale_with_the_current(
    values: list[int], cut: int, scale: int
) -> None:
    log = log_of("t [s],I [mA]\n" + "\n".join(f"{t},{value}" for t, value in enumerate(values)) + "\n")
    larger = log_of(
        "t [s],I [mA]\n" + "\n".join(f"{t},{value * scale}" for t, value in enumerate(values)) + "\n"
    )
    whole = integrate(log, ["I"]).quantity.value
    at = Quantity(float(cut), "s")
    parts = [integrate(log, ["I"], end=at), integrate(log, ["I"], start=at)]
    assert whole == pytest.approx(sum(part.quantity.value for part in parts), abs=1e-12)
    assert scale * whole == pytest.approx(integrate(larger, ["I"]).quantity.value, abs=1e-12)


def test_the_stated_uncertainty_holds_the_truth_as_often_as_it_says() -> None:
    # 300 invented meters, each wrong by one draw within its limits and rounding every row: k = 2 must hold about 95 %.
    rng = np.random.default_rng(7)
    times = np.arange(0.0, 600.0, 5.0)
    truth = 0.4 + 0.1 * np.sin(times / 80.0)
    fine = np.arange(0.0, 595.0001, 0.01)
    charge = float(np.trapezoid(0.4 + 0.1 * np.sin(fine / 80.0), fine)) / 3600.0
    held = 0
    for _ in range(300):
        shown = np.round((truth * (1.0 + rng.uniform(-0.01, 0.01)) + rng.uniform(-5e-4, 5e-4)) * 1e4) / 1e4
        rows = "\n".join(f"{t:.0f},{value:.4f}" for t, value in zip(times, shown, strict=True))
        found = integrate(log_of(f"t [s],I [A]\n{rows}\n"), ["I"], instruments={"I": METER}).quantity
        held += abs(found.value - charge) <= found.expanded
    assert held >= 0.95 * 300
