"""The command that reads logs."""

import tomllib
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from lidoff.cli import main

DISCHARGE = "t [s],U [V],I [A]\n" + "".join(
    f"{10 * row},{4.1 - 0.001 * row:.3f},{0.5 if row < 360 else 0.0:.4f}\n" for row in range(400)
)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    file = tmp_path / "discharge.csv"
    file.write_text(DISCHARGE, encoding="utf-8")
    return file


def test_charge_energy_and_cut_off_are_printed(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["log", str(log)])
    told = capsys.readouterr().out
    assert "400 rows over 1 h 6 min 30 s, mostly every 10 s" in told
    assert "for 59 min 55 s" in told  # from the first row at 0 s to between 3590 s and 3600 s
    assert "then cut off at U 3.741 V" in told
    assert "I: 499" in told  # 0.5 A for 3590 s = 498.6 mAh, plus half of the last interval
    assert "kJ" in told


def test_a_stated_accuracy_widens_the_sum(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["log", str(log), "--accuracy", "I=±(2 %)"])
    # 2 · 2 % / √3 = 2.3 % of 499 mAh
    assert "± 12 mAh" in capsys.readouterr().out


def test_the_plot_names_every_channel(log: Path, tmp_path: Path) -> None:
    assert 0 == main(["log", str(log), "--plot", str(tmp_path / "plots" / "run.svg")])
    words = list(ElementTree.parse(tmp_path / "plots" / "run.svg").getroot().itertext())
    assert {"U", "I", "1 h", "600 mA"} <= set(words)


@pytest.mark.parametrize(("suffix", "first"), [("pdf", b"%PDF"), ("png", b"\x89PNG")])
def test_the_suffix_chooses_the_form_of_the_plot(
    log: Path, tmp_path: Path, suffix: str, first: bytes
) -> None:
    assert 0 == main(["log", str(log), "--plot", str(tmp_path / f"run.{suffix}")])
    assert first == (tmp_path / f"run.{suffix}").read_bytes()[:4]


def test_a_plot_of_another_form_is_refused(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["log", str(log), "--plot", "run.gif"])
    assert "the suffix '.gif' names no form of plot" in capsys.readouterr().err


def test_the_entry_can_be_pasted_into_a_dossier(
    log: Path, lamp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 0 == main(["log", str(log), "--entry", "evening"])
    entry = capsys.readouterr().out
    assert {"evening_charge", "evening_energy", "evening_time"} == set(tomllib.loads(entry)["readings"])
    (lamp / "logs").mkdir(exist_ok=True)
    (lamp / "logs" / "discharge.csv").write_text(DISCHARGE, encoding="utf-8")
    with (lamp / "dossier.toml").open("a", encoding="utf-8") as file:
        file.write(f"\n{entry}\n")
    assert 0 == main(["analyse", str(lamp)])


def test_a_log_of_a_dossier_is_read_as_the_dossier_says(
    lamp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (lamp / "logs").mkdir(exist_ok=True)
    file = lamp / "logs" / "run.csv"
    file.write_text("t [s],I\n0,500.0\n3600,500.0\n", encoding="utf-8")
    with (lamp / "dossier.toml").open("a", encoding="utf-8") as dossier:
        dossier.write('\n[logs.run]\nfile = "logs/run.csv"\nunits = { I = "mA" }\n')
    assert 0 == main(["log", str(file)])
    assert "I: 500" in capsys.readouterr().out
    assert 0 == main(["log", str(file), "--alone"])
    assert "I (unit not known)" in capsys.readouterr().out


def test_a_missing_file_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["log", str(tmp_path / "none.csv")])
    told = capsys.readouterr().err
    assert "the log cannot be read (No such file or directory)" in told
    assert "none.csv" in told


def test_a_unit_without_channel_is_told(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["log", str(log), "--unit", "mA"])
    assert "--unit 'mA' is not of the form CHANNEL=…" in capsys.readouterr().err


def test_an_accuracy_of_a_channel_without_unit_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "x.csv"
    file.write_text("t [s],glow\n0,1\n1,2\n", encoding="utf-8")
    assert 2 == main(["log", str(file), "--accuracy", "glow=±(1 %)"])
    told = capsys.readouterr().err
    assert "glow has no unit that an instrument measures" in told
    assert '--unit "glow=mA"' in told
