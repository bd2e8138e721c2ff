"""Finding the demo dossiers and copying one without harm."""

import errno
from pathlib import Path

import pytest

from lidoff.dossier.demos import copy_demo, demo_names
from lidoff.errors import OutputRefused, UnknownName


def device(model: str) -> str:
    return f"[device]\nmodel = '{model}'\n"


@pytest.fixture
def demos(tmp_path: Path) -> Path:
    """Two invented demos, one with results beside it, and a folder that is none."""
    for name in ("vacuum", "night_light"):
        (tmp_path / "demos" / name / "logs").mkdir(parents=True)
        (tmp_path / "demos" / name / "dossier.toml").write_text(device(name))
        (tmp_path / "demos" / name / "logs" / "run.csv").write_text("time,voltage\n0,4.2\n")
    (tmp_path / "demos" / "vacuum" / "out").mkdir()
    (tmp_path / "demos" / "vacuum" / "out" / "report.html").write_text("old")
    (tmp_path / "demos" / "notes").mkdir()
    return tmp_path / "demos"


def test_a_folder_with_a_dossier_is_a_demo(demos: Path) -> None:
    assert ("night_light", "vacuum") == demo_names(demos)


def test_a_demo_is_copied_whole_but_for_results(demos: Path, tmp_path: Path) -> None:
    copy_demo(demos, "vacuum", tmp_path / "mine")
    copied = sorted(
        path.relative_to(tmp_path / "mine").as_posix() for path in (tmp_path / "mine").rglob("*.*")
    )
    assert ["dossier.toml", "logs/run.csv"] == copied
    assert device("vacuum") == (tmp_path / "mine" / "dossier.toml").read_text()


def test_a_changed_file_is_kept_and_told(demos: Path, tmp_path: Path) -> None:
    copy_demo(demos, "vacuum", tmp_path / "mine")
    changed = tmp_path / "mine" / "dossier.toml"
    changed.write_text(device("vacuum") + "title = 'mine'\n")
    assert (changed,) == copy_demo(demos, "vacuum", tmp_path / "mine").kept
    assert changed.read_text().endswith("title = 'mine'\n")


@pytest.mark.parametrize("theirs", [device("kettle"), "[device]\ntitle = 'kettle'\n", "no dossier at all"])
def test_the_dossier_of_another_device_is_not_mixed_with_a_demo(
    demos: Path, tmp_path: Path, theirs: str
) -> None:
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "dossier.toml").write_text(theirs)
    with pytest.raises(OutputRefused, match="another dossier lies here"):
        copy_demo(demos, "vacuum", mine)
    assert [path.name for path in mine.iterdir()] == ["dossier.toml"]
    assert (mine / "dossier.toml").read_text() == theirs


def test_a_missing_file_is_put_back(demos: Path, tmp_path: Path) -> None:
    copy_demo(demos, "vacuum", tmp_path / "mine")
    (tmp_path / "mine" / "logs" / "run.csv").unlink()
    assert () == copy_demo(demos, "vacuum", tmp_path / "mine").kept
    assert (tmp_path / "mine" / "logs" / "run.csv").is_file()


def test_an_unknown_demo_is_answered_with_the_known(demos: Path, tmp_path: Path) -> None:
    with pytest.raises(UnknownName, match=r"no demo 'vacum'; did you mean 'vacuum'\? \(known: night_light, "):
        copy_demo(demos, "vacum", tmp_path / "mine")
    assert not (tmp_path / "mine").exists()


@pytest.mark.parametrize("in_the_way", ["logs", "dossier.toml/x"])
def test_what_is_in_the_way_is_told(demos: Path, tmp_path: Path, in_the_way: str) -> None:
    (tmp_path / "mine" / in_the_way).parent.mkdir(parents=True)
    (tmp_path / "mine" / in_the_way).write_text("mine")
    with pytest.raises(OutputRefused, match="cannot be copied here"):
        copy_demo(demos, "vacuum", tmp_path / "mine")
    assert "mine" == (tmp_path / "mine" / in_the_way).read_text()


def test_a_disk_that_is_full_in_the_middle_leaves_no_file_cut_short(
    demos: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = Path.write_bytes

    def half(file: Path, contents: bytes) -> int:
        whole(file, contents[: len(contents) // 2])
        raise OSError(errno.ENOSPC, "no space left on device")

    monkeypatch.setattr(Path, "write_bytes", half)
    with pytest.raises(OutputRefused, match="no space left"):
        copy_demo(demos, "vacuum", tmp_path / "mine")
    assert [] == [file for file in (tmp_path / "mine").rglob("*") if file.is_file()]
    monkeypatch.undo()
    assert () == copy_demo(demos, "vacuum", tmp_path / "mine").kept
