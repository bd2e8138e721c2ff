"""The simulated analyst of the accuracy benchmark: where it looks for truth on a real board, and what it paints first."""

from __future__ import annotations

import importlib
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from lidoff.board import COVERED, FRONT, LAMINATE, LEGEND, SIDES, TrackRules, View
from lidoff.board.register import corrected
from tests.board.build import copper_from

ROOT = Path(__file__).parents[2]


def module(name: str) -> ModuleType:
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(ROOT))
        return importlib.import_module(f"benchmarks.{name}")


@cache
def case() -> Any:
    view = View(finish="green", px_per_mm=20, light=0.1, tilt=8, lens=0.03)
    return module("board_accuracy").invented_case("lens", view, TrackRules(), 2, True)


@cache
def registrations() -> Any:
    return module("board_accuracy").registered(case())[0]


@pytest.mark.parametrize("side", SIDES)
def test_a_photo_comes_to_lie_on_its_files_by_the_lands_alone(side: str) -> None:
    off = np.array([[1.004, 0.002, 0.4], [-0.002, 0.998, -0.5], [0.0, 0.0, 1.0]])
    start = corrected(registrations()[side], off)
    moved = module("real_frame").onto_lands(
        case().photos[side], start, side=side, size=case().size, pads=case().pads, holes=case().holes
    )
    places = np.array([pad.at for pad in case().pads if pad.side == side])
    seen = case().cameras[side].to_photo(places)
    error = np.linalg.norm(moved.registration.to_board(seen) - places, axis=1)
    assert np.median(np.linalg.norm(start.to_board(seen) - places, axis=1)) > 0.4
    assert np.median(error) < 0.04
    assert moved.before_mm > 0.4
    assert moved.residual_mm < 0.04


def test_a_person_clicks_where_a_land_is_seen() -> None:
    shifted = corrected(
        registrations()[FRONT], np.array([[1.0, 0.0, 0.15], [0.0, 1.0, 0.1], [0.0, 0.0, 1.0]])
    )
    clicked = module("real_frame").as_seen_on(
        case().pads, case().holes, case().photos[FRONT], shifted, side=FRONT, size=case().size
    )
    drawn = [pad for pad in case().pads if pad.side == FRONT]
    truly = shifted.to_board(case().cameras[FRONT].to_photo(np.array([pad.at for pad in drawn])))
    off = np.linalg.norm(np.array([pad.at for pad in clicked]) - truly, axis=1)
    assert np.median(off) < 0.05


def scene(true: np.ndarray, ink: np.ndarray) -> Any:
    nothing = np.zeros(true.shape, bool)
    return module("board_analyst").scene_of(true, ~nothing, nothing, ink, 20.0)


def test_wide_mistakes_are_painted_before_thin_ones_and_kinds_in_turn() -> None:
    true = np.zeros((200, 400), bool)
    true[20:120, 20:220] = True
    true[160:168, 20:380] = True
    nothing = np.zeros(true.shape, bool)
    teach = module("board_analyst").teaching_stroke
    first = teach(copper_from(nothing, 20.0), scene(true, nothing))
    assert first.says == COVERED
    assert all(1.0 < y < 6.0 for _, y in first.points)
    pour = true.copy()
    pour[160:] = False
    pour[30:60, 250:390] = True
    second = teach(copper_from(pour, 20.0), scene(true, nothing), [COVERED])
    assert second.says == LAMINATE
    pour[30:60, 250:390] = False
    third = teach(copper_from(pour, 20.0), scene(true, nothing), [COVERED, LAMINATE])
    assert third.says == COVERED
    assert all(8.0 < y < 8.4 for _, y in third.points)
    assert third.width < 0.4


def test_print_that_is_taken_for_copper_is_shown_as_print() -> None:
    true = np.zeros((200, 400), bool)
    true[160:168, 20:380] = True
    ink = np.zeros(true.shape, bool)
    ink[40:44, 20:380] = True
    teach = module("board_analyst").teaching_stroke
    assert teach(copper_from(true | ink, 20.0), scene(true, ink)).says == LEGEND
    assert teach(copper_from(true | ink, 20.0), scene(true, ink), [LEGEND]) is None
    assert teach(copper_from(true, 20.0), scene(true, ink)) is None
