"""A small dossier for the commands to work on."""

from pathlib import Path

import pytest

from lidoff.dossier import start_dossier


@pytest.fixture
def lamp(tmp_path: Path) -> Path:
    """A dossier as it is started: an invented lamp of one LED, with the situations lit and unplugged."""
    start_dossier(tmp_path / "lamp")
    return tmp_path / "lamp"
