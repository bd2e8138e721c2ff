"""Invented photos: what a camera would see of a layout."""

from dataclasses import replace

import numpy as np
import pytest

from lidoff.board import FRONT, Layout, Track, View
from lidoff.board.generator import FINISHES, photo_of_side

WIDTH_MM = 0.25


def seen_places(px_per_mm: float) -> np.ndarray:
    """How far from its true place each of some thin tracks is seen [photo pixels]: the centre of what is lighter there."""
    true = 2.0 + 2.03 * np.arange(13)
    outline = ((0.0, 0.0), (30.0, 0.0), (30.0, 12.0), (0.0, 12.0))
    bare = Layout(outline=outline)
    tracks = tuple(
        Track(side=FRONT, net=f"N{number}", points=((x, 2.0), (x, 10.0)), width=WIDTH_MM)
        for number, x in enumerate(true)
    )
    view = View(finish="flat", px_per_mm=px_per_mm, light=0.0, noise=0.0, tilt=0.0, turn=0.0)
    (with_tracks, camera), (without, _) = (
        photo_of_side(layout, FRONT, view, np.random.default_rng(3))
        for layout in (Layout(outline=outline, tracks=tracks), bare)
    )
    found = []
    for x in true:
        at = camera.to_photo(np.array([[x, 6.0]]))[0]
        row, column = round(float(at[1])), round(float(at[0]))
        part = (slice(row - 8, row + 9), slice(column - 5, column + 6))
        lighter = (with_tracks[part].astype(float) - without[part]).sum(axis=(0, 2))
        found.append(float(lighter @ np.arange(column - 5, column + 6) / lighter.sum() - at[0]))
    return np.array(found)


@pytest.mark.parametrize("px_per_mm", [8.0, 20.0])
def test_thin_tracks_are_seen_where_they_are_however_they_lie_on_the_pixels(
    px_per_mm: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("lidoff.board.generator.FINISHES", {"flat": replace(FINISHES["green"], edge=0.0)})
    off = seen_places(px_per_mm)
    assert float(off.std()) < 0.06
    assert abs(float(off.mean())) < 0.03
