"""Several shots of one side, and the pictures of the steps."""

from pathlib import Path

import numpy as np
import pytest

from lidoff.board import (
    FRONT,
    View,
    flat_field,
    glare_free,
    mosaic,
    render_photos,
    save_picture,
)
from lidoff.errors import ImpossibleValue, OutputRefused
from tests.board.build import night_lamp_layout, photos


def shot(glare: float, at: tuple[float, float] = (0.5, 0.5)) -> np.ndarray:
    view = View(px_per_mm=14.0, glare=glare, glare_at=at, noise=0.002)
    return render_photos(night_lamp_layout(), view, np.random.default_rng(4)).front


def test_shots_under_moved_light_show_no_glare() -> None:
    clean = shot(0.0).astype(float)
    one, other = shot(0.9, (0.3, 0.4)), shot(0.9, (0.7, 0.7))
    mixed = glare_free([one, other], align=False).astype(float)
    worst = np.percentile(np.abs(one - clean).max(axis=2), 98)
    assert worst > 60
    assert np.percentile(np.abs(mixed - clean).max(axis=2), 98) < 0.25 * worst


def test_a_single_shot_cannot_be_freed_of_glare() -> None:
    with pytest.raises(ImpossibleValue, match="1 shot; take two or more with the lamp moved"):
        glare_free([shot(0.5)])


def test_even_light_takes_out_a_slope() -> None:
    slope = np.linspace(0.4, 1.0, 300)[None, :, None]
    picture = np.broadcast_to(180 * slope, (200, 300, 3)).astype(np.uint8)
    even = flat_field(picture)
    assert np.std(even[:, 60:-60].astype(float)) < 0.25 * np.std(picture[:, 60:-60].astype(float))


def test_close_ups_join_within_a_pixel() -> None:
    whole = photos("green", 0.0, 0.0, 24.0).front
    rows, columns = whole.shape[:2]
    parts = [whole[:, : columns * 6 // 10], whole[:, columns * 4 // 10 :]]
    overview = np.asarray(whole[::2, ::2])
    joined = mosaic(parts, overview, scale=2.0)
    assert joined.residual < 1.5
    # The left close-up is the whole's own left: its homography is that of the identity, but for half a pixel.
    corner = joined.homographies[0] @ np.array([100.0, 200.0, 1.0])
    assert corner[:2] / corner[2] == pytest.approx([100.0, 200.0], abs=1.5)
    assert joined.seen[rows // 2, columns // 2]


def test_each_picture_of_a_step_can_be_written(tmp_path: Path) -> None:
    photo = photos("green").front
    path = save_picture(photo, tmp_path / "steps" / f"{FRONT}.png")
    assert path.read_bytes()[:4] == b"\x89PNG"


def test_a_picture_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputRefused, match="the picture cannot be written"):
        save_picture(np.zeros((2, 2, 3), np.uint8), tmp_path / "file" / "a.png")
