"""Bands along edges, and laminate that passes for copper on beyond them."""

import numpy as np
import pytest

from lidoff.board.classes import BARE, BODY, CLASSES, COVERED, LAMINATE, LEGEND
from lidoff.board.edge_bands import edge_bands, grown_band

SHAPE = (60, 100)
ROWS, COLUMNS = np.indices(SHAPE)


def classed(**areas: np.ndarray) -> np.ndarray:
    names = {"covered": COVERED, "bare": BARE, "legend": LEGEND, "body": BODY}
    probability = np.zeros((*SHAPE, len(CLASSES)), np.float32)
    probability[..., CLASSES.index(LAMINATE)] = ~np.logical_or.reduce(list(areas.values()))
    for name, area in areas.items():
        probability[..., CLASSES.index(names[name])] = area
    return probability


def test_a_band_keeps_clear_of_print_and_a_lit_one_comes_up_to_it() -> None:
    printed = (ROWS > 28) & (ROWS < 34)
    bands = edge_bands(classed(covered=(COLUMNS < 50) & ~printed, legend=printed), 1.0)
    beside = ROWS == 26
    assert not bands.mask_band[beside & (np.abs(COLUMNS - 50) < 2)].any()
    assert bands.lit_band[beside & (np.abs(COLUMNS - 50) < 2)].all()
    assert bands.near_print[beside].all()
    assert not bands.near_body.any()


def test_nothing_is_beside_two_things() -> None:
    areas = {
        "covered": COLUMNS < 30,
        "bare": (COLUMNS > 40) & (COLUMNS < 52),
        "legend": (COLUMNS > 55) & (COLUMNS < 60),
        "body": COLUMNS > 64,
    }
    bands = edge_bands(classed(**areas), 1.0)
    beside = bands.near_land.astype(int) + bands.near_print + bands.near_body
    assert beside.max() == 1
    assert min(bands.near_land.sum(), bands.near_print.sum(), bands.near_body.sum()) > 0


@pytest.mark.parametrize(("noise", "found"), [(0.05, True), (0.4, False)])
def test_laminate_that_passes_for_copper_is_found_where_it_is_plain(noise: float, found: bool) -> None:
    copper, classes = COLUMNS < 50, COLUMNS < 58
    share = (copper + np.random.default_rng(1).normal(0.0, noise, SHAPE)).astype(np.float32)
    band = grown_band(edge_bands(classed(covered=classes), 1.0), share, 1.0)
    wrong = (COLUMNS >= 51) & (COLUMNS < 57)
    assert bool(band[wrong].mean() > 0.95) is found
    assert not band[COLUMNS < 44].any()
    assert not band[COLUMNS > 66].any()


def test_laminate_that_passes_for_copper_far_from_any_edge_is_left() -> None:
    copper = (COLUMNS < 50) & ~((np.abs(ROWS - 30) < 4) & (np.abs(COLUMNS - 20) < 4))
    bands = edge_bands(classed(covered=COLUMNS < 50), 1.0)
    assert np.array_equal(bands.mask_band, grown_band(bands, copper.astype(np.float32), 1.0))
