"""A record of meters that do what they are told: rows, silence, other meters, ends."""

from collections.abc import Callable
from pathlib import Path

import pytest

from lidoff.errors import ImpossibleValue, MeterLost, OutputRefused
from lidoff.evidence import read_log
from lidoff.meters import Plan, Recorded, Told, ask_from, record
from tests.meters.build import MadeClock, MadeMeter, Shelf

U = (("bench", ask_from("voltage dc")),)


def recorded(
    plan: Plan, file: Path, *meters: MadeMeter | None, resume: bool = False
) -> tuple[Recorded, list[Told]]:
    heard: list[Told] = []
    shelf = Shelf(list(meters))
    result = record(plan, file, shelf.open, MadeClock(), listener=heard.append, resume=resume)
    return result, heard


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "run.csv"


def test_rows_come_at_even_times_with_the_digits_of_the_meter(file: Path) -> None:
    result, _ = recorded(
        Plan(asks=U, every=2.0, lasts=4.0), file, MadeMeter(["+1.50E+00", "1.499", "9.9E37"])
    )
    assert (3, 0, "the time was up") == (result.rows, result.lost, result.why)
    assert [
        '"meter: Fernmess,FM-1 (invented),7,1.0"',
        "time,U [V]",
        "2026-03-01T12:00:00.000Z,1.50",
        "2026-03-01T12:00:02.000Z,1.499",
        "2026-03-01T12:00:04.000Z,OL",
    ] == file.read_text().splitlines()


def test_a_record_is_read_as_a_log(file: Path) -> None:
    recorded(Plan(asks=U, lasts=3.0), file, MadeMeter(["4.0", "3.0", "2.0", "1.0"]))
    log = read_log(file.read_bytes())
    assert [0.0, 1.0, 2.0, 3.0] == list(log.times)
    assert [4.0, 3.0, 2.0, 1.0] == list(log.channel("U").values)


def test_two_meters_fill_one_row(file: Path) -> None:
    asks = (("one", ask_from("voltage dc")), ("two", ask_from("current dc")))
    recorded(Plan(asks=asks, lasts=1.0), file, MadeMeter(["5.0", "5.1"]), MadeMeter(["0.1", "0.2"]))
    assert "time,U [V],I [A]" == file.read_text().splitlines()[2]
    assert file.read_text().endswith(",5.1,0.2\n")


def test_a_meter_that_was_unplugged_is_found_again_and_leaves_a_gap(file: Path) -> None:
    first, again = MadeMeter(["1", "2", None]), MadeMeter(["3"] * 60)
    result, heard = recorded(Plan(asks=U, lasts=30.0), file, first, None, None, again)
    assert [
        "silent: no answer to MEAS:VOLT:DC?",
        "still silent: the meter cannot be opened",
        "answers again",
    ] == [one.word for one in heard if one.word]
    assert 1 == result.lost
    times = list(read_log(file.read_bytes()).times)
    # Silent at 2 s; looked for after 1 s, 2 s and 4 s more, so it answers again at 9 s.
    assert [0.0, 1.0, 9.0, 10.0] == times[:4]
    assert 30.0 == times[-1]


def test_another_meter_in_its_place_is_refused(file: Path) -> None:
    strange = MadeMeter(["9"] * 60, identity="Other,O-2 (invented),1,1.0")
    result, heard = recorded(Plan(asks=U, lasts=20.0), file, MadeMeter(["1", None]), strange)
    assert 1 == result.rows
    assert any("another meter answers there now: Other,O-2 (invented),1,1.0" in one.word for one in heard)
    assert "the time was up while a meter was silent" == result.why
    assert strange.closed > 0


def test_a_meter_that_is_not_there_at_the_start_is_an_error(file: Path) -> None:
    with pytest.raises(MeterLost, match="the meter cannot be opened"):
        recorded(Plan(asks=U, lasts=1.0), file, None)
    assert not file.exists()


def test_all_meters_are_let_go_of(file: Path) -> None:
    meter = MadeMeter(["1", "1"])
    recorded(Plan(asks=U, lasts=1.0), file, meter)
    assert 1 == meter.closed


def test_a_level_ends_the_record_once_it_lasts(file: Path) -> None:
    plan = Plan(asks=U, until=("U", True, 3.0))
    result, _ = recorded(plan, file, MadeMeter(["4", "2", "4", "2.9", "2.8", "2.7", "2.6"]))
    assert (6, "U < 3 V for 3 rows") == (result.rows, result.why)


def test_the_person_ends_the_record(file: Path) -> None:
    heard: list[Told] = []
    stop: Callable[[], bool] = lambda: len(heard) >= 2  # noqa: E731
    result = record(
        Plan(asks=U),
        file,
        Shelf([MadeMeter(["1"] * 9)]).open,
        MadeClock(),
        listener=heard.append,
        stopped=stop,
    )
    assert (2, "stopped") == (result.rows, result.why)


def test_a_slow_meter_misses_rows_and_does_not_pile_them_up(file: Path) -> None:
    clock = MadeClock()

    class Slow(MadeMeter):
        def ask(self, question: str) -> str:
            clock.wait(2.5)
            return super().ask(question)

    record(Plan(asks=U, lasts=6.0), file, Shelf([Slow(["1"] * 9)]).open, clock)
    # Each answer takes 2.5 s, so rows begin at 0, 3 and 6 s; a row belongs to the middle of its answer.
    starts = [line[:23] for line in file.read_text().splitlines()[2:]]
    assert ["2026-03-01T12:00:01.250", "2026-03-01T12:00:04.250", "2026-03-01T12:00:07.250"] == [
        start[:23] for start in starts
    ]


def test_a_record_that_is_there_is_not_written_over(file: Path) -> None:
    file.write_text("mine\n")
    with pytest.raises(OutputRefused, match="the file is there already"):
        recorded(Plan(asks=U, lasts=1.0), file, MadeMeter(["1", "1"]))
    assert "mine\n" == file.read_text()


def test_a_record_goes_on_behind_what_a_crash_left(file: Path) -> None:
    file.write_text("time,U [V]\n2026-03-01T11:00:00.000Z,1\n2026-03-01T11:0")
    recorded(Plan(asks=U, lasts=1.0), file, MadeMeter(["2", "3"]), resume=True)
    lines = file.read_text().splitlines()
    assert ["2026-03-01T12:00:00.000Z,2", "2026-03-01T12:00:01.000Z,3"] == lines[2:]
    assert [1.0, 2.0, 3.0] == list(read_log(file.read_bytes()).channel("U").values)


def test_what_a_crash_cut_short_is_left_out_and_told(file: Path) -> None:
    file.write_text("time,U [V]\n2026-03-01T11:0")
    _, heard = recorded(Plan(asks=U, lasts=1.0), file, MadeMeter(["2", "3"]), resume=True)
    assert "the last line of the file was cut short and is left out: '2026-03-01T11:0'" == heard[0].word


def test_a_record_tells_its_meters_above_the_headings(file: Path) -> None:
    recorded(Plan(asks=U, lasts=1.0), file, MadeMeter(["1", "2"]))
    assert '"meter: Fernmess,FM-1 (invented),7,1.0"' == file.read_text().splitlines()[0]
    assert [1.0, 2.0] == list(read_log(file.read_bytes()).channel("U").values)


def test_a_record_of_another_meter_is_not_gone_on_with(file: Path) -> None:
    recorded(Plan(asks=U, lasts=1.0), file, MadeMeter(["1", "2"]))
    before = file.read_text()
    other = MadeMeter(["1", "2"], identity="Other,O-2 (invented),1,1.0")
    with pytest.raises(
        ImpossibleValue, match="the file holds the record of another meter: Fernmess,FM-1"
    ) as caught:
        recorded(Plan(asks=U, lasts=1.0), file, other, resume=True)
    assert "and now answers Other,O-2 (invented),1,1.0" in caught.value.what
    assert before == file.read_text()


@pytest.mark.parametrize("names", [("", "Fernmess"), ("Fernmess", "Fernmess"), ("Fernmess", "")])
def test_a_record_goes_on_with_the_same_meter_and_with_one_that_does_not_tell(
    file: Path, names: tuple[str, str]
) -> None:
    first, second = (MadeMeter(["1", "2"], identity=name) for name in names)
    recorded(Plan(asks=U, lasts=1.0), file, first)
    recorded(Plan(asks=U, lasts=1.0), file, second, resume=True)
    assert 6 == len(file.read_text().splitlines())


def test_a_record_of_other_columns_is_not_gone_on_with(file: Path) -> None:
    file.write_text("time,I [A]\n")
    with pytest.raises(ImpossibleValue, match=r"the file holds another record, headed 'time,I \[A\]'"):
        recorded(Plan(asks=U, lasts=1.0), file, MadeMeter(["1"]), resume=True)


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    with pytest.raises(OutputRefused, match="the record cannot be written"):
        recorded(Plan(asks=U, lasts=1.0), tmp_path / "none" / "run.csv", MadeMeter(["1"]))


@pytest.mark.parametrize(
    ("plan", "said"),
    [
        (Plan(asks=()), "nothing is to be read"),
        (Plan(asks=(*U, *U)), "two columns are called 'U'"),
        (Plan(asks=U, every=0.0), "the time from row to row is not above zero"),
        (Plan(asks=U, lasts=-1.0), "the length is not above zero"),
        (Plan(asks=U, until=("I", True, 1.0)), "no column is called 'I'"),
    ],
)
def test_a_plan_that_cannot_be_followed_is_refused(plan: Plan, said: str, file: Path) -> None:
    with pytest.raises(ImpossibleValue, match=said):
        recorded(plan, file, MadeMeter(["1"]))
