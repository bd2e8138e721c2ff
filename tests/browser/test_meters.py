"""A live meter on the evidence page: watched while it is recorded, unplugged and plugged in, then one of the logs."""

import re
from pathlib import Path

from playwright.sync_api import expect

from tests.bench.meters import lone_meter
from tests.browser.conftest import Opens
from tests.browser.serving import Server
from tests.browser.test_accessible import faults

SLOW_MS = 90_000
"""Reaching a meter again, on a busy machine."""


def test_a_live_meter_is_recorded_watched_and_kept(
    night_light: Server, opened: Opens, pictures: Path
) -> None:
    with lone_meter() as meter:
        page = opened(night_light, "evidence", motion="reduce")
        page.get_by_role("button", name="Record live meters").click()
        form = page.get_by_role("form", name="Record live meters")
        begin = form.get_by_role("button", name="Begin the record")
        expect(begin).to_be_disabled()
        form.get_by_label("Meter").fill(meter.address)
        form.get_by_label("Asked for").fill("voltage dc")
        form.get_by_label("Name of the log").fill("charging")
        form.get_by_label("A row every").fill("0.2 s")
        begin.click()

        now = page.get_by_role("list", name="Last row")
        expect(now).to_contain_text("4.98760 V", timeout=SLOW_MS)
        expect(page.get_by_role("img", name=re.compile(r"^charging\.csv: U from 4.988"))).to_be_visible()
        assert [] == faults(page)
        page.screenshot(path=pictures / "meter-live.png")

        meter.unplug()
        expect(page.get_by_text(re.compile("does not answer|asked again|lost"))).to_be_visible(
            timeout=SLOW_MS
        )
        meter.plug_in()
        before = _rows(page.locator(".record").inner_text())
        expect(page.locator(".record p[role=status]")).not_to_contain_text(f"{before} rows", timeout=SLOW_MS)

        page.get_by_role("button", name="Stop charging.csv").click()
        expect(page.get_by_text("It is one of the logs now: logs/charging.csv")).to_be_visible(
            timeout=SLOW_MS
        )
        expect(page.get_by_role("heading", name="charging.csv").last).to_be_visible()
    assert (night_light.folder / "logs" / "charging.csv").is_file()


def _rows(words: str) -> int:
    found = re.search(r"(\d+) rows", words)
    return int(found[1]) if found else 1
