"""The command that searches, compares and counts many dossiers."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest

from lidoff.cli import main
from tests.shelf.build import lamp_text, shelf_of

LAMPS = {"lamp": lamp_text(), "torch": lamp_text(title="Torch (invented)", ohms="220 Ω", says="2 W")}


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """Shelf of two dossiers."""
    return shelf_of(tmp_path / "shelf", LAMPS)


def test_what_is_found_is_told_with_where(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["shelf", str(shelf), "--find", "torch"])
    told = capsys.readouterr().out
    assert "2 dossiers on the shelf; 2 read anew, 0 gone" in told
    assert "1 dossier found." in told
    assert "torch: Torch (invented)" in told
    assert 0 == main(["shelf", str(shelf)])
    assert "0 read anew" in capsys.readouterr().out


def test_a_dossier_from_elsewhere_is_held_against_one_of_the_same_name(
    shelf: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    elsewhere = shelf_of(tmp_path / "elsewhere", {"torch": LAMPS["torch"]})
    assert 0 == main(["shelf", str(shelf), "--like", str(elsewhere / "torch")])
    assert "100%  torch: Torch (invented)" in capsys.readouterr().out
    assert 0 == main(["shelf", str(shelf), "--like", str(shelf / "torch")])
    told = capsys.readouterr().out
    assert "lamp: Lamp (invented)" in told
    assert "torch: Torch" not in told


def test_how_claims_fared_is_drawn_into_a_folder_that_is_not_there_yet(shelf: Path, tmp_path: Path) -> None:
    file = tmp_path / "new" / "claims.svg"
    assert 0 == main(["shelf", str(shelf), "--claims", "-o", str(file)])
    assert "svg" == ElementTree.parse(file).getroot().tag.rpartition("}")[2]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--claims", "-o", "claims.pdf"], "claims.pdf is no name of an SVG"),
        (["-o", "claims.svg"], "add --claims"),
        (["--processes", "0"], "at least one process is needed"),
        (["--find", "+++", "--part", "led"], "holds no letter and no digit"),
    ],
)
def test_what_cannot_be_done_is_told(
    shelf: Path, capsys: pytest.CaptureFixture[str], words: list[str], told: str
) -> None:
    assert 2 == main(["shelf", str(shelf), *words])
    assert told in capsys.readouterr().err


def test_reports_are_written_for_each(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shelf / "torch" / "dossier.toml").write_text("[device", encoding="utf-8")
    assert 0 == main(["shelf", str(shelf), "--reports", "--processes", "1"])
    told = capsys.readouterr().out
    assert "not read: torch" in told
    assert (shelf / "lamp" / "out" / "report.html").is_file()
    assert not (shelf / "torch" / "out").exists()
