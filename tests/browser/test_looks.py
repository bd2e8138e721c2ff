"""Pictures of every place in both grounds and three sizes, for people to look at; nothing may stick out of the window."""

import time
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opens
from tests.browser.serving import Server
from tests.browser.test_accessible import PLACES

TILES = "performance.getEntriesByType('resource').filter((one) => one.name.includes('/tiles/')).length"


def photo_is_there(page: Page) -> None:
    """Waits until tiles of the photo have come, and no more of them come."""
    before = -1
    until = time.monotonic() + 40
    while (now := int(page.evaluate(TILES))) == 0 or now != before:
        assert time.monotonic() < until, "the photo never came"
        before = now
        page.wait_for_timeout(700)


SIZES = {"1280": (1280, 720), "1920": (1920, 1080), "3840": (3840, 2160)}


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_every_place_fits_its_window(
    lure: Server, opened: Opens, pictures: Path, size: str, theme: str
) -> None:
    page = opened(lure, size=SIZES[size], theme=theme, motion="reduce")
    for number, place in enumerate(PLACES, start=1):
        page.locator("body").press(str(number))
        expect(page.locator(PLACES[place]).first).to_be_visible()
        expect(page.get_by_text("working it out")).to_have_count(0)
        if place == "boards":
            photo_is_there(page)
        page.screenshot(path=pictures / f"{place}-{size}-{theme}.png")
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, f"{place} is {wide} px too wide"
