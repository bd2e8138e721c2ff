"""The command that holds two circuits against each other."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from lidoff.cli import main


def revised(lamp: Path) -> Path:
    """A copy of the dossier with another resistor."""
    other = lamp.parent / "lamp-2"
    shutil.copytree(lamp, other)
    file = other / "dossier.toml"
    text = file.read_text(encoding="utf-8")
    assert "150 Ω" in text
    file.write_text(text.replace("150 Ω", "1 kΩ"), encoding="utf-8")
    return other


def test_a_changed_value_is_told(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["compare", str(lamp), str(revised(lamp))])
    told = capsys.readouterr().out
    assert "150 Ω became 1 kΩ" in " ".join(told.split())


def test_a_dossier_is_the_same_as_itself(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["compare", str(lamp), str(lamp)])
    assert "The two circuits are the same but for names" in " ".join(capsys.readouterr().out.split())


def test_both_drawings_are_written_where_asked(lamp: Path, tmp_path: Path) -> None:
    assert 0 == main(["compare", str(lamp), str(revised(lamp)), "-o", str(tmp_path / "differences")])
    for name in ("first.svg", "second.svg"):
        text = (tmp_path / "differences" / name).read_text(encoding="utf-8")
        assert "<svg" in text
        assert ">changed<" in text


def test_a_block_is_held_against_the_textbooks(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["compare", str(lamp), "--textbook", "R1"])
    assert "as textbooks have it" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("more", [[], ["other", "--textbook", "R1"]])
def test_one_thing_to_compare_with_is_wanted(
    lamp: Path, more: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert 0 != main(["compare", str(lamp), *more])
    assert "to compare with" in capsys.readouterr().err


def test_a_part_of_no_block_is_refused_with_those_that_are(
    lamp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 0 != main(["compare", str(lamp), "--textbook", "Q77"])
    assert "belongs to no block" in capsys.readouterr().err
