"""Two pages on one dossier, lost servers, and taking back."""

import signal
import time

from playwright.sync_api import Page, expect

from tests.browser.conftest import Opens
from tests.browser.serving import Server

DEVICE = "Desk lamp"


def begin(page: Page) -> None:
    page.get_by_label("What is on the bench?").fill(DEVICE)
    page.get_by_role("button", name="Begin the dossier").click()
    expect(page.get_by_role("heading", level=1, name=DEVICE)).to_be_visible()


def tell_situation(page: Page, title: str) -> None:
    page.get_by_role("button", name="Tell a situation").click()
    page.get_by_label("Title").fill(title)
    page.get_by_role("button", name="Add the situation").click()


def situation(page: Page, title: str):  # type: ignore[no-untyped-def]
    return page.get_by_role("heading", level=3, name=title, exact=True)


def test_two_pages_stay_in_step(empty_server: Server, opened: Opens) -> None:
    one = opened(empty_server)
    begin(one)
    other = opened(empty_server)
    tell_situation(one, "idle")
    expect(situation(other, "idle")).to_be_visible()
    tell_situation(other, "running full")
    expect(situation(one, "running full")).to_be_visible()
    # Taking back on one page shows on both.
    one.get_by_role("button", name="Take it back").click()
    expect(situation(other, "running full")).to_have_count(0)
    expect(situation(one, "running full")).to_have_count(0)


def test_changes_are_taken_back_and_put_in_again_also_after_a_new_start(
    empty_server: Server, opened: Opens
) -> None:
    page = opened(empty_server)
    begin(page)
    for title in ("idle", "running full", "button held"):
        tell_situation(page, title)
        expect(situation(page, title)).to_be_visible()
    empty_server.end(signal.SIGKILL)
    empty_server.start()
    page = opened(empty_server)
    expect(situation(page, "button held")).to_be_visible()
    page.locator("body").press("u")
    expect(situation(page, "button held")).to_have_count(0)
    page.locator("body").press("Control+z")
    expect(situation(page, "running full")).to_have_count(0)
    page.locator("body").press("Shift+U")
    expect(situation(page, "running full")).to_be_visible()
    page.get_by_role("button", name="All changes").click()
    sheet = page.get_by_role("dialog", name="All changes")
    expect(sheet.get_by_role("row").nth(1)).to_contain_text("Put back in")


def test_what_was_typed_while_the_server_was_away_goes_over_later(
    empty_server: Server, opened: Opens
) -> None:
    page = opened(empty_server)
    begin(page)
    empty_server.end(signal.SIGKILL)
    expect(page.get_by_text("The server does not answer.")).to_be_visible()
    tell_situation(page, "told in the dark")
    expect(page.get_by_text("one change on the way")).to_be_visible()
    empty_server.start()
    # The new start has a key of its own: the page says so, and whoever opens the address finds the change made.
    expect(page.get_by_text("lidoff was started anew.")).to_be_visible()
    again = opened(empty_server, context=page.context)
    expect(situation(again, "told in the dark")).to_be_visible()
    expect(page.get_by_text("everything kept")).to_be_visible()
    text = (empty_server.folder / "dossier.toml").read_text(encoding="utf-8")
    assert 1 == text.count("told in the dark")


def test_two_who_change_the_same_are_not_merged_silently(empty_server: Server, opened: Opens) -> None:
    one = opened(empty_server)
    begin(one)
    tell_situation(one, "idle")
    expect(situation(one, "idle")).to_be_visible()
    other = opened(empty_server)
    expect(situation(other, "idle")).to_be_visible()
    # The other page hears of nothing for a while, as a sleeping laptop does.
    other.context.set_offline(True)
    one.get_by_role("button", name="Change the situation idle").click()
    one.get_by_label("Title").fill("idle, lid open")
    expect(situation(one, "idle, lid open")).to_be_visible()
    other.get_by_role("button", name="Change the situation idle").click()
    other.get_by_label("Title").fill("idle, lid shut")
    expect(other.get_by_text("on the way")).to_be_visible()
    other.context.set_offline(False)
    expect(other.get_by_text("Not done:")).to_be_visible()
    expect(situation(other, "idle, lid open")).to_be_visible()


def test_a_part_with_a_wicked_name_does_no_harm(empty_server: Server, opened: Opens) -> None:
    wicked = "<img src=x onerror=document.title='harmed'>"
    page = opened(empty_server)
    page.get_by_label("What is on the bench?").fill(wicked)
    page.get_by_role("button", name="Begin the dossier").click()
    expect(page.get_by_role("heading", level=1, name=wicked)).to_be_visible()
    tell_situation(page, wicked)
    expect(situation(page, wicked)).to_be_visible()
    page.get_by_role("link", name="Circuit").click()
    page.get_by_role("button", name="Type a part").click()
    page.get_by_label("Resistance between the pins").fill("1 kΩ")
    for pin, net in (("1", wicked), ("2", "gnd")):
        page.get_by_label(f"Net of pin {pin}", exact=True).fill(net)
    page.get_by_role("button", name="Add the part").click()
    page.get_by_role("link", name="Publish").click()
    time.sleep(1)
    assert "harmed" != page.title()
    assert 0 == page.locator("img[src=x]").count()
