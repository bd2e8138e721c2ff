"""The tutorial: its steps, done as written, show what it says they show."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from lidoff.cli import main

ROOT = Path(__file__).parents[2]
TUTORIAL = (ROOT / "docs" / "tutorial.md").read_text(encoding="utf-8")
WIRE = 'value = "15 mΩ ± 30 %"\npins = { 2 = "cell_plus" }'


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", TUTORIAL, flags=re.DOTALL)


def plain(text: str) -> str:
    """Text with every run of spaces and line ends as one space."""
    return " ".join(text.split())


def said(folder: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """What ``lidoff analyse`` prints of a folder."""
    capsys.readouterr()
    main(["analyse", str(folder)])
    printed = capsys.readouterr()
    return plain(printed.out + printed.err)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "demos" / "crumb-vacuum", tmp_path / "crumb-vacuum")
    return tmp_path / "crumb-vacuum"


def edited(folder: Path, before: str, after: str) -> None:
    file = folder / "dossier.toml"
    text = file.read_text(encoding="utf-8")
    assert 1 == text.count(before)
    file.write_text(text.replace(before, after), encoding="utf-8")


@pytest.mark.journey
def test_the_steps_show_what_they_are_said_to_show(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first, verdicts, misfit, found, explained, mistake = (block.splitlines() for block in blocks("text"))
    reading, value = (block.strip() for block in blocks("toml"))
    assert [] == missing([*first, *verdicts, *misfit], said(folder, capsys))
    edited(folder, "# ---- trials", f"{reading}\n\n# ---- trials")
    assert [] == missing(found, said(folder, capsys))
    edited(folder, WIRE, WIRE.replace('value = "15 mΩ ± 30 %"', value))
    assert [] == missing(explained, said(folder, capsys))
    edited(folder, value, value.replace("mΩ", "mV"))
    assert [] == missing(mistake, said(folder, capsys))


def missing(lines: list[str], printed: str) -> list[str]:
    return [line for line in lines if plain(line) not in printed]


def test_the_pages_it_points_to_are_there() -> None:
    linked = re.findall(r"\]\(([\w-]+\.md)\)", TUTORIAL)
    assert len(linked) >= 4
    assert [] == [name for name in linked if not (ROOT / "docs" / name).is_file()]
