"""Photos that a dossier names and that cannot be used are findings that name the file."""

from pathlib import Path

import pytest
from PIL import Image

from lidoff.dossier import Analysis, analyse, load_dossier

TEXT = """format = 2
[device]
title = "a lamp"
[[photos]]
file = "photos/front.jpg"
"""


def dossier(folder: Path, content: bytes | None) -> Path:
    (folder / "photos").mkdir()
    (folder / "dossier.toml").write_text(TEXT)
    if content is not None:
        (folder / "photos" / "front.jpg").write_bytes(content)
    return folder


def told(analysis: Analysis) -> list[str]:
    return [one.what for one in analysis.findings if one.name == "photo not usable"]


@pytest.mark.parametrize(
    ("content", "why"),
    [(None, "there is no such file"), (b"a text", "this is no JPEG, PNG, TIFF or HEIC picture")],
)
def test_a_photo_that_cannot_be_used_is_a_finding_with_the_reason(
    tmp_path: Path, content: bytes | None, why: str
) -> None:
    (words,) = told(analyse(load_dossier(dossier(tmp_path, content))))
    assert f"The dossier names the photo photos/front.jpg, but {why}." in words


def test_a_photo_that_can_be_used_is_no_finding(tmp_path: Path) -> None:
    folder = dossier(tmp_path, None)
    Image.new("RGB", (8, 8)).save(folder / "photos" / "front.jpg")
    assert told(analyse(load_dossier(folder))) == []


def test_a_photo_that_was_mended_is_looked_at_anew(tmp_path: Path) -> None:
    folder = dossier(tmp_path, b"a text")
    assert len(load_dossier(folder).unusable_photos) == 1
    Image.new("RGB", (8, 8)).save(folder / "photos" / "front.jpg")
    assert load_dossier(folder).unusable_photos == ()


def test_a_link_that_leads_out_of_the_dossier_is_no_photo_of_it(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere.jpg"
    Image.new("RGB", (8, 8)).save(elsewhere)
    (tmp_path / "mine").mkdir()
    folder = dossier(tmp_path / "mine", None)
    (folder / "photos" / "front.jpg").symlink_to(elsewhere)
    (one,) = load_dossier(folder).unusable_photos
    assert "this is no ordinary file of the dossier" == one.what
