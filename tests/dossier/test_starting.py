from pathlib import Path

import pytest

from lidoff.dossier import FOLDERS, SolvedSituation, analyse, load_dossier, start_dossier
from lidoff.errors import OutputRefused


def test_it_tells_what_it_made(tmp_path: Path) -> None:
    made = start_dossier(tmp_path / "a" / "b")
    assert {"dossier.toml", *FOLDERS} == {path.name for path in made}
    assert all(path.exists() for path in made)


def test_the_starter_is_explained(tmp_path: Path) -> None:
    file, *_ = start_dossier(tmp_path)
    remarks = [line for line in file.read_text(encoding="utf-8").splitlines() if line.startswith("#")]
    assert len(remarks) >= 8


def test_the_starter_says_that_it_is_invented(tmp_path: Path) -> None:
    start_dossier(tmp_path)
    assert "invented" in load_dossier(tmp_path).invented


def test_the_starter_is_solved_in_all_its_situations_with_all_readings_agreeing(tmp_path: Path) -> None:
    start_dossier(tmp_path)
    analysis = analyse(load_dossier(tmp_path))
    assert all(isinstance(result, SolvedSituation) for result in analysis.situations)
    assert {"agrees"} == {comparison.fit for comparison in analysis.comparisons}


def test_the_starter_has_no_fault(tmp_path: Path) -> None:
    start_dossier(tmp_path)
    assert [] == [one for one in analyse(load_dossier(tmp_path)).findings if one.severity == "fault"]


def test_a_dossier_that_is_there_stays(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").write_text("mine", encoding="utf-8")
    with pytest.raises(OutputRefused, match=r"there is a dossier\.toml here already; name another folder"):
        start_dossier(tmp_path)
    assert (tmp_path / "dossier.toml").read_text(encoding="utf-8") == "mine"


def test_photos_that_are_there_stay(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "top.jpg").write_bytes(b"x")
    start_dossier(tmp_path)
    assert (tmp_path / "photos" / "top.jpg").read_bytes() == b"x"


def test_a_file_in_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(OutputRefused, match="a dossier is a folder, and this is a file"):
        start_dossier(tmp_path / "file")


def test_a_folder_below_a_file_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(OutputRefused, match="a folder cannot be made here"):
        start_dossier(tmp_path / "file" / "folder")
