"""The phone beside the board: let in by a code that opens once, it sends photos and walks the probe plan, and nothing else."""

import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from lidoff.bench.serving import own_address
from tests.browser.conftest import ROOT, Opens, copy_of_demo
from tests.browser.serving import Server
from tests.browser.test_accessible import faults

PHOTO = ROOT / "demos" / "night-light" / "photos" / "main-front.jpg"
PHONE = (390, 844)

pytestmark = pytest.mark.skipif(
    not own_address(), reason="this computer is in no network by which a phone could come"
)


@pytest.fixture
def open_house(tmp_path: Path) -> Iterator[Server]:
    """A workbench that listens on the network too."""
    server = Server(copy_of_demo("night-light", tmp_path), tmp_path, "--phone")
    server.start()
    yield server
    server.end()


def ask_for_a_code(page: Page) -> str:
    """Address that the workbench shows to the phone's camera."""
    page.get_by_role("button", name="Photos by phone").click()
    sheet = page.get_by_role("dialog", name="Photos by phone")
    sheet.get_by_role("button", name="Show a code").click()
    expect(sheet.get_by_alt_text(re.compile("point the phone's camera at"))).to_be_visible()
    return sheet.locator("figcaption b").inner_text()


def held_phone(opened: Opens, server: Server) -> Page:
    """A page of its own that knows nothing of the workbench."""
    page = opened(server, size=PHONE, touch=True)
    page.context.clear_cookies()
    return page


def status_of(context: BrowserContext, address: str) -> int:
    return context.request.get(address, fail_on_status_code=False).status


def test_a_phone_sends_a_photo_and_answers_the_probe_plan(
    open_house: Server, opened: Opens, pictures: Path
) -> None:
    bench = opened(open_house, "evidence")
    address = ask_for_a_code(bench)
    phone = held_phone(opened, open_house)
    phone.goto(address)
    expect(phone.get_by_role("heading", name="Send photos")).to_be_visible()
    expect(bench.get_by_text("A phone is in.")).to_be_visible()
    assert [] == faults(phone)

    phone.get_by_label("What they show").select_option("front main")
    phone.get_by_label("Take a photo").set_input_files(
        {"name": "from the phone.jpg", "mimeType": "image/jpeg", "buffer": PHOTO.read_bytes()}
    )
    expect(phone.get_by_text("one photo in the dossier.")).to_be_visible()
    assert PHOTO.read_bytes() in [file.read_bytes() for file in (open_house.folder / "photos").iterdir()]

    phone.get_by_role("button", name="Show what to probe").click()
    to_go = phone.get_by_text(re.compile(r"^\d+ to go$"))
    expect(to_go).to_be_visible()
    before = int(to_go.inner_text().split()[0])
    pair = phone.locator(".pair").inner_text()
    phone.screenshot(path=pictures / "phone-probe.png")
    phone.get_by_role("button", name="it beeped").click()
    expect(phone.locator(".pair")).not_to_have_text(pair)
    expect(to_go).not_to_have_text(f"{before} to go")
    first, second = pair.split(" and ")
    board = (open_house.folder / "boards" / "main.json").read_text(encoding="utf-8")
    assert f'"{first}"' in board
    assert f'"{second}"' in board
    # The workbench says whose change it was, and takes it back.
    bench.keyboard.press("Escape")
    bench.get_by_role("button", name="All changes").click()
    expect(bench.get_by_role("dialog", name="All changes").get_by_role("row").nth(1)).to_contain_text(
        "a phone"
    )


def test_a_code_opens_once_and_only_what_a_phone_may_do(open_house: Server, opened: Opens) -> None:
    bench = opened(open_house, "evidence")
    address = ask_for_a_code(bench)
    root = address.split("/phone")[0]
    phone = held_phone(opened, open_house)
    phone.goto(address)
    expect(phone.get_by_role("heading", name="Send photos")).to_be_visible()

    # A second phone with the same code stays outside.
    other = held_phone(opened, open_house)
    other.goto(address)
    expect(other.get_by_text("wrong, was used, or has run out")).to_be_visible()
    assert 401 == status_of(other.context, f"{root}/api/phone/boards")

    # The phone that is in may ask for its own, and for nothing of the workbench's.
    assert 200 == status_of(phone.context, f"{root}/api/phone/boards")
    for path in ("/api/state", "/api/analysis", "/api/circuit", "/api/history", "/api/exports", "/evidence"):
        assert status_of(phone.context, root + path) in {401, 403}, path
    for path in ("/api/edits", "/api/undo", "/api/phone"):
        answer = phone.context.request.post(root + path, data={"on": True}, fail_on_status_code=False)
        assert answer.status in {401, 403}, path
    log = phone.context.request.put(
        f"{root}/api/files/logs/a.csv", data="t,u\n0,1\n", fail_on_status_code=False
    )
    assert log.status in {401, 403}


def test_a_phone_that_was_put_out_is_told_so(open_house: Server, opened: Opens) -> None:
    bench = opened(open_house, "evidence")
    address = ask_for_a_code(bench)
    phone = held_phone(opened, open_house)
    phone.goto(address)
    expect(phone.get_by_role("heading", name="Send photos")).to_be_visible()
    bench.get_by_role("dialog").get_by_role("button", name="Let no phone in any more").click()
    expect(bench.get_by_role("button", name="Show a code")).to_be_visible()
    phone.reload()
    expect(phone.get_by_role("heading", name="Send photos")).to_have_count(0)


def test_a_code_that_ran_out_opens_nothing(tmp_path: Path, opened: Opens) -> None:
    folder = copy_of_demo("night-light", tmp_path)
    server = Server(folder, tmp_path, program=[sys.executable, "-m", "tests.browser.short_code"])
    server.start()
    try:
        bench = opened(server, "evidence")
        address = ask_for_a_code(bench)
        # The sheet itself says when the time is over, and offers a fresh code.
        expect(bench.get_by_text("the code has run out")).to_be_visible()
        expect(bench.get_by_role("button", name="Show a code")).to_be_visible()
        phone = held_phone(opened, server)
        answer = phone.context.request.get(address, fail_on_status_code=False)
        assert answer.status in {401, 403, 421}
    finally:
        server.end()


def test_where_no_phone_can_come_the_sheet_says_why(night_light: Server, opened: Opens) -> None:
    page = opened(night_light, "evidence")
    page.get_by_role("button", name="Photos by phone").click()
    sheet = page.get_by_role("dialog", name="Photos by phone")
    expect(sheet.get_by_text("start it with --phone")).to_be_visible()
    expect(sheet.get_by_role("button", name="Show a code")).to_be_disabled()
    assert [] == faults(page)
