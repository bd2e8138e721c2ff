"""Time columns as programs write them."""

import pytest

from lidoff.errors import ImpossibleValue

from .build import log_of, told


def times_of(*cells: str, heading: str = "Time", time: str = "") -> tuple[list[float], str, str]:
    """Seconds, words and start of a log with these times."""
    rows = "\n".join(f"{cell};{4 - place / 10:.1f}" for place, cell in enumerate(cells))
    log = log_of(f"{heading};U [V]\n{rows}\n", time=time)
    return list(log.times), log.time_words, log.start


@pytest.mark.parametrize(
    ("cells", "seconds"),
    [
        (("2026-11-25T20:00:00Z", "2026-11-25T20:00:01.5Z"), 1.5),
        (("2026-11-25 20:00:00+01:00", "2026-11-25 20:00:02+01:00"), 2.0),
        (("25.11.2026 20:00:00", "25.11.2026 20:01:00"), 60.0),
        (("11/25/2026 11:59:59 PM", "11/26/2026 12:00:01 AM"), 2.0),
        (("25/11/26 08:00", "25/11/26 08:01"), 60.0),
        (("25-Nov-2026 20:00:00", "25-Nov-2026 20:00:03"), 3.0),
        (("2026/11/25 20:00:00.250", "2026/11/25 20:00:00.750"), 0.5),
        (("20:00:00", "20:00:10"), 10.0),
        (("8:59:59 am", "9:00:00 am"), 1.0),
        (("0:00:00.0", "0:00:00.5"), 0.5),
        (("25:10:03", "25:10:04"), 1.0),
        (("0d 23:59:59", "1d 00:00:01"), 2.0),
        (("1764102898", "1764102900"), 2.0),
        (("1764102898000", "1764102898500"), 0.5),
        (("1764102898000000000", "1764102899000000000"), 1.0),
    ],
)
def test_times_are_read_in_any_usual_form(cells: tuple[str, str], seconds: float) -> None:
    assert [0.0, seconds] == pytest.approx(times_of(*cells)[0], abs=1e-6)


@pytest.mark.parametrize(
    ("heading", "seconds"),
    [("t [s]", 3.0), ("t [ms]", 0.003), ("Time (min)", 180.0), ("Elapsed/h", 10800.0), ("Zeit_s", 3.0)],
)
def test_the_heading_tells_the_unit_of_plain_numbers(heading: str, seconds: float) -> None:
    assert [0.0, seconds] == pytest.approx(times_of("0", "3", heading=heading)[0])


def test_a_time_without_unit_is_taken_as_seconds_and_told() -> None:
    log = log_of("Time;U [V]\n0;4\n1;3\n")
    assert "the heading 'Time' tells no unit; taken as seconds" == told(log, "time unit")


def test_the_analyst_tells_the_unit_of_the_time() -> None:
    assert [0.0, 60.0] == times_of("0", "1", time="min")[0]


def test_midnight_is_passed_and_told() -> None:
    log = log_of("Time;U [V]\n23:59:59;4\n00:00:01;3\n00:00:03;2\n")
    assert [0.0, 2.0, 4.0] == pytest.approx(log.times)
    assert "the clock passes midnight once" == told(log, "midnight")


def test_two_parts_without_more_are_refused() -> None:
    with pytest.raises(
        ImpossibleValue, match='may be hours and minutes, or minutes and seconds; tell which: time = "h:min"'
    ):
        times_of("12:34", "12:35")


@pytest.mark.parametrize(("hint", "seconds"), [("h:min", 60.0), ("min:s", 1.0)])
def test_the_analyst_tells_what_two_parts_mean(hint: str, seconds: float) -> None:
    assert [0.0, seconds] == times_of("12:34", "12:35", time=hint)[0]


@pytest.mark.parametrize(("heading", "cells"), [("mm:ss", ("12:34", "12:35")), ("Time", ("58:34", "58:35"))])
def test_minutes_and_seconds_can_be_told_by_the_file(heading: str, cells: tuple[str, str]) -> None:
    assert [0.0, 1.0] == times_of(*cells, heading=heading)[0]


def test_the_day_order_under_which_time_runs_forward_is_taken_and_told() -> None:
    # 3 to 5 April in one order; 4 March, 4 April, 4 May in the other.
    log = log_of("Date;U [V]\n03/04/2026 12:00:00;4\n04/04/2026 12:00:00;3\n05/04/2026 12:00:00;2\n")
    assert [0.0, 86400.0, 172800.0] == pytest.approx(log.times)
    assert "are taken as day first, since then time runs forward without a leap" in told(log, "day order")


def test_the_analyst_tells_the_day_order() -> None:
    log = log_of("Date;U [V]\n03/04/2026 12:00:00;4\n04/04/2026 12:00:00;3\n", time="month first")
    assert [0.0, 31 * 86400.0] == pytest.approx(log.times)


def test_a_day_order_that_makes_no_difference_is_told_as_such() -> None:
    log = log_of("Date;U [V]\n03/04/2026 12:00:00;4\n03/04/2026 12:00:01;3\n")
    assert "times between rows are the same either way" in told(log, "day order")


def test_date_and_clock_in_two_columns_are_joined() -> None:
    log = log_of("Date;Time;U [V]\n25.11.2026;23:59:59;4\n26.11.2026;00:00:01;3\n")
    assert [0.0, 2.0] == pytest.approx(log.times)
    assert "2026-11-25 23:59:59" == log.start


def test_a_time_that_cannot_be_read_is_left_out_and_told() -> None:
    log = log_of("Time [s];U [V]\n0;4\nlate;3\n2;2\n")
    assert [0.0, 2.0] == pytest.approx(log.times)
    assert "line 3: rows whose time cannot be read were left out (1)" == told(log, "time unread")
