"""Logs as meters and loggers write them."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from lidoff.errors import ImpossibleValue, LidoffError, UnknownName
from lidoff.evidence.logs import LARGEST_LOG, LogHints, read_log

from .build import log_of, told

PLAIN = "time [s],U [mV],I (A)\n0,4200,0.5\n1,4190,0.5\n2,4180,0.4\n"


def test_units_stand_in_the_headings() -> None:
    log = log_of(PLAIN)
    assert [("U", "V"), ("I", "A")] == [(one.name, one.unit) for one in log.channels]
    assert [4.2, 4.19, 4.18] == pytest.approx(log.channel("U").values)


def test_the_step_of_the_last_digit_is_kept() -> None:
    log = log_of(PLAIN)
    assert 0.001 == pytest.approx(log.channel("U").step)
    assert 0.1 == pytest.approx(log.channel("I").step)


@pytest.mark.parametrize(
    "text",
    [
        "t [s];U [V]\n0;4,20\n1;4,19\n2;4,18\n",
        "t [s]\tU [V]\n0\t4,20\n1\t4,19\n2\t4,18\n",
        "t [s]|U [V]\n0|4.20\n1|4.19\n2|4.18\n",
        't [s],U [V]\n"0","4,20"\n"1","4,19"\n"2","4,18"\n',
        "sep=;\nt [s];U [V]\n0;4.20\n1;4.19\n2;4.18\n",
        "t[s] U[V]\n0   4.20\n1   4.19\n2   4.18\n",
    ],
    ids=["semicolon", "tab", "bar", "quoted", "sep line", "spaces"],
)
def test_separator_and_decimal_sign_are_found(text: str) -> None:
    assert [4.20, 4.19, 4.18] == pytest.approx(log_of(text).channel("U").values)


def test_what_was_chosen_is_told() -> None:
    assert "columns parted by semicolons, decimal comma" == told(
        log_of("t [s];U [V]\n0;4,20\n1;4,19\n"), "layout"
    )


def test_commas_for_both_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="commas part its columns and its decimals alike; export it"):
        log_of("t,U,I\n0,0,4,20,0,50\n1,0,4,19,0,50\n2,0,4,18,0,50\n")


def test_more_than_four_decimals_are_no_thousands() -> None:
    assert [4.123456, 4.1234] == pytest.approx(
        log_of("t [s],U [V]\n0,4.123456\n1,4.1234\n").channel("U").values
    )


def test_thousands_are_told() -> None:
    log = log_of("t [s];U [V]\n0;1,234.5\n1;1,235.5\n")
    assert [1234.5, 1235.5] == pytest.approx(log.channel("U").values)
    assert "'1,234.5' in U is read with its thousands parted" in told(log, "thousands")


@pytest.mark.parametrize("mark", ["OL", "0L", "O.L", "OVLD", "----", "+OVER", "inf", "9.9E37", "OL V"])
def test_an_overload_is_no_number_and_is_told(mark: str) -> None:
    log = log_of(f"t [s],U [V]\n0,4.2\n1,{mark}\n2,4.1\n")
    assert np.isnan(log.channel("U").values[1])
    assert 1 == log.channel("U").overloads
    assert f"line 3: U was beyond its range once ({mark!r})" in told(log, "overload")


def test_a_cell_without_value_is_told() -> None:
    log = log_of("t [s],U [V]\n0,4.2\n1,\n2,n/a\n3,4.1\n")
    assert "U has no number in 2 rows" == told(log, "no value")


def test_units_beside_the_values_are_followed_through_range_changes() -> None:
    log = log_of("No.\tTime\tValue\tUnit\n1\t0:00:00\t1.2\tV\n2\t0:00:01\t900\tmV\n3\t0:00:02\t0.8\tV\n")
    assert "V" == log.channel("Value").unit
    assert [1.2, 0.9, 0.8] == pytest.approx(log.channel("Value").values)


def test_units_in_the_cells_are_read() -> None:
    assert [1.2, 0.9] == pytest.approx(log_of("t [s],U\n0,1.2 V\n1,900 mV\n").channel("U").values)


def test_a_row_of_units_below_the_headings_is_read() -> None:
    log = log_of("time,U,I\ns,mV,A\n0,4200,1\n1,4100,1\n")
    assert [4.2, 4.1] == pytest.approx(log.channel("U").values)


@pytest.mark.parametrize("heading", ["I [uA]", "I (uA)", "I_uA", "I / uA"])
def test_a_u_in_a_heading_stands_for_micro(heading: str) -> None:
    log = log_of(f"t [s],{heading}\n0,1.5\n1,2.5\n")
    assert ("I", "A") == (log.channels[0].name, log.channels[0].unit)
    assert [1.5e-6, 2.5e-6] == pytest.approx(log.channels[0].values)


def test_a_name_that_begins_with_u_is_no_micro_unit() -> None:
    assert ("umbra", "") == (
        (one := log_of("t [s],umbra\n0,1.5\n1,2.5\n").channels[0]).name,
        one.unit,
    )


def test_a_unit_can_be_told_for_a_column_by_its_name_without_the_brackets() -> None:
    log = log_of("t [s],I [rapid]\n0,1.5\n1,2.5\n", units={"I": "mA"})
    assert [1.5e-3, 2.5e-3] == pytest.approx(log.channels[0].values)


def test_what_is_proposed_for_an_unknown_unit_can_be_given_as_it_stands() -> None:
    text = "t [s],I [rapid]\n0,1.5\n1,2.5\n"
    assert 'if it is mA, say --unit "I [rapid]=mA"' in told(log_of(text), "unit unknown")
    assert "A" == log_of(text, units={"I [rapid]": "mA"}).channels[0].unit


def test_a_channel_without_unit_is_told() -> None:
    log = log_of("time [s],Current\n0,1.5\n1,1.5\n")
    assert "" == log.channel("Current").unit
    assert "neither heading nor cells of 'Current' tell its unit" in told(log, "unit unknown")


def test_the_analyst_tells_a_unit() -> None:
    log = log_of("time [s],Current\n0,1500\n1,1500\n", units={"Current": "mA"})
    assert [1.5, 1.5] == pytest.approx(log.channel("Current").values)


def test_the_analyst_corrects_a_unit() -> None:
    log = log_of("time [s],I [A]\n0,1500\n1,1500\n", units={"I": "mA"})
    assert [1.5, 1.5] == pytest.approx(log.channel("I").values)


def test_a_unit_for_no_column_is_refused() -> None:
    with pytest.raises(UnknownName, match="the log has no column 'Curent'; did you mean 'Current'"):
        log_of("time [s],Current\n0,1500\n1,1500\n", units={"Curent": "mA"})


def test_headings_can_be_told_for_a_bare_table() -> None:
    log = log_of("0,4.2,0.5\n1,4.1,0.5\n", columns=("time [s]", "U [V]", "I [A]"))
    assert ["U", "I"] == [one.name for one in log.channels]


def test_channel_a_is_no_ampere() -> None:
    assert "" == log_of("time [s],Channel A\n0,1.5\n1,1.5\n").channel("Channel A").unit


def test_power_in_is_no_inch() -> None:
    assert "" == log_of("time [s],Power in\n0,1.5\n1,1.5\n").channel("Power in").unit


def test_lines_above_the_table_are_passed_over_and_told() -> None:
    log = log_of("Model: X-1\nSerial: 7\n\ntime [s],U [V]\n0,4.2\n1,4.1\n")
    assert 2 == len(log.times)
    assert "passed over what stands above the table (2)" in told(log, "lines above")


def test_headings_that_come_again_are_passed_over() -> None:
    log = log_of("time [s],U [V]\n0,4.2\n1,4.1\ntime [s],U [V]\n2,4.0\n")
    assert 3 == len(log.times)
    assert "line 4: the headings come again" in told(log, "heading again")


def test_a_row_that_is_there_twice_counts_once() -> None:
    log = log_of("time [s],U [V]\n" + "".join(f"{i},{4 - i / 10}\n" for i in range(9)) + "8,3.2\n")
    assert 9 == len(log.times)
    assert "rows that are there twice were left out (1)" in told(log, "row twice")


def test_rows_that_share_a_stamp_are_spread_evenly() -> None:
    log = log_of("time,U [V]\n12:00:00,1\n12:00:00,2\n12:00:01,3\n12:00:01,4\n12:00:02,5\n12:00:02,6\n")
    assert [0.0, 0.5, 1.0, 1.5, 2.0, 2.5] == pytest.approx(log.times)
    assert "3 time stamps stand for several rows each" in told(log, "stamp shared")


def test_a_clock_set_back_is_told() -> None:
    rows = [f"{second},4.2" for second in (*range(3600, 3700), *range(100, 110))]
    log = log_of("time [s],U [V]\n" + "\n".join(rows) + "\n")
    assert 100 == len(log.times)
    assert "as when a clock is set back by an hour" in told(log, "time runs back")


def test_two_runs_in_one_file_are_refused() -> None:
    rows = [f"{second},4.2" for second in (*range(50, 60), *range(40))]
    with pytest.raises(ImpossibleValue, match="cut the log into one file for each run"):
        log_of("time [s],U [V]\n" + "\n".join(rows) + "\n")


def test_a_gap_is_told_with_its_place() -> None:
    log = log_of("time [s],U [V]\n0,4\n1,4\n2,4\n3,4\n63,4\n64,4\n")
    assert "line 5: 1 gap, the longest 1 min where 1 s is usual" in told(log, "gap")


def test_negative_readings_are_told() -> None:
    log = log_of("time [s],I [A]\n0,-0.5\n1,-0.5\n2,0.1\n")
    assert "I is negative in 2 of 3 rows" in told(log, "negative")


def test_a_last_line_cut_short_is_left_out() -> None:
    log = log_of("time [s],U [V],I [A]\n0,4.2,1\n1,4.1,1\n2,4")
    assert 2 == len(log.times)
    assert "the last line is cut short" in told(log, "cut short")


def test_comments_are_passed_over() -> None:
    log = log_of("time [s],U [V]\n0,4.2\n# no answer from the meter\n9,4.1\n")
    assert 2 == len(log.times)
    assert "no answer from the meter" in told(log, "comment")


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-32", "cp1252"])
def test_any_usual_encoding_is_read(encoding: str) -> None:
    log = read_log("time [s];Wärme [°C]\n0;20,5\n1;20,6\n2;20,7\n".encode(encoding))
    assert ("Wärme", "°C") == (log.channels[0].name, log.channels[0].unit)


def test_a_guessed_encoding_is_told() -> None:
    log = read_log("time [s];I [µA]\n0;20\n1;21\n".encode("cp1252"))
    assert "read as Windows-1252" in told(log, "encoding")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "the log is empty"),
        (b"\x00\x01\x02" * 100, "this is not a text file"),
        (b"hello\nworld\n", "no table of numbers"),
        (b"time [s],U [V]\n0,4.2\n", "fewer than two rows"),
        (b"U [V],I [A]\n4,1\n3,1\n", "no column of the log looks like the time"),
        (b"time [s]\n0\n1\n", "fewer than two rows"),
        (b"time [s],mode\n0,DC\n1,DC\n", "no column of numbers beside the time"),
        (b"time [s],U [V]\n1,4\n1,5\n1,6\n", "all rows have one time stamp"),
        (b"1," * 300 + b"1\n", "301 columns, and at most 200"),
        (b"\xff\xfea", "says that it is UTF-16-LE"),
        (b"0" * (LARGEST_LOG + 1), "at most 64 MB are read"),
    ],
    ids=[
        "empty",
        "binary",
        "words",
        "one row",
        "no time",
        "time alone",
        "no values",
        "one stamp",
        "wide",
        "broken",
        "large",
    ],
)
def test_what_is_no_log_is_refused(content: bytes, words: str) -> None:
    with pytest.raises(ImpossibleValue, match=words):
        read_log(content)


@pytest.mark.parametrize(
    ("hints", "words"),
    [
        (LogHints(decimal="·"), 'use "." or ","'),
        (LogHints(separator=";;"), "use one character"),
        (LogHints(time="days"), "times are not told as 'days'"),
        (LogHints(columns=("time",)), "1 columns are told, and the file has 3"),
        (LogHints(every="0 s"), "give one above zero"),
    ],
)
def test_hints_that_mean_nothing_are_refused(hints: LogHints, words: str) -> None:
    with pytest.raises(LidoffError, match=words):
        read_log(PLAIN.encode(), hints=hints)


def test_rows_can_be_counted_where_there_is_no_clock() -> None:
    log = log_of("U [V]\n1.0\n1.1\n1.2\n", every="0.5 s")
    assert [0.0, 0.5, 1.0] == pytest.approx(log.times)
    assert "V" == log.channel("U").unit


JUNK = st.one_of(
    st.binary(max_size=400),
    st.text(alphabet='0123456789.,;:\t\n\r -+eEOLVAms[]()"#/', max_size=400).map(str.encode),
    st.lists(
        st.lists(
            st.sampled_from(["1", "2.5", "3,5", "OL", "", "12:00:01", "1/2/2026", "V", "time", "9e99"]),
            max_size=5,
        ),
        max_size=12,
    ).map(lambda rows: "\n".join(";".join(row) for row in rows).encode()),
)


@given(content=JUNK)
@example(content=b"1,2\n2,3\nt")
@example(content=b"0:0:1 1\n0:0:2 1e999\n")
def test_whatever_a_file_holds_only_errors_with_a_remedy_arise(content: bytes) -> None:
    log, remedy = None, ""
    try:
        log = read_log(content)
    except LidoffError as error:
        remedy = error.remedy
    assert bool(remedy) == (log is None)
    if log is not None:
        assert np.all(np.diff(log.times) > 0.0)
        assert all(len(one.values) == len(log.times) for one in log.channels)


@given(
    volts=st.lists(st.integers(-999_999, 999_999), min_size=2, max_size=30),
    separator=st.sampled_from(";\t|"),
    decimal=st.sampled_from(".,"),
)
def test_what_is_written_is_read_back(volts: list[int], separator: str, decimal: str) -> None:
    rows = [f"{i}{separator}{volt / 1000:.3f}".replace(".", decimal) for i, volt in enumerate(volts)]
    log = log_of(f"t [s]{separator}U [V]\n" + "\n".join(rows) + "\n", decimal=decimal)
    assert [volt / 1000 for volt in volts] == pytest.approx(log.channel("U").values)


def test_ten_megabytes_of_junk_take_bounded_memory() -> None:
    import tracemalloc

    content = (b"7;1:2,OL\t" * 40 + b"\n") * 28_000
    tracemalloc.start()
    with pytest.raises(LidoffError):
        read_log(content)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 12 * len(content)


@pytest.mark.parametrize(
    "text",
    [
        "Zeit (s);P (W)\n0;1.234,5\n1;1.235,5\n2;1.236,5\n",
        't [s],"P [W]"\n0,"1,234.5"\n1,"1,235.5"\n2,"1,236.5"\n',
        "t [s];P [W]\n0;1 234,5\n1;1 235,5\n2;1 236,5\n",
    ],
)
def test_thousands_are_parted_in_the_ways_of_many_countries(text: str) -> None:
    assert [1234.5, 1235.5, 1236.5] == list(read_log(text.encode()).channels[0].values)
