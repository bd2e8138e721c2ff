"""The command that tells how a circuit works."""

from __future__ import annotations

from pathlib import Path

import pytest

from lidoff.cli import main


def test_a_block_is_told_with_its_sum_and_what_its_failing_does(
    lamp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 0 == main(["explain", str(lamp)])
    told = " ".join(capsys.readouterr().out.split())
    assert "LED with series resistor: " in told
    assert "LED current" in told
    assert "(V − V_F) ÷ R" in told
    assert "If it fails: " in told


def test_what_was_saved_comes_with_the_count_of_the_stock(
    lamp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["explain", str(lamp)])
    told = capsys.readouterr().out
    assert "What they saved" in told
    assert "lines of stock" in told


def test_no_line_is_wider_than_a_terminal(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["explain", str(lamp)])
    assert 80 >= max(len(line) for line in capsys.readouterr().out.splitlines())


def test_a_chip_without_a_name_is_guessed_with_reasons(
    lamp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = lamp / "dossier.toml"
    text = file.read_text(encoding="utf-8")
    chip = """
[parts.U9]
kind = "box"
pins = { 1 = "usb_5v", 2 = "gnd", 3 = "tone" }

[parts.LS9]
kind = "piezo"
pins = { 1 = "tone", 2 = "gnd" }
"""
    file.write_text(text + chip, encoding="utf-8")
    main(["explain", str(lamp)])
    told = " ".join(capsys.readouterr().out.split())
    assert "Chips without a name" in told
    assert "U9 may be a sound or melody chip" in told
    assert "For it: " in told
