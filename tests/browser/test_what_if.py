"""A change tried out beside the real circuit: numbers at once, then the claims' verdicts; nothing of it is kept."""

import re

from playwright.sync_api import expect

from tests.browser.conftest import Opens
from tests.browser.serving import Server
from tests.browser.test_accessible import faults

SLOW_MS = 120_000


def test_numbers_and_verdicts_stand_beside_the_real_ones(lure: Server, opened: Opens) -> None:
    before = (lure.folder / "dossier.toml").read_bytes()
    page = opened(lure, "circuit", motion="reduce")
    chapter = page.get_by_role("region", name="What if")
    chapter.get_by_role("button", name="Try a change").click()
    chapter.get_by_label("What if the part").select_option("R10")
    chapter.get_by_label("…").select_option("open")
    moved = chapter.get_by_role("table").filter(has_text="What moves by more than half a percent")
    expect(moved.get_by_role("row", name=re.compile("^current of M1"))).to_be_visible()
    claims = chapter.get_by_role("group", name="Claims beside what they would come to")
    expect(claims).to_be_visible(timeout=SLOW_MS)
    # The power taken in hangs on the fan's branch; the number of LEDs on no circuit at all.
    power = claims.get_by_role("row").filter(has_text="10 W high power")
    expect(power.get_by_role("cell").last).not_to_have_text("unmoved")
    count = claims.get_by_role("row").filter(has_text="20 UV LEDs")
    expect(count.get_by_role("cell").last).to_have_text("unmoved")
    assert [] == faults(page)
    chapter.get_by_role("button", name="Enough").click()
    expect(claims).to_have_count(0)
    assert before == (lure.folder / "dossier.toml").read_bytes()
