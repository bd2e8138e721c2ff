"""From a traced photo to the drawing: parts placed by two clicks, told what they are, moved, and clicks that place nothing."""

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import FilePayload, Page, expect

from tests.browser.conftest import ROOT, Opens
from tests.browser.serving import Server
from tests.browser.test_hand_on_board import Hand, take, wait_for

DEMO = ROOT / "demos" / "night-light"
HEAD = """format = 2
[device]
title = "Night light, invented"
[boards.main]
title = "main board"
[[photos]]
file = "photos/main-front.jpg"
board = "main"
side = "front"
[[photos]]
file = "photos/main-back.jpg"
board = "main"
side = "back"
"""


@pytest.fixture
def copper_alone(tmp_path: Path) -> Iterator[Server]:
    """A board whose copper was found, and on which nobody placed a part."""
    folder = tmp_path / "traced"
    (folder / "boards").mkdir(parents=True)
    shutil.copytree(DEMO / "photos", folder / "photos")
    board = json.loads((DEMO / "boards" / "main.json").read_text(encoding="utf-8"))
    bare = {**board, "parts": [], "beeps": [], "wires": [], "net_names": {}}
    (folder / "boards" / "main.json").write_text(json.dumps(bare), encoding="utf-8")
    (folder / "dossier.toml").write_text(HEAD, encoding="utf-8")
    server = Server(folder, tmp_path)
    server.start()
    yield server
    server.end()


def pads_of(reference: str) -> list[tuple[float, float]]:
    """Middles of a part's pads on the demo's board [mm]."""
    board = json.loads((DEMO / "boards" / "main.json").read_text(encoding="utf-8"))
    part = next(one for one in board["parts"] if one["reference"] == reference)
    return [(pad["at_mm"][0], pad["at_mm"][1]) for pad in part["pads"]]


def placed_on_disk(server: Server) -> dict[str, Any]:
    board = json.loads((server.folder / "boards" / "main.json").read_text(encoding="utf-8"))
    return {one["reference"]: one for one in board.get("parts", [])}


def at_back(opened: Opens, server: Server, size: tuple[int, int] = (1440, 900), theme: str = "light") -> Page:
    """The back of the board, once the page knows all of it."""
    page = opened(server, "boards", size=size, theme=theme)
    expect(page.get_by_text(re.compile(r"^31\.0 mm × 24\.0 mm"))).to_be_visible(timeout=60_000)
    page.get_by_role("group", name="Side").get_by_role("button", name="back", exact=True).click()
    return page


def name_part(page: Page, reference: str, body: str) -> None:
    page.get_by_label("Body", exact=True).select_option(body)
    page.get_by_label("Part", exact=True).fill(reference)


def test_parts_placed_on_a_photo_are_drawn_once_it_is_said_what_they_are(
    copper_alone: Server, opened: Opens, pictures: Path
) -> None:
    page = at_back(opened, copper_alone)
    take(page, "place a part")
    hand = Hand(page, "main", "back")
    for reference in ("R6", "R5"):
        name_part(page, reference, "0805")
        for at in pads_of(reference):
            hand.click(*at)
        wait_for(lambda: reference in placed_on_disk(copper_alone), reference)  # noqa: B023
    untold = page.get_by_role("region", name="2 placed parts not told yet")
    expect(untold).to_be_visible()
    untold.get_by_role("button", name="say what it is R6").click()
    form = page.get_by_role("form", name="Say what R6 is")
    expect(form).to_contain_text("1 on R6.1, 2 on R6.2")
    expect(form.get_by_label(re.compile("Net of pin"))).to_have_count(0)
    expect(form.get_by_role("button", name="Draw R6")).to_be_disabled()
    form.get_by_label("Kind").select_option("resistor")
    expect(form.get_by_text("Still to say: resistance between the pins.")).to_be_visible()
    form.get_by_label("Resistance").fill("1k")
    page.screenshot(path=pictures / "board-say-what-it-is.png")
    form.get_by_role("button", name="Draw R6").click()
    expect(page.locator("g[data-part=R6]").first).to_be_attached()
    row = (copper_alone.folder / "dossier.toml").read_text(encoding="utf-8").partition("[parts.R6]")[2]
    assert "pins" not in row
    # The rest waits under Circuit as well, and the form for a typed part leads there.
    page.get_by_role("link", name="Circuit").click()
    expect(page.get_by_role("region", name="One placed part not told yet")).to_be_visible()
    page.get_by_role("button", name="Type a part").click()
    form = page.get_by_role("form", name="Add a part")
    expect(form.get_by_text("Still to say: resistance between the pins, the net of pin 1")).to_be_visible()
    form.get_by_label("Reference").fill("R5")
    form.get_by_role("button", name="say what it is").click()
    expect(page.get_by_role("form", name="Say what R5 is")).to_be_visible()


def test_what_is_printed_on_a_part_is_taken_for_the_value_that_it_means(
    copper_alone: Server, opened: Opens, pictures: Path
) -> None:
    page = at_back(opened, copper_alone, size=(1280, 720))
    take(page, "place a part")
    hand = Hand(page, "main", "back")
    for reference in ("R5", "R6"):
        name_part(page, reference, "0805")
        for at in pads_of(reference):
            hand.click(*at)
        wait_for(lambda: reference in placed_on_disk(copper_alone), reference)  # noqa: B023
    page.get_by_role("button", name="say what it is R6").first.click()
    form = page.get_by_role("form", name="Say what R6 is")
    expect(form.get_by_label("Kind")).to_be_focused()
    expect(form.get_by_label("Kind")).to_be_in_viewport()
    form.get_by_label("Kind").select_option("resistor")
    # Typed where the value goes, a print is refused as a value, and offered as what it means.
    form.get_by_label("Resistance").fill("103")
    expect(form.get_by_text("'103' is a value without unit")).to_be_visible()
    expect(form.get_by_role("button", name="Draw R6")).to_be_disabled()
    form.get_by_role("button", name="take 10 kΩ, as “103” means in print").click()
    expect(form.get_by_label("Resistance")).to_have_value("10 kΩ")
    expect(form.get_by_label("Printed on it")).to_have_value("103")
    page.screenshot(path=pictures / "board-print-as-value.png")
    form.get_by_role("button", name="Draw R6").click()
    expect(page.locator("g[data-part=R6]").first).to_be_attached()
    told = (copper_alone.folder / "dossier.toml").read_text(encoding="utf-8").partition("[parts.R6]")[2]
    assert 'value = "10 kΩ"' in told
    assert 'marking = "103"' in told
    # Typed as the print, its meanings can be taken too, whatever stood in the field of the value.
    page.get_by_role("button", name="say what it is R5").first.click()
    form = page.get_by_role("form", name="Say what R5 is")
    form.get_by_label("Kind").select_option("resistor")
    form.get_by_label("Resistance").fill("abc")
    form.get_by_label("Printed on it").fill("472")
    form.get_by_role("button", name=re.compile("take it as its value ?: 4.7 kΩ")).click()
    expect(form.get_by_label("Resistance")).to_have_value("4.7 kΩ")
    expect(form.get_by_role("button", name="Draw R5")).to_be_enabled()


def test_a_transistor_is_asked_which_pin_lies_on_which_pad(copper_alone: Server, opened: Opens) -> None:
    page = at_back(opened, copper_alone)
    take(page, "place a part")
    hand = Hand(page, "main", "back")
    name_part(page, "Q1", "SOT-23")
    first, _, last = pads_of("Q1")
    expect(page.get_by_text("Click the middle of its pad 1.")).to_be_visible()
    hand.click(*first)
    expect(page.get_by_text("Click the middle of pad 3 now.")).to_be_visible()
    hand.click(*last)
    page.get_by_role("region", name="placed part not told yet").get_by_role("button").first.click()
    form = page.get_by_role("form", name="Say what Q1 is")
    form.get_by_label("Kind").select_option("npn")
    for land, pin in (("1", "base"), ("2", "emitter"), ("3", "collector")):
        form.get_by_label(re.compile(f"^Pin on pad {land},")).select_option(pin)
    form.get_by_role("button", name="Draw Q1").click()
    expect(page.locator("g[data-part=Q1]").first).to_be_attached()
    told = (copper_alone.folder / "dossier.toml").read_text(encoding="utf-8")
    assert 'base = "1"' in told


def test_a_click_before_part_and_body_are_named_sets_nothing(copper_alone: Server, opened: Opens) -> None:
    page = at_back(opened, copper_alone)
    take(page, "place a part")
    hand = Hand(page, "main", "back")
    hand.click(10.0, 10.0)
    expect(page.get_by_text("Nothing was set. Say first which part it is, and in which body")).to_be_visible()
    name_part(page, "R6", "0805")
    # The next click is the first one: the stray one waits nowhere.
    first, second = pads_of("R6")
    hand.click(*first)
    expect(page.get_by_text("Click the middle of pad 2 now.")).to_be_visible()
    hand.click(*second)
    wait_for(lambda: "R6" in placed_on_disk(copper_alone), "R6")
    at = placed_on_disk(copper_alone)["R6"]["at_mm"]
    assert abs(at[0] - (first[0] + second[0]) / 2) < 0.2


def test_clicks_too_far_apart_place_nothing_and_tell_both_distances(
    copper_alone: Server, opened: Opens, pictures: Path
) -> None:
    page = at_back(opened, copper_alone)
    take(page, "place a part")
    hand = Hand(page, "main", "back")
    name_part(page, "R6", "0805")
    hand.click(5.0, 12.0)
    hand.click(25.0, 12.0)
    refused = page.get_by_text(re.compile(r"Not placed: the clicks lie (20\.0|19\.9)\d mm apart"))
    expect(refused).to_contain_text("pads 1 and 2 of 0805 lie 1.90 mm apart")
    page.screenshot(path=pictures / "board-clicks-refused.png")
    assert {} == placed_on_disk(copper_alone)
    expect(page.get_by_label("Part", exact=True)).to_have_value("R6")


def test_a_part_named_again_is_moved_with_a_word_and_can_be_put_back(
    night_light: Server, opened: Opens
) -> None:
    page = at_back(opened, night_light)
    before = placed_on_disk(night_light)["R6"]["at_mm"]
    where = f"{before[0]:.1f} mm, {before[1]:.1f} mm on the back"
    take(page, "place a part")
    hand = Hand(page, "main", "back")
    name_part(page, "R6", "0805")
    expect(page.get_by_text(f"R6 lies at {where} already; two clicks move it.")).to_be_visible()
    hand.click(12.0, 20.0)
    hand.click(13.9, 20.0)
    expect(page.get_by_role("status").get_by_text(f"R6 moved from {where}.")).to_be_visible()
    wait_for(lambda: placed_on_disk(night_light)["R6"]["at_mm"] != before, "the move")
    page.get_by_role("button", name="put it back").click()
    wait_for(lambda: placed_on_disk(night_light)["R6"]["at_mm"] == before, "the place before")


TOOLS = (
    "say what is there", "follow copper", "place a part", "set a hole", "measure", "probe", "draw the outline",
)  # fmt: skip


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("size", [(1440, 900), (1280, 720), (1024, 768)])
def test_what_a_tool_asks_is_in_sight_above_the_photo_which_stays_where_it_is(
    night_light: Server, opened: Opens, pictures: Path, size: tuple[int, int], theme: str
) -> None:
    page = at_back(opened, night_light, size, theme)
    photo = page.get_by_role("application", name="Photo of the back of main")
    stands = photo.bounding_box()
    assert stands is not None
    foot = page.get_by_role("contentinfo").bounding_box()
    assert foot is not None
    assert stands["y"] + stands["height"] <= foot["y"]
    asked = {"say what is there": ("What is there", "Width of the brush"), "place a part": ("Part", "Body")}
    for tool in TOOLS:
        take(page, tool)
        assert stands == photo.bounding_box(), tool
        for label in asked.get(tool, ()):
            field = page.get_by_label(label, exact=True).bounding_box()
            assert field is not None
            assert field["y"] + field["height"] <= stands["y"], label
    take(page, "say what is there")
    page.get_by_label("What is there", exact=True).select_option("bare copper")
    page.screenshot(path=pictures / f"board-tool-{size[0]}-{theme}.png")


def test_a_measured_distance_has_its_uncertainty_and_says_of_what(night_light: Server, opened: Opens) -> None:
    page = at_back(opened, night_light)
    take(page, "measure")
    hand = Hand(page, "main", "back")
    hand.click(5.0, 5.0)
    hand.click(25.0, 20.0)
    told = page.get_by_text(re.compile(r"^\d+\.\d+ ± 0\.\d+ mm in a straight line$"))
    expect(told).to_be_visible()
    length, spread = (float(one) for one in re.findall(r"\d+\.\d+", told.inner_text()))
    side = hand.here
    pixel = 1 / side["photo_px_per_mm"]
    expected = 2 * ((side["scale_uncertainty"] * length) ** 2 + 2 * pixel**2) ** 0.5
    assert abs(spread - expected) < 0.06 * expected
    expect(page.get_by_text("and a pixel of the photo")).to_be_visible()


def test_a_board_size_is_understood_under_its_field_at_once(empty_server: Server, opened: Opens) -> None:
    page = opened(empty_server)
    page.get_by_label("What is on the bench?").fill("Night light")
    page.get_by_role("button", name="Begin the dossier").click()
    page.get_by_role("link", name="Boards").click()
    page.get_by_label("What board is it?").fill("main board")
    page.get_by_label("Width in mm, front").fill("46 cm")
    expect(page.get_by_text("understood: 460 mm")).to_be_visible()
    page.get_by_label("Height in mm").fill("thirty")
    expect(
        page.get_by_text("'thirty' does not start with a number; write millimetres, such as 42.5")
    ).to_be_visible()
    expect(page.get_by_text("Still to say: lengths that can be understood.")).to_be_visible()
    expect(page.get_by_role("button", name="Begin the board")).to_be_disabled()
    page.get_by_label("Height in mm").fill("30")
    page.get_by_role("button", name="Begin the board").click()
    expect(page.get_by_text("460.0 mm × 30.0 mm")).to_be_visible()
    # What is no photo is called by the name that its sender knows, without a place on the disk.
    page.locator("input[type=file]").first.set_input_files(
        files=[FilePayload(name="notphoto.jpg", mimeType="image/jpeg", buffer=b"a text")]
    )
    said = page.get_by_role("region", name="Messages")
    expect(said).to_contain_text("notphoto.jpg was not taken in: this is no JPEG, PNG, TIFF or HEIC picture")
    expect(said).not_to_contain_text("-look")
    expect(said).not_to_contain_text(str(empty_server.folder))


def test_nothing_is_said_of_a_photo_that_is_not_laid_on_its_board(
    copper_alone: Server, opened: Opens
) -> None:
    board = json.loads((copper_alone.folder / "boards" / "main.json").read_text(encoding="utf-8"))
    bare = {
        **board,
        "sides": [{"side": "back", "photo": "photos/main-back.jpg", "px_per_mm": 20.0}],
        "holes": [],
    }
    (copper_alone.folder / "boards" / "main.json").write_text(json.dumps(bare), encoding="utf-8")
    page = at_back(opened, copper_alone)
    take(page, "say what is there")
    asks = page.get_by_role("group", name="What your hand does").locator("+ .tools").get_by_role("status")
    expect(asks).to_contain_text("Lay the photo on the board first")
    photo = page.get_by_role("application", name="Photo of the back of main")
    expect(photo.locator("canvas").first).to_be_visible()
    box = photo.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x - 50, y)
    page.mouse.down()
    page.mouse.move(x + 50, y, steps=6)
    page.mouse.up()
    expect(asks).to_contain_text("Nothing was drawn. Lay the photo on the board first")
    page.reload()
    kept = json.loads((copper_alone.folder / "boards" / "main.json").read_text(encoding="utf-8"))
    assert not any(side.get("strokes") for side in kept["sides"])


def test_a_doubt_about_copper_leads_to_its_place(copper_alone: Server, opened: Opens, pictures: Path) -> None:
    page = at_back(opened, copper_alone)
    page.locator("summary", has_text="about what the photos show").click()
    page.get_by_role("button", name=re.compile(r"^look there")).first.click()
    expect(page.get_by_role("application", name=re.compile("Photo of the"))).to_be_focused()
    page.wait_for_timeout(500)
    page.screenshot(path=pictures / "board-doubt.png")
