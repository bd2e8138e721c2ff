"""A small version of the measurement of accuracy: one easy board and one with a black mask, smaller than the measured ones."""

from __future__ import annotations

import importlib
import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from lidoff.board import TrackRules, View

ROOT = Path(__file__).parents[2]
VIEWS = {
    "green": View(finish="green", px_per_mm=20, light=0.1, tilt=3),
    "black": View(finish="black", px_per_mm=20, light=0.2, tilt=8, table="cloth"),
}


@cache
def figures(finish: str) -> dict[str, Any]:
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(ROOT))
        accuracy = importlib.import_module("benchmarks.board_accuracy")
    case = accuracy.invented_case(finish, VIEWS[finish], TrackRules(), 21, True, parts=4)
    found: dict[str, Any] = accuracy.measured(case, 10, None)
    return found


@pytest.mark.parametrize("finish", VIEWS)
def test_the_outline_alone_sets_places_and_scale(finish: str) -> None:
    assert figures(finish)["place error, median mm"] <= 0.1
    assert figures(finish)["scale from one edge, error %"] <= 0.5


@pytest.mark.parametrize("finish", VIEWS)
def test_a_few_strokes_give_the_true_nets(finish: str) -> None:
    after = figures(finish)["with strokes"]
    assert figures(finish)["strokes"] <= 20
    assert after["precision"] >= 0.98
    assert after["recall"] >= 0.98


@pytest.mark.parametrize("finish", VIEWS)
def test_copper_is_true_but_for_its_edges(finish: str) -> None:
    after = figures(finish)["with strokes"]
    assert after["IoU front but for edge pixels"] >= 0.9
    assert after["IoU back but for edge pixels"] >= 0.95


def page_row(share: float) -> dict[str, Any]:
    """Figures of a board as they are kept, its copper found to a share, all else as aimed at."""
    counted = {
        f"IoU {side}{but}": share for side in ("front", "back") for but in ("", " but for edge pixels")
    }
    figures = {**counted, "precision": 1.0, "recall": 1.0, "check here": 0}
    return {
        "board": "easy",
        "holes paired": 5,
        "alignment residual, median mm": 0.02,
        "place error, median mm": 0.01,
        "scale from one edge, error %": 0.1,
        "strokes": 1,
        "without strokes": figures,
        "with strokes": figures,
    }


def test_a_missed_aim_is_named_in_the_table(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(ROOT))
    page = importlib.import_module("benchmarks.accuracy_board")
    row = page_row(0.99)
    poor = {**row, "board": "grim", "with strokes": {**row["with strokes"], "recall": 0.5}}
    lines = page.aims([row, poor]).splitlines()
    recall = next(line for line in lines if "recall" in line)
    assert "1 of 2 | grim" in recall
    assert all("grim" not in line for line in lines if line != recall)


def test_second_boards_have_a_table_of_their_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.syspath_prepend(str(ROOT))
    page = importlib.import_module("benchmarks.accuracy_board")
    row = {**page_row(0.5), "board": "grim"}
    kept = tmp_path / "kept.json"
    kept.write_text(json.dumps([row, {**row, "board": f"grim{page.SECOND}", "strokes": 7}]), encoding="utf-8")
    monkeypatch.setattr(page, "KEPT", kept)
    first, second = page.section().split("## A second board of each grade")
    assert "| 1 | 0.50 / 0.50 |" in first
    assert "| 7 | 0.50 / 0.50 |" in second
    assert "0 of 1 | grim" in second
