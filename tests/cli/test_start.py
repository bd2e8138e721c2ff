"""The command that begins a dossier."""

from pathlib import Path

import pytest

from lidoff.cli import main
from lidoff.dossier import load_dossier


def test_a_started_dossier_can_be_loaded(tmp_path: Path) -> None:
    assert 0 == main(["start", str(tmp_path / "fan")])
    assert () != load_dossier(tmp_path / "fan").parts


def test_the_next_step_is_told_as_it_is_to_be_typed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LIDOFF_COMMAND", "./lidoff")
    main(["start", str(tmp_path / "desk fan")])
    assert f" ./lidoff analyse '{tmp_path / 'desk fan'}'" in capsys.readouterr().out


def test_a_dossier_that_is_there_stays_as_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "dossier.toml").write_text("mine")
    assert 2 == main(["start", str(tmp_path)])
    assert "there is a dossier.toml here already" in capsys.readouterr().err
    assert "mine" == (tmp_path / "dossier.toml").read_text()
