"""The command that brings dossiers of an older format forward, and what the others say of one."""

from pathlib import Path

import pytest

from lidoff.cli import main

OLD = (Path(__file__).parents[1] / "dossier" / "old_formats" / "torch-1.toml").read_bytes()


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A folder of two dossiers, one of them of format 1, and one of a format that is not known yet."""
    folder = tmp_path / "shelf"
    for name, content in (
        ("first", OLD),
        ("second", OLD.replace(b'"1"', b"2").replace(b"[light.", b"[lights.")),
        ("later", b'format = 5\n[device]\ntitle = "from later"\n'),
    ):
        (folder / name).mkdir(parents=True)
        (folder / name / "dossier.toml").write_bytes(content)
    return folder


def test_a_dossier_is_brought_forward_and_the_original_kept(
    old: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 0 == main(["migrate", str(old / "first"), str(old / "second")])
    assert OLD == (old / "first" / "dossier.format-1.toml").read_bytes()
    assert capsys.readouterr().out.splitlines() == [
        f"{old / 'first'}: dossier.toml was in format 1 and is now in format 2; "
        "the original is kept as dossier.format-1.toml",
        f"{old / 'second'}: is in format 2 already",
    ]


def test_one_that_cannot_be_read_stops_no_other_and_is_named(
    old: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 2 == main(["migrate", str(old)])
    told = capsys.readouterr()
    assert f"{old / 'first'}: dossier.toml was in format 1" in told.out
    assert f"{old}/later/dossier.toml, line 1, format" in told.err
    assert "reads formats up to 2" in told.err


def test_a_folder_without_dossiers_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["migrate", str(tmp_path)])
    assert "there is no dossier here" in capsys.readouterr().err


@pytest.mark.parametrize("command", [["analyse"], ["draw"], ["next"]])
def test_other_commands_read_an_old_one_as_it_is_and_say_so_in_one_line(
    old: Path, capsys: pytest.CaptureFixture[str], command: list[str]
) -> None:
    assert 0 == main([*command, str(old / "first")])
    told = [line for line in capsys.readouterr().err.splitlines() if "format 1" in line]
    assert told == [
        "lidoff: dossier.toml is in format 1, read as format 2 and left as it is; "
        f"to rewrite it, the original kept: lidoff migrate {old / 'first'}"
    ]
    assert OLD == (old / "first" / "dossier.toml").read_bytes()


def test_nothing_is_said_of_the_newest_format(old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["analyse", str(old / "second")])
    assert "format" not in capsys.readouterr().err
