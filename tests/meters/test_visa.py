"""Meters over VISA: a simulated one, and one on the loopback network that goes away and comes back."""

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from time import monotonic, sleep

import pytest

from lidoff.errors import ImpossibleValue, MeterLost
from lidoff.evidence import read_log
from lidoff.meters import Plan, Told, addresses, answer_of, ask_from, open_meter, record
from lidoff.meters.visa import VisaMeter
from tests.meters.build import MadeClock

METERS = """
spec: "1.0"
devices:
  multimeter:
    eom:
      TCPIP INSTR:
        q: "\\n"
        r: "\\n"
      USB INSTR:
        q: "\\n"
        r: "\\n"
    error: ERROR
    dialogues:
      - q: "*IDN?"
        r: "Fernmess,FM-1 (invented),7,1.0"
      - q: "MEAS:VOLT:DC?"
        r: "+4.98760E+00"
      - q: "MEAS:CURR:DC?"
        r: "9.90000000E+37"
resources:
  TCPIP::10.0.0.5::inst0::INSTR:
    device: multimeter
  USB::0x1234::0x5678::SN7::INSTR:
    device: multimeter
"""


@pytest.fixture
def simulated(tmp_path: Path) -> str:
    file = tmp_path / "meters.yaml"
    file.write_text(METERS, encoding="utf-8")
    return f"{file}@sim"


@pytest.mark.parametrize("address", ["TCPIP::10.0.0.5::inst0::INSTR", "USB::0x1234::0x5678::SN7::INSTR"])
def test_a_meter_tells_its_name_and_answers(simulated: str, address: str) -> None:
    with open_meter(address, backend=simulated) as meter:
        assert "Fernmess,FM-1 (invented),7,1.0" == meter.identity
        assert "+4.98760E+00" == meter.ask("MEAS:VOLT:DC?")


def test_meters_that_can_be_seen_are_listed(simulated: str) -> None:
    assert 2 == len(addresses(backend=simulated))


def test_a_simulated_meter_is_recorded(simulated: str, tmp_path: Path) -> None:
    address = "TCPIP::10.0.0.5::inst0::INSTR"
    asks = ((address, ask_from("voltage dc")), (address, ask_from("current dc")))
    file = tmp_path / "run.csv"
    result = record(
        Plan(asks=asks, lasts=2.0), file, lambda where: open_meter(where, backend=simulated), MadeClock()
    )
    assert 3 == result.rows
    assert file.read_text().endswith("2026-03-01T12:00:02.000Z,4.98760,OL\n")
    assert 3 == read_log(file.read_bytes()).channel("I").overloads


def test_an_address_where_nothing_listens_is_told() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
    with pytest.raises(MeterLost, match="the meter cannot be opened") as caught:
        open_meter(f"TCPIP::127.0.0.1::{port}::SOCKET")
    assert f"TCPIP::127.0.0.1::{port}::SOCKET" == caught.value.where
    assert "lidoff record --list" in caught.value.remedy


def test_a_question_that_a_meter_does_not_know_gives_no_number(simulated: str) -> None:
    with open_meter("TCPIP::10.0.0.5::inst0::INSTR", backend=simulated) as meter:
        assert answer_of(meter.ask("MEAS:TEMP?")).number is None


def test_words_that_are_no_address_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="'the red one' is no address as VISA writes it"):
        open_meter("the red one")


def test_a_way_that_is_not_there_is_told() -> None:
    with pytest.raises(MeterLost, match="the way to meters cannot be set up"):
        open_meter("TCPIP::10.0.0.5::inst0::INSTR", backend="@nothing")


@contextmanager
def on_the_network(port: int = 0, answers: int = 10**6) -> Iterator[int]:
    """Serve a made meter on the loopback network; it hangs up after so many answers."""
    server = socket.create_server(("127.0.0.1", port))
    server.settimeout(0.05)
    over = threading.Event()

    def serve() -> None:
        left = answers
        while not over.is_set() and left:
            try:
                line, _ = server.accept()
            except TimeoutError:
                continue
            with line, line.makefile("rw", newline="\n") as both:
                line.settimeout(0.5)
                try:
                    while left and not over.is_set() and (question := both.readline()):
                        both.write("Fernmess\n" if question.startswith("*IDN") else "1.2500\n")
                        both.flush()
                        left -= 1
                except OSError:
                    pass

    thread = threading.Thread(target=serve)
    thread.start()
    try:
        yield server.getsockname()[1]
    finally:
        over.set()
        thread.join()
        server.close()


class _RealClock(MadeClock):
    """Time as it goes, with the waits of a lost meter made short."""

    def elapsed(self) -> float:
        return monotonic()

    def wait(self, seconds: float) -> None:
        sleep(min(seconds, 0.05))


@pytest.mark.filterwarnings("ignore::ResourceWarning")  # pyvisa-py leaves a broken line to the collector
def test_a_meter_on_the_network_survives_unplugging(tmp_path: Path) -> None:
    file = tmp_path / "run.csv"
    heard: list[Told] = []
    done = threading.Event()

    def listen(told: Told) -> None:
        heard.append(told)
        if any(one.word == "answers again" for one in heard) and told.cells:
            done.set()

    with on_the_network(answers=3) as port:
        plan = Plan(asks=((f"TCPIP::127.0.0.1::{port}::SOCKET", ask_from("voltage dc")),), every=0.1)
        recording = threading.Thread(
            target=record,
            args=(plan, file, partial(open_meter, patience=0.3), _RealClock()),
            kwargs={"listener": listen, "stopped": done.is_set},
        )
        recording.start()
        begun = monotonic()
        while not any(one.word.startswith("silent") for one in heard) and monotonic() < begun + 20.0:
            sleep(0.05)
    with on_the_network(port):
        recording.join(timeout=30.0)
        assert not recording.is_alive(), heard
    assert done.is_set()
    assert [1.25] * len(read_log(file.read_bytes()).times) == list(
        read_log(file.read_bytes()).channel("U").values
    )


class Garbling:
    """A line that answers in bytes beyond ASCII, or not at all."""

    def __init__(self, answer: str | None) -> None:
        self._answer = answer

    def write(self, question: str) -> None:
        """Take the question."""

    def read(self, *, encoding: str) -> str:
        import pyvisa

        if self._answer is None:
            raise pyvisa.VisaIOError(pyvisa.constants.StatusCode.error_timeout)
        return self._answer.encode("latin-1").decode(encoding)


def test_an_answer_beyond_ascii_is_an_answer() -> None:
    meter = VisaMeter("made", "", Garbling("\xff\xfe3.7\n"), None)
    assert "\xff\xfe3.7" == meter.ask("MEAS:VOLT:DC?")


def test_silence_is_told_in_words() -> None:
    meter = VisaMeter("made", "", Garbling(None), None)
    with pytest.raises(MeterLost) as caught:
        meter.ask("MEAS:VOLT:DC?")
    assert "no answer to MEAS:VOLT:DC? (Timeout expired before operation completed)" == caught.value.what
