"""The shelf's page: read, searched, held against the bench; and two circuits side by side."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import ROOT, Opens
from tests.browser.serving import Server
from tests.browser.test_accessible import faults

LONGEST_MS = 120_000
"""Drawing two circuits beside a busy machine's other work."""


@pytest.fixture(scope="module")
def shelved(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A bench on one of three dossiers that lie beside each other; tests change nothing in them."""
    shelf = tmp_path_factory.mktemp("shelf")
    for name in ("night-light", "insect-lure", "crumb-vacuum"):
        shutil.copytree(ROOT / "demos" / name, shelf / name)
    server = Server(
        shelf / "night-light",
        tmp_path_factory.mktemp("beside"),
        "--shelf",
        str(shelf),
        "--index",
        str(shelf / "i.db"),
    )
    server.start()
    yield server
    server.end()


def read_shelf(page: Page) -> None:
    button = page.get_by_role("button", name=re.compile("^Read (the shelf|what changed)$"))
    expect(button).to_be_visible()
    if button.inner_text() == "Read the shelf":
        button.click()
    expect(page.get_by_text(re.compile("^3 dossiers in"))).to_be_visible(timeout=180_000)


def hits(page: Page, chapter: str) -> Locator:
    return page.get_by_role("region", name=chapter).get_by_role("heading", level=3)


def test_the_shelf_is_read_and_searched(shelved: Server, opened: Opens, pictures: Path) -> None:
    page = opened(shelved, "shelf")
    read_shelf(page)
    form = page.get_by_role("form", name="Look for on the shelf")
    found = hits(page, "Look for")
    form.get_by_label("Words anywhere").fill("mosquitoes")
    expect(found).to_have_text(["USB insect lure with fan"])
    # A hit says where in the dossier it was found.
    expect(page.get_by_role("region", name="Look for")).to_contain_text("claim area: clears 60 m²")
    page.get_by_role("button", name="Ask for nothing").click()
    form.get_by_label("Printed on a part").fill("M7")
    expect(found).to_have_text(["USB insect lure with fan", "Plug-in night light with light sensor"])
    # All that is asked for has to be there at once.
    form.get_by_label("Has the part").select_option(label="photoresistor")
    expect(found).to_have_text(["Plug-in night light with light sensor"])
    form.get_by_label("A value").fill("no number")
    expect(page.get_by_role("region", name="Look for").locator(".fault").first).to_be_visible()
    form.get_by_label("A value").fill("47k")
    expect(found).to_have_text(["Plug-in night light with light sensor"])
    page.screenshot(path=pictures / "shelf-light.png", full_page=True)


def test_a_hit_opens_its_verdicts_and_findings(shelved: Server, opened: Opens) -> None:
    page = opened(shelved, "shelf")
    read_shelf(page)
    page.get_by_label("Words anywhere").fill("mosquitoes")
    page.get_by_role("button", name=re.compile("^Verdicts and findings.*USB insect lure")).click()
    chapter = page.get_by_role("region", name="Look for")
    power = chapter.get_by_role("listitem").filter(has_text="“10 W high power”").last
    expect(power).to_contain_text("not borne out", timeout=LONGEST_MS)
    expect(chapter.get_by_text("LED19 and LED20 over the current rating.")).to_be_visible()
    assert [] == faults(page)
    page.get_by_role("button", name=re.compile("^Close it")).click()
    expect(power).to_have_count(0)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_shelf_keeps_the_rules(shelved: Server, opened: Opens, pictures: Path, theme: str) -> None:
    page = opened(shelved, "shelf", theme=theme, motion="reduce")
    read_shelf(page)
    page.get_by_label("With the verdict").select_option("not borne out")
    expect(hits(page, "Look for")).to_have_count(3)
    page.get_by_role("button", name="The whole circuit").click()
    expect(page.get_by_role("table")).to_be_visible()
    assert [] == faults(page)
    page.screenshot(path=pictures / f"shelf-{theme}.png", full_page=True)
    page.set_viewport_size({"width": 390, "height": 844})
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert wide <= 0, f"the shelf is {wide} px too wide for a phone"


def test_how_far_claims_overstate_stands_as_dots_and_as_numbers(shelved: Server, opened: Opens) -> None:
    page = opened(shelved, "shelf")
    read_shelf(page)
    chapter = page.get_by_role("region", name="How far claims overstate")
    row = chapter.get_by_role("row").filter(has_text="number of LEDs")
    expect(row.get_by_role("cell").nth(0)).to_have_text("2")
    # The two claims of the demos are 20 for 20 and 4 for 3.
    expect(row).to_contain_text("1.2 ×")
    told = page.request.get(f"{page.url.rsplit('/', 1)[0]}/api/shelf/claims").json()
    dots = sum(len(record["overstated"]) for record in told["records"])
    expect(chapter.locator(".dot")).to_have_count(dots)


def test_a_hit_is_held_against_the_circuit_on_the_bench(
    shelved: Server, opened: Opens, pictures: Path
) -> None:
    page = opened(shelved, "shelf")
    read_shelf(page)
    page.get_by_label("Words anywhere").fill("vacuum")
    page.get_by_role("button", name=re.compile("^Hold it against this circuit")).first.click()
    beside = page.get_by_role("region", name="Beside another circuit")
    expect(beside.get_by_role("heading", name="Second: Rechargeable crumb vacuum")).to_be_visible(
        timeout=LONGEST_MS
    )
    drawings = beside.locator("svg")
    expect(drawings).to_have_count(2)
    # What is only in one is tinted there, and said in words below; pointing at the words lights the part.
    difference = beside.get_by_role("button", name=re.compile("^D3 .* is only in the first"))
    expect(beside.locator(".differs-left-out[data-parts='D3']")).to_have_count(1)
    difference.focus()
    expect(drawings.first.locator("g[data-part=D3]")).to_have_class(re.compile("lit"))
    assert [] == faults(page)
    beside.screenshot(path=pictures / "compare-light.png")
    page.get_by_role("button", name="Put the other one away").click()
    expect(drawings).to_have_count(0)


def test_a_block_is_held_against_the_textbook(shelved: Server, opened: Opens) -> None:
    page = opened(shelved, "circuit")
    beside = page.get_by_role("region", name="Beside another circuit")
    beside.get_by_label("The block as in textbooks").select_option(label="bridge rectifier: D1, D2, D3, D4")
    expect(
        beside.get_by_role("heading", name="First: bridge rectifier, as the textbook has it")
    ).to_be_visible()
