"""Files to take away: the drawing and the stills as wished."""

import re
import zipfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import expect

from tests.browser.conftest import Opens
from tests.browser.serving import Server

SLOW_MS = 120_000
REFUSED = {"code": "impossible_value", "what": "there are no numbers", "remedy": "choose a situation"}


def test_the_drawing_is_taken_as_wished(lure: Server, opened: Opens, tmp_path: Path) -> None:
    page = opened(lure, "publish")
    chapter = page.get_by_role("region", name="The drawing, as you want it")
    chapter.get_by_label("As", exact=True).select_option("png")
    width = chapter.get_by_label("Width in pixels")
    width.fill("12")
    expect(chapter.get_by_text("a whole number from 16")).to_be_visible()
    expect(chapter.get_by_role("link", name="Take the drawing")).to_have_count(0)
    width.fill("640")
    chapter.get_by_label("currents").check()
    with page.expect_download(timeout=SLOW_MS) as coming:
        chapter.get_by_role("link", name="Take the drawing").click()
    coming.value.save_as(tmp_path / "drawing.png")
    with Image.open(tmp_path / "drawing.png") as picture:
        assert 640 == picture.width
    # What cannot be made says why, where a link alone would say nothing.
    page.route("**/api/exports/schematic.png*", lambda route: route.fulfill(status=422, json=REFUSED))
    chapter.get_by_role("link", name="Take the drawing").click()
    expect(chapter.get_by_role("alert")).to_have_text("there are no numbers: choose a situation")

    chapter.get_by_label("As", exact=True).select_option("svg")
    chapter.get_by_label("Numbers of").select_option(label="plugged in, switched on, after ten minutes")
    with page.expect_download(timeout=SLOW_MS) as coming:
        chapter.get_by_role("link", name="Take the drawing").click()
    coming.value.save_as(tmp_path / "drawing.svg")
    text = (tmp_path / "drawing.svg").read_text(encoding="utf-8")
    assert re.search(r"\d mA<", text), "no current stands in the drawing"


def test_the_stills_come_in_the_size_that_was_picked(lure: Server, opened: Opens, tmp_path: Path) -> None:
    page = opened(lure, "publish")
    chapter = page.get_by_role("region", name="Stills")
    expect(chapter.get_by_role("img").first).to_be_visible(timeout=SLOW_MS)
    chapter.get_by_label("All of them, in").select_option("1080x1920")
    with page.expect_download(timeout=SLOW_MS) as coming:
        chapter.get_by_role("link", name="Take the stills").click()
    coming.value.save_as(tmp_path / "stills.zip")
    with zipfile.ZipFile(tmp_path / "stills.zip") as archive:
        names = [name for name in archive.namelist() if name.endswith(".png")]
        with archive.open(names[0]) as file, Image.open(file) as picture:
            assert (1080, 1920) == picture.size
