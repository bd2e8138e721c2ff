"""The command that records live meters, here simulated ones."""

import signal
import threading
from pathlib import Path

import pytest

from lidoff.cli import main

METER = """
spec: "1.0"
devices:
  multimeter:
    eom:
      TCPIP INSTR:
        q: "\\n"
        r: "\\n"
    error: ERROR
    dialogues:
      - q: "*IDN?"
        r: "Fernmess,FM-1 (invented),7,1.0"
      - q: "MEAS:VOLT:DC?"
        r: "4.98760"
      - q: "MEAS:CURR:DC?"
        r: "1.2340E-01"
resources:
  TCPIP::10.0.0.5::inst0::INSTR:
    device: multimeter
"""
ADDRESS = "TCPIP::10.0.0.5::inst0::INSTR"


@pytest.fixture
def through(tmp_path: Path) -> str:
    (tmp_path / "meters.yaml").write_text(METER, encoding="utf-8")
    return f"{tmp_path / 'meters.yaml'}@sim"


def test_meters_are_recorded_and_the_record_is_summed(
    through: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "run.csv"
    words = ["record", str(file), "--through", through, "--meter", ADDRESS, "--read", "voltage dc"]
    assert 0 == main([*words, "--read", "load = current dc", "--every", "0.1 s", "--for", "1 s"])
    told = capsys.readouterr()
    assert "rows; ended: the time was up" in told.out
    assert len(file.read_text().splitlines()) > 2  # eleven rows, fewer where the machine is busy
    assert "U × load:" in told.out
    assert "U 4.98760 V   load 0.12340 A" in told.err
    assert "time,U [V],load [A]" in file.read_text().splitlines()[:3]


def test_a_level_ends_the_record(through: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = [
        "record",
        str(tmp_path / "run.csv"),
        "--through",
        through,
        "--meter",
        ADDRESS,
        "--read",
        "I [mA] = MEAS:CURR:DC?",
    ]
    assert 0 == main([*words, "--every", "0.02 s", "--until", "I < 300 µA"])
    assert "3 rows; ended: I < 0.3 mA for 3 rows" in capsys.readouterr().out


def test_ctrl_c_ends_the_record_and_not_the_program(
    through: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = signal.getsignal(signal.SIGINT)
    threading.Timer(0.5, lambda: signal.raise_signal(signal.SIGINT)).start()
    words = ["record", str(tmp_path / "run.csv"), "--through", through, "--meter", ADDRESS]
    assert 0 == main([*words, "--read", "voltage dc", "--every", "0.05 s", "--for", "20 s"])
    assert "ended: stopped" in capsys.readouterr().out
    assert before == signal.getsignal(signal.SIGINT)


def test_meters_that_can_be_seen_are_listed(through: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["record", "--list", "--through", through])
    assert "10.0.0.5" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "no file is named"),
        (["run.csv", "--read", "voltage dc"], "no meter is named before --read 'voltage dc'"),
        (["run.csv", "--meter", ADDRESS], "nothing is to be read"),
        (["run.csv", "--meter", ADDRESS, "--read", "OUTP ON"], "no meter is asked for 'OUTP ON'"),
        (["run.csv", "--meter", ADDRESS, "--read", "x = OUTP ON"], "'OUTP ON' is not one question"),
        (["run.csv", "--meter", ADDRESS, "--read", "voltage dc", "--until", "U"], "'U' is no level"),
        (
            ["run.csv", "--meter", ADDRESS, "--read", "voltage dc", "--until", "I < 1 A"],
            "no column is called 'I'",
        ),
        (["run.csv", "--meter", ADDRESS, "--read", "voltage dc", "--every", "0 s"], "not above zero"),
    ],
)
def test_what_cannot_be_recorded_is_told_before_anything_is_asked(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 2 == main(["record", *words])
    assert said in capsys.readouterr().err
