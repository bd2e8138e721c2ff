"""Reading photo files."""

import hashlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lidoff.board import check_unchanged, photo, read_photo
from lidoff.errors import PhotoRefused

PICTURE = np.zeros((20, 30, 3), np.uint8)
PICTURE[:10, :15] = (250, 10, 10)


def test_orientation_tag_turns_the_photo_upright(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # shown turned a quarter clockwise
    Image.fromarray(PICTURE).save(tmp_path / "a.jpg", exif=exif, quality=95)
    found = read_photo(tmp_path / "a.jpg")
    assert found.picture.shape == (30, 20, 3)
    assert found.turned
    assert found.picture[3, 16, 0] > 200  # the red corner went from upper left to upper right


@pytest.mark.parametrize(("ending", "name"), [("png", "PNG"), ("tif", "TIFF"), ("jpg", "JPEG")])
def test_formats_are_read(tmp_path: Path, ending: str, name: str) -> None:
    Image.fromarray(PICTURE).save(tmp_path / f"a.{ending}")
    found = read_photo(tmp_path / f"a.{ending}")
    assert (name, PICTURE.shape) == (found.format, found.picture.shape)


def test_reading_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    Image.fromarray(PICTURE).save(path)
    before = path.read_bytes()
    found = read_photo(path)
    assert before == path.read_bytes()
    assert hashlib.sha256(before).hexdigest() == found.sha256


def test_a_photo_cut_short_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    rng = np.random.default_rng(1)
    Image.fromarray(rng.integers(0, 255, (200, 200, 3), np.uint8)).save(path)
    path.write_bytes(path.read_bytes()[:3000])
    with pytest.raises(PhotoRefused, match="damaged or cut short"):
        read_photo(path)


def test_a_text_named_as_photo_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_text("no picture")
    with pytest.raises(PhotoRefused, match="no JPEG, PNG, TIFF or HEIC picture"):
        read_photo(tmp_path / "a.jpg")


def test_a_mislabelled_photo_is_refused(tmp_path: Path) -> None:
    Image.fromarray(PICTURE).save(tmp_path / "a.jpg", format="PNG")
    with pytest.raises(PhotoRefused, match=r"is PNG but is named \.jpg; rename it to end in \.png"):
        read_photo(tmp_path / "a.jpg")


def test_a_bomb_is_refused_from_its_header(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    Image.new("1", (20000, 6000)).save(path)  # a few kilobytes that claim 120 megapixels
    with pytest.raises(PhotoRefused, match="20000 × 6000 = 120 megapixels, more than 100"):
        read_photo(path)


def test_a_huge_file_is_refused_unread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    Image.fromarray(PICTURE).save(tmp_path / "a.png")
    monkeypatch.setattr(photo, "LARGEST_BYTES", 10)
    with pytest.raises(PhotoRefused, match="more than 0 MB; save the photo smaller"):
        read_photo(tmp_path / "a.png")


def test_a_changed_photo_is_noticed(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    Image.fromarray(PICTURE).save(path)
    check_unchanged(path, hashlib.sha256(path.read_bytes()).hexdigest())
    with pytest.raises(PhotoRefused, match="changed on disk since it was registered"):
        check_unchanged(path, "0" * 64)


def test_a_missing_photo_is_refused(tmp_path: Path) -> None:
    with pytest.raises(PhotoRefused, match="cannot be read"):
        read_photo(tmp_path / "none.jpg")


def test_a_telephones_heic_is_read() -> None:
    found = read_photo(Path(__file__).parent / "data" / "red_corner.heic")
    assert (found.format, found.picture.shape) == ("HEIF", (48, 64, 3))
    assert found.picture[5, 5, 0] > 200
    assert found.picture[40, 60].max() < 40
