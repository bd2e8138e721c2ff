"""Files that can be no photo are refused by their bytes, and photos are let through undecoded."""

from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lidoff.board import check_photo_file
from lidoff.errors import PhotoRefused


def picture(kind: str) -> bytes:
    noise = np.random.default_rng(3).integers(0, 255, (60, 80, 3)).astype(np.uint8)
    file = BytesIO()
    Image.fromarray(noise).save(file, kind)
    return file.getvalue()


def with_thumbnail() -> bytes:
    """JPEG with a whole smaller JPEG in a segment before its scan, as cameras write them."""
    small = picture("JPEG")
    return b"\xff\xd8\xff\xe1" + (len(small) + 2).to_bytes(2, "big") + small + picture("JPEG")[2:]


def refused(path: Path, content: bytes | None) -> str:
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(PhotoRefused) as caught:
        check_photo_file(path)
    return caught.value.what


@pytest.mark.parametrize(
    ("name", "kind"), [("a.jpg", "JPEG"), ("a.JPEG", "JPEG"), ("a.png", "PNG"), ("a.tif", "TIFF")]
)
def test_a_photo_is_let_through(tmp_path: Path, name: str, kind: str) -> None:
    (tmp_path / name).write_bytes(picture(kind))
    check_photo_file(tmp_path / name)


def test_a_photo_with_a_thumbnail_and_bytes_behind_it_is_let_through(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(with_thumbnail() + b"more that the phone wrote")
    check_photo_file(tmp_path / "a.jpg")


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    assert "there is no such file" == refused(tmp_path / "none.jpg", None)


def test_an_empty_file_is_refused(tmp_path: Path) -> None:
    assert "the file is empty" == refused(tmp_path / "a.jpg", b"")


def test_a_text_is_refused_whatever_its_name(tmp_path: Path) -> None:
    assert "this is no JPEG, PNG, TIFF or HEIC picture" == refused(tmp_path / "a.jpg", b"no photo at all")


def test_a_photo_under_the_name_of_another_format_is_refused(tmp_path: Path) -> None:
    assert "the file is PNG but is named .jpg" == refused(tmp_path / "a.jpg", picture("PNG"))


@pytest.mark.parametrize(
    ("name", "content"),
    [("a.jpg", picture("JPEG")), ("a.jpg", with_thumbnail()), ("a.png", picture("PNG"))],
    ids=["JPEG", "JPEG with a thumbnail", "PNG"],
)
def test_a_photo_that_is_cut_short_is_refused(tmp_path: Path, name: str, content: bytes) -> None:
    assert "the picture is cut short" == refused(tmp_path / name, content[: -len(picture("JPEG")) // 3])
