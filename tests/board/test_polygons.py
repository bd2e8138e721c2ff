"""Edges of polygons to a fraction of a pixel."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import box

from lidoff.board import FRONT, Copper, Island, clearance, piece_polygons, pieces_from_polygons, pieces_of

SCALE = 20.0


def slanted_gap(width_mm: float, turn_deg: float) -> Copper:
    """Two areas of copper on either side of a straight gap, seen with a soft edge of two pixels."""
    rows, columns = np.indices((160, 160), dtype=float) + 0.5
    turn = np.radians(turn_deg)
    across = ((columns - 80) * np.cos(turn) + (rows - 80) * np.sin(turn)) / SCALE
    probability = np.clip(0.5 + (np.abs(across) - width_mm / 2) * SCALE / 2, 0, 1).astype(np.float32)
    mask = probability > 0.5
    return Copper(
        side=FRONT,
        px_per_mm=SCALE,
        probability=probability,
        mask=mask,
        classes=np.where(mask, 0, 2).astype(np.uint8),
        fixed=np.zeros(mask.shape, bool),
    )


@pytest.mark.parametrize("turn", [0.0, 17.0, 31.0, 45.0, 90.0])
def test_a_slanted_gap_is_no_shorter_than_a_straight_one(turn: float) -> None:
    # Away from the picture's border, where a slanted area ends in a tip.
    middle = box(1.0, 1.0, 7.0, 7.0)
    pieces = piece_polygons(pieces_of(slanted_gap(0.331, turn)))
    one, other = (island.polygon().intersection(middle) for island in pieces)
    told = clearance([one], [other])
    assert told.length == pytest.approx(0.331, abs=0.006)  # a pixel is 0.05 mm


def test_a_track_of_one_pixel_comes_back_from_its_polygon() -> None:
    mask = np.zeros((40, 60), bool)
    mask[20, 10:50] = True
    copper = replace(
        slanted_gap(0.3, 0.0),
        probability=np.where(mask, 0.6, 0.0).astype(np.float32),
        mask=mask,
        classes=np.where(mask, 0, 2).astype(np.uint8),
        fixed=np.zeros(mask.shape, bool),
    )
    pieces = pieces_of(copper)
    again = pieces_from_polygons(FRONT, piece_polygons(pieces), (), px_per_mm=SCALE, size=(3.0, 2.0))
    assert np.count_nonzero(again.labels[20]) >= 38


def test_copper_far_beside_the_board_takes_no_room_and_no_place() -> None:
    mask = np.zeros((200, 300), bool)
    mask[40:60, 50:250] = True
    flat = Copper(
        side=FRONT,
        px_per_mm=SCALE,
        probability=mask.astype(np.float32),
        mask=mask,
        classes=np.where(mask, 0, 2).astype(np.uint8),
        fixed=np.zeros(mask.shape, bool),
    )
    (track,) = piece_polygons(pieces_of(flat))

    def moved(by: float, number: int) -> Island:
        return replace(track, number=number, shell=tuple((x + by, y + by) for x, y in track.shell))

    here = pieces_from_polygons(FRONT, [track], (), px_per_mm=SCALE, size=(15.0, 10.0))
    long = replace(track, number=3, shell=((1.0, 1.0), (1e5, 1e5), (1e5, 1e5 + 1.0), (1.0, 2.0)))
    found = pieces_from_polygons(FRONT, [track, moved(9e4, 2), long], (), px_per_mm=SCALE, size=(15.0, 10.0))
    assert (200, 300) == found.labels.shape
    assert np.all(np.isin(found.labels[here.labels == 1], (1, 3)))
    assert not np.any(found.labels == 2)
    assert np.any(found.labels == 3)
