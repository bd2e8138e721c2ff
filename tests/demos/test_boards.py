"""The demos' boards: what is committed beside the dossiers follows again from the photos and the decisions by hand."""

from __future__ import annotations

import importlib
from pathlib import Path
from types import ModuleType

import pytest

from lidoff.board import board_nets
from lidoff.dossier import load_dossier

ROOT = Path(__file__).parents[2]
NAMES = ("crumb-vacuum", "insect-lure", "night-light")


@pytest.fixture
def make_boards(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The script, which is no part of the package."""
    monkeypatch.syspath_prepend(str(ROOT))
    return importlib.import_module("demos.make_boards")


@pytest.mark.parametrize("name", NAMES)
def test_a_trace_made_again_from_the_photos_has_the_committed_nets(
    name: str, make_boards: ModuleType
) -> None:
    assert 0 == make_boards.main(["--check", "--only", name])


@pytest.mark.parametrize("name", NAMES)
def test_the_committed_nets_are_those_of_the_layout_as_it_was_read(
    name: str, make_boards: ModuleType
) -> None:
    truth = next(one for one in make_boards.all_boards() if one.dossier == name)
    board = next(one for one in load_dossier(ROOT / "demos" / name).traced if one.name == truth.board)
    assert "" == make_boards.mistakes(truth, board_nets(board).pin_nets())


@pytest.mark.parametrize("name", NAMES)
def test_every_part_that_sits_on_a_board_takes_its_nets_from_it(name: str) -> None:
    dossier = load_dossier(ROOT / "demos" / name)
    typed = [part.reference for part in dossier.parts if part.board and set(part.pins) - set(part.from_board)]
    assert [] == typed


def test_a_net_that_the_layout_parts_is_told(make_boards: ModuleType) -> None:
    truth = next(one for one in make_boards.all_boards() if one.dossier == "night-light")
    nets = {pad.pin: pad.net for pad in truth.layout.pads if pad.pin}
    assert "" == make_boards.mistakes(truth, nets)
    assert "R5.1" in make_boards.mistakes(truth, {**nets, "R5.1": "elsewhere"})
