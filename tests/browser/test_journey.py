"""The whole job, from an empty folder to the published report, as a person would click it."""

import time
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import ROOT, Opens
from tests.browser.serving import Server

PHOTOS = ROOT / "demos" / "night-light" / "photos"


def kept(server: Server, text: str) -> None:
    """Waits until what was typed is on the disk."""
    until = time.monotonic() + 20
    file = server.folder / "dossier.toml"
    while text not in file.read_text(encoding="utf-8"):
        assert time.monotonic() < until, f"{text!r} never reached the disk"
        time.sleep(0.05)


def add_part(page: Page, kind: str, value: tuple[str, str] | None, pins: dict[str, str]) -> None:
    form = page.get_by_role("form", name="Add a part")
    if not form.is_visible():
        page.get_by_role("button", name="Type a part").click()
    form.get_by_label("Kind").select_option(label=kind)
    for pin, net in pins.items():
        form.get_by_label(f"Net of pin {pin}", exact=True).fill(net)
    if value is not None:
        form.get_by_label(value[0]).fill(value[1])
        expect(form.get_by_text("understood:")).to_be_visible()
    form.get_by_role("button", name="Add the part").click()
    expect(form.get_by_label(f"Net of pin {next(iter(pins))}", exact=True)).to_have_value("")


@pytest.mark.journey
def test_a_teardown_goes_from_box_to_report(empty_server: Server, opened: Opens, pictures: Path) -> None:
    page = opened(empty_server)

    # An empty folder offers an own beginning, and the demos.
    expect(page.get_by_role("heading", name="Or look round in an invented one")).to_be_visible()
    page.screenshot(path=pictures / "journey-1-begin.png")
    page.get_by_label("What is on the bench?").fill("Night light, plugged in")
    page.get_by_role("button", name="Begin the dossier").click()
    expect(page.get_by_role("heading", level=1, name="Night light, plugged in")).to_be_visible()

    # Evidence: what the box says, what was measured, with what, in which state.
    page.get_by_role("button", name="Tell a situation").click()
    page.get_by_label("Title").fill("lit, in the dark")
    page.get_by_role("button", name="Add the situation").click()
    expect(page.get_by_role("heading", name="lit, in the dark")).to_be_visible()

    page.get_by_role("button", name="Tell an instrument").click()
    form = page.get_by_role("form", name="Tell an instrument")
    form.get_by_label("Title").fill("hand-held meter")
    form.get_by_role("button", name="Add the instrument").click()
    page.get_by_role("button", name="Add a range").click()
    form = page.get_by_role("form", name="Add a range")
    form.get_by_label("Measured as").select_option("voltage dc")
    form.get_by_label("Full scale").fill("6 V")
    # Nothing is made up in place of the line of the data sheet.
    expect(form.get_by_role("button", name="Add the range")).to_be_disabled()
    form.get_by_label("Accuracy").fill("±(0.8 % + 2)")
    form.get_by_role("button", name="Add the range").click()
    kept(empty_server, 'up_to = "6 V"')
    kept(empty_server, 'accuracy = "±(0.8 % + 2)"')

    page.get_by_role("button", name="Write down a claim").click()
    form = page.get_by_role("form", name="Write down a claim")
    form.get_by_label("Words as printed").fill("runs on 5 V")
    form.get_by_label("Kind").select_option("voltage")
    form.get_by_label("Value").fill("5V")
    expect(form.get_by_text("understood: 5 V")).to_be_visible()
    form.get_by_role("button", name="Add the claim").click()
    expect(page.get_by_role("heading", name="“runs on 5 V”")).to_be_visible()

    # Photos go over unchanged.
    page.locator("#photos ~ div input[type=file]").set_input_files(
        [PHOTOS / "main-front.jpg", PHOTOS / "main-back.jpg"]
    )
    expect(page.get_by_label("Shows the board")).to_have_count(2)
    for name in ("main-front.jpg", "main-back.jpg"):
        assert (empty_server.folder / "photos" / name).read_bytes() == (PHOTOS / name).read_bytes()

    # Boards: the size by ruler, then the photo of each side.
    page.keyboard.press("Escape")
    page.get_by_role("link", name="Boards").click()
    page.get_by_label("What board is it?").fill("main board")
    page.get_by_label("Width in mm, front").fill("31")
    page.get_by_label("Height in mm").fill("24")
    page.get_by_role("button", name="Begin the board").click()
    page.get_by_role("button", name="main-front.jpg shows the front").click()
    expect(page.get_by_role("application", name="Photo of the front of main_board")).to_be_visible()
    page.get_by_role("group", name="Side").get_by_role("button", name="back").click()
    page.get_by_role("button", name="main-back.jpg shows the back").click()
    expect(page.get_by_role("application", name="Photo of the back of main_board")).to_be_visible()
    page.get_by_role("button", name="Find outline, holes and copper").click()
    expect(page.get_by_role("button", name="Find them again with what you said")).to_be_visible(
        timeout=120_000
    )
    page.screenshot(path=pictures / "journey-2-board.png")

    # Circuit: typed parts, drawn at once.
    page.get_by_role("link", name="Circuit").click()
    add_part(page, "DC supply", ("voltage", "5 V"), {"plus": "usb_5v", "minus": "gnd"})
    expect(page.get_by_role("region", name="Drawing of the circuit")).to_be_visible()
    # The drawing comes in above the form, which stays open for the next part.
    expect(page.get_by_role("form", name="Add a part")).to_be_visible()
    add_part(page, "resistor", ("resistance", "270R"), {"1": "usb_5v", "2": "led"})
    add_part(page, "light-emitting diode", None, {"anode": "led", "cathode": "gnd"})
    expect(page.locator("g[data-part=R1]")).to_be_visible()

    # A reading, and a claim tested by it: the verdict follows.
    page.get_by_role("link", name="Evidence").click()
    page.get_by_role("button", name="Write down a reading").click()
    form = page.get_by_role("form", name="Write down a reading")
    form.get_by_label("The display showed").fill("5.02V; 5.03V")
    form.get_by_label("Voltage of the net").fill("usb_5v")
    form.get_by_label("Instrument").select_option(label="hand-held meter")
    form.get_by_role("button", name="Add the reading").click()
    row = page.locator("[id='readings.usb_5v_lit_in_the']")
    expect(row.get_by_text("predicted")).to_be_visible()
    claim = page.locator("[id='claims.runs_on_5_v']")
    claim.get_by_role("button", name="Change the claim").click()
    claim.get_by_role("group", name="Tested by").get_by_role("combobox").first.select_option("reading")
    claim.get_by_label("The reading").select_option("usb_5v_lit_in_the")
    expect(claim.get_by_text("borne out")).to_be_visible()
    page.screenshot(path=pictures / "journey-3-evidence.png")

    # Findings: one is set aside, with a reason.
    page.get_by_role("link", name="Findings").click()
    page.screenshot(path=pictures / "journey-4-findings.png")
    aside = page.get_by_role("button", name="Set aside …")
    if aside.count():
        aside.first.click()
        page.get_by_label("Why it does not count here").fill("seen on the bench")
        page.get_by_role("button", name="Set it aside").click()
        expect(page.get_by_role("button", name="set aside (1)")).to_be_visible()

    # Publish: a title, the report seen, its files written.
    page.get_by_role("link", name="Publish").click()
    page.get_by_label("Title", exact=True).fill("What is in a night light")
    kept(empty_server, "What is in a night light")
    page.get_by_role("button", name="Show the report here").click()
    expect(page.frame_locator("iframe").get_by_role("heading", level=1)).to_contain_text(
        "What is in a night light"
    )
    page.get_by_role("button", name="Publish into the folder").click()
    expect(page.get_by_text("Written:")).to_be_visible(timeout=120_000)
    written = {file.suffix for file in (empty_server.folder / "out").rglob("*") if file.is_file()}
    assert {".html", ".pdf", ".svg", ".csv", ".json"} <= written
