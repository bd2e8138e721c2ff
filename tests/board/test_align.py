"""The back carried onto the front by holes, and which way up it lies, against holes whose places are known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lidoff.board import Registration, pick_turn
from lidoff.board.align import Alignment, align_back
from lidoff.board.holes import RoundSpot
from lidoff.errors import ImpossibleValue

SIZE = (40.0, 25.0)


def spots(places: np.ndarray, diameter: float = 1.0) -> list[RoundSpot]:
    return [
        RoundSpot(
            at=(float(x), float(y)),
            diameter=diameter,
            darker=True,
            roundness=0.9,
            contrast=0.4,
            metal_rim=0.5,
        )
        for x, y in places
    ]


def photo_as_board() -> Registration:
    """A photo that shows the board a hundred pixels to the millimetre."""
    return Registration(homography=np.diag([100.0, 100.0, 1.0]), photo_shape=(2500, 4000))


def aligned(front: np.ndarray, back: np.ndarray) -> Alignment:
    return align_back(spots(front), spots(back), photo_as_board())


def turned(places: np.ndarray) -> np.ndarray:
    return np.asarray(np.array(SIZE) - places)


def holes(count: int, seed: int = 3) -> np.ndarray:
    return np.random.default_rng(seed).uniform((2.0, 2.0), np.array(SIZE) - 2.0, (count, 2))


def seen(places: np.ndarray, scatter: float, seed: int = 4) -> np.ndarray:
    return places + np.random.default_rng(seed).normal(0.0, scatter, places.shape)


@pytest.mark.parametrize("upside_down", [False, True])
def test_the_turn_in_which_holes_coincide_is_picked(upside_down: bool) -> None:
    front = holes(8)
    back = seen(turned(front) if upside_down else front, 0.03)
    ways = [aligned(front, back), aligned(front, turned(back))]
    assert pick_turn(ways) == int(upside_down)


def test_many_loose_pairs_do_not_outweigh_few_close_ones() -> None:
    true = Alignment(
        registration=photo_as_board(),
        pairs=aligned(holes(6), seen(holes(6), 0.01)).pairs,
        model="similarity",
        median_mm=0.01,
        correction=np.eye(3),
    )
    loose = holes(14, seed=8)
    pairs = aligned(loose, loose).pairs
    assert len(true.pairs) == 6
    by_chance = replace(
        true,
        pairs=tuple(
            replace(pair, residual=float(off))
            for pair, off in zip(pairs, np.sqrt(np.linspace(0.02, 1.0, 14)) * 0.35, strict=True)
        ),
    )
    assert pick_turn([true, by_chance]) == 0
    assert pick_turn([by_chance, true]) == 1


def test_round_marks_that_meet_by_chance_tell_no_turn() -> None:
    front, back = holes(12, seed=1), holes(12, seed=2)
    with pytest.raises(ImpossibleValue, match="which way up"):
        pick_turn([aligned(front, back), aligned(front, turned(back))])


def test_a_board_that_looks_alike_in_both_turns_is_left_to_the_hand() -> None:
    half = holes(6)
    front = np.concatenate([half, turned(half)])
    back = seen(front, 0.02)
    with pytest.raises(ImpossibleValue, match="more than one turn"):
        pick_turn([aligned(front, back), aligned(front, turned(back))])
