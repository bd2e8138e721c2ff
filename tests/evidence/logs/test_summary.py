"""A log at a glance: sums in closed form, runs where they were put."""

import pytest

from lidoff.errors import UnknownName
from lidoff.evidence import Instrument, Log, Range, read_log, summary_of


def log_of(*rows: str, head: str = "t [s],U [V],I [A]") -> Log:
    return read_log("\n".join((head, *rows)).encode(), name="made up")


STEADY = log_of("0,4.0000,1.0000", "1800,4.0000,1.0000", "3600,4.0000,1.0000")
TWO_RUNS = log_of(
    *(
        f"{10 * row},{4.0 if row < 60 else 3.2},{1.0 if row < 20 or 40 <= row < 60 else 0.0}"
        for row in range(80)
    )
)
CUT_OFF = log_of(
    *(f"{60 * row},{4 - 0.05 * row if row < 11 else 3.8:.3f},{1 if row < 11 else 0:.3f}" for row in range(16))
)


def test_an_hour_of_one_ampere_at_four_volts() -> None:
    charge, energy = summary_of(STEADY).sums
    assert (("I",), "Ah", 1.0) == (
        charge.channels,
        charge.integral.quantity.unit,
        charge.integral.quantity.value,
    )
    assert (("U", "I"), "Wh", 4.0) == (
        energy.channels,
        energy.integral.quantity.unit,
        energy.integral.quantity.value,
    )


def test_a_device_that_never_stopped_has_no_runs() -> None:
    assert () == summary_of(STEADY).runs


def test_runs_lie_where_the_current_flowed() -> None:
    summary = summary_of(TWO_RUNS)
    assert "I" == summary.ran_by
    assert [(0.0, 190.0), (400.0, 590.0)] == [(run.stretch.start, run.stretch.end) for run in summary.runs]


def test_a_run_tells_its_own_charge_and_what_stood_at_its_end() -> None:
    second = summary_of(TWO_RUNS).runs[1]
    # 1 A from 395 s to 595 s, each end anywhere between two rows
    assert pytest.approx(200.0 / 3600.0) == second.sums[0].integral.quantity.value
    assert [("U", 4.0)] == [(name, quantity.value) for name, quantity in second.last]


def test_a_run_cut_off_between_two_rows_doubts_its_charge_as_much_as_its_length() -> None:
    (run,) = summary_of(CUT_OFF).runs
    charge, length = run.sums[0].integral.quantity, run.stretch.duration
    # 1 A × 630 s ± 30 s as limits
    assert [630.0, 30.0 / 3**0.5] == pytest.approx([length.value, length.uncertainty])
    assert [0.175, 0.030 / 3.6 / 3**0.5] == pytest.approx([charge.value, charge.uncertainty], rel=1e-3)


def test_a_run_holds_until_its_cut_off_what_its_last_row_showed() -> None:
    (run,) = summary_of(CUT_OFF).runs
    energy = run.sums[1].integral.quantity
    # 3.5 V stood at its end, and 3.75 V on the mean of the ten minutes before
    assert (3.75 * 600.0 + 3.5 * 30.0) / 3600.0 == pytest.approx(energy.value)
    assert 3.5 * 30.0 / 3600.0 / 3**0.5 == pytest.approx(energy.uncertainty, rel=0.01)


def test_a_run_of_one_row_has_its_charge_and_its_doubt() -> None:
    log = log_of(*(f"{10 * row},5.000,{1 if row == 2 else 0:.3f}" for row in range(6)))
    (run,) = summary_of(log).runs
    charge = run.sums[0].integral.quantity
    # 1 A × 10 s, each end ± 5 s as limits
    assert [10.0, 5.0 * (2.0 / 3.0) ** 0.5] == pytest.approx(
        [3600.0 * charge.value, 3600.0 * charge.uncertainty], rel=0.01
    )


def test_a_run_without_voltage_has_no_energy_of_its_own() -> None:
    log = log_of(*(f"{row},{5 if row > 9 else ''},{1 if row < 5 else 0}" for row in range(20)))
    (run,) = summary_of(log).runs
    assert [("I",)] == [one.channels for one in run.sums]


def test_a_power_channel_is_summed_in_place_of_voltage_and_current() -> None:
    log = log_of("0,4,1,4.1", "3600,4,1,4.1", head="t [s],U [V],I [A],P [W]")
    assert [("I",), ("P",)] == [one.channels for one in summary_of(log).sums]


def test_a_channel_without_unit_has_no_values_to_tell() -> None:
    summary = summary_of(log_of("0,1", "1,2", head="t [s],glow"))
    assert [None] == [one.mean for one in summary.channels]
    assert () == summary.sums


def test_many_runs_are_counted_and_not_all_told() -> None:
    blinking = log_of(*(f"{row},5,{1 if row % 10 < 5 else 0}" for row in range(200)))
    summary = summary_of(blinking)
    assert (12, 8) == (len(summary.runs), summary.more_runs)


def test_the_accuracy_of_an_instrument_widens_the_mean() -> None:
    meter = Instrument(name="m", ranges=(Range(measures="current dc", accuracy="±(2 %)"),))
    of_current = next(
        one for one in summary_of(STEADY, instruments={"I": meter}).channels if one.channel.name == "I"
    )
    assert of_current.mean is not None
    # 2 % of 1 A as limits, over √3; the digits bring next to nothing
    assert pytest.approx(0.02 / 3**0.5, rel=0.02) == of_current.mean.uncertainty


def test_an_instrument_that_cannot_measure_the_channel_is_told() -> None:
    meter = Instrument(name="m", ranges=(Range(measures="voltage dc", accuracy="±(2 %)"),))
    with pytest.raises(UnknownName, match="has no accuracy for current dc"):
        summary_of(STEADY, instruments={"I": meter})


def test_a_charge_and_the_discharge_behind_it_are_two_runs() -> None:
    log = log_of(*(f"{10 * row},4.0000,{1.0 if row < 30 else -0.5:.4f}" for row in range(90)))
    charge, discharge = summary_of(log).runs
    assert [(0.0, 290.0), (300.0, 890.0)] == [
        (run.stretch.start, run.stretch.end) for run in (charge, discharge)
    ]
    # It turns round at 295 s, give or take half a row.
    assert 295.0 / 3600.0 == pytest.approx(charge.sums[0].integral.quantity.value)
    assert -0.5 * 595.0 / 3600.0 == pytest.approx(discharge.sums[0].integral.quantity.value)


def test_a_current_that_goes_to_and_fro_is_one_run() -> None:
    log = log_of(*(f"{row},4,{(-1) ** row if row < 60 else 0}" for row in range(90)))
    assert [(0.0, 59.0)] == [(run.stretch.start, run.stretch.end) for run in summary_of(log).runs]
