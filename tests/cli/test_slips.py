"""The commands that rank slips and next readings."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from lidoff.cli import main


@pytest.mark.parametrize(
    ("command", "head"), [("slips", "What may be wrong"), ("next", "What to measure next")]
)
def test_what_is_proposed_is_told_for_a_person_or_for_a_program(
    lamp: Path, capsys: pytest.CaptureFixture[str], command: str, head: str
) -> None:
    before = (lamp / "dossier.toml").read_bytes()
    assert 0 == main([command, str(lamp)])
    assert capsys.readouterr().out.startswith(head)
    assert 0 == main([command, str(lamp), "--json"])
    assert json.loads(capsys.readouterr().out)
    assert ["dossier.toml"] == sorted(file.name for file in lamp.iterdir() if file.is_file())
    assert before == (lamp / "dossier.toml").read_bytes()


def test_a_wrong_resistor_is_named_first(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = lamp / "dossier.toml"
    text = file.read_text(encoding="utf-8")
    assert '"150 Ω ± 5 %"' in text
    file.write_text(text.replace('"150 Ω ± 5 %"', '"1.5 kΩ ± 5 %"'), encoding="utf-8")
    assert 0 == main(["slips", str(lamp)])
    likeliest = capsys.readouterr().out.split("Likeliest:")[1].split(".")[0]
    assert "R1" in likeliest


@pytest.mark.parametrize("command", ["slips", "next", "stills", "trace"])
def test_a_folder_without_dossier_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert 2 == main([command, str(tmp_path)])
    assert "there is no dossier.toml here" in capsys.readouterr().err
