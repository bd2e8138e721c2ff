"""The command that writes pictures for a film."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from lidoff.cli import main


def test_pictures_are_numbered_of_one_size_and_walked_through(
    lamp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 0 == main(["stills", str(lamp), "--size", "1080x1920"])
    told = [Path(line) for line in capsys.readouterr().out.splitlines() if not line.startswith("not there")]
    walk, *pictures = told
    assert lamp / "out" / "stills" / "walk.html" == walk
    assert pictures
    assert sorted(pictures) == pictures
    for file in pictures:
        with Image.open(file) as picture:
            assert (1080, 1920) == picture.size
    assert len(pictures) == walk.read_text(encoding="utf-8").count("<figure")


def test_an_unknown_size_names_those_there_are(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["stills", str(lamp), "--size", "640x480"])
    assert "1920x1080" in capsys.readouterr().err
