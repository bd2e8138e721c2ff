"""The command that writes the report."""

from pathlib import Path

import pytest

from lidoff.cli import main


def test_the_report_goes_into_the_dossier_and_its_files_are_named(
    lamp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 0 == main(["report", str(lamp)])
    named = capsys.readouterr().out.splitlines()
    assert [str(lamp / "out" / "report.html"), str(lamp / "out" / "report.pdf")] == named[:2]
    assert sorted(named) == sorted(str(file) for file in (lamp / "out").iterdir())


def test_the_report_can_go_elsewhere(lamp: Path, tmp_path: Path) -> None:
    assert 0 == main(["report", str(lamp), "-o", str(tmp_path / "for print")])
    assert (tmp_path / "for print" / "report.pdf").is_file()
    assert not (lamp / "out").exists()


def test_a_report_that_cannot_be_written_is_told(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (lamp / "out").write_text("in the way")
    assert 2 == main(["report", str(lamp)])
    assert "report.html cannot be written here" in capsys.readouterr().err


def test_a_photo_that_the_report_is_without_is_told(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = lamp / "dossier.toml"
    file.write_text(f'{file.read_text()}\n[[photos]]\nfile = "photos/none.jpg"\n')
    assert 0 == main(["report", str(lamp)])
    said = "the report is without the photo photos/none.jpg: there is no such file; copy the photo there, or mend its name"
    assert said in capsys.readouterr().err
