"""What a hand does on the photo by mouse: strokes, cuts and bridges, following copper, distances between places."""

import json
import re
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.conftest import Opens
from tests.browser.serving import Server

FITTED_PX = 16
"""Paper left round a photo that is shown whole [px]."""


class Hand:
    """A mouse over the photo of a side that is shown whole; places are millimetres on the board, as from the front."""

    def __init__(self, page: Page, board: str, side: str) -> None:
        self.page = page
        self.photo = page.get_by_role("application", name=f"Photo of the {side} of {board}")
        expect(self.photo).to_be_visible()
        told = page.request.get(f"{root(page)}/api/boards/{board}").json()
        here = next(one for one in told["sides"] if one["side"] == side)
        self.told = told
        self.here = here
        self._size = (here["width"] / here["px_per_mm"], here["height"] / here["px_per_mm"])
        self._mirrored = side == "back"
        page.get_by_role("button", name="all of it", exact=True).click()

    def pixel(self, x: float, y: float) -> tuple[float, float]:
        box = self.photo.bounding_box()
        assert box is not None
        width, height = self._size
        scale = min((box["width"] - 2 * FITTED_PX) / width, (box["height"] - 2 * FITTED_PX) / height)
        across = (x - width / 2) * (-scale if self._mirrored else scale)
        return box["x"] + box["width"] / 2 + across, box["y"] + box["height"] / 2 + (y - height / 2) * scale

    def click(self, x: float, y: float) -> None:
        # Two clicks that follow each other at once would be one double click, which comes closer.
        self.page.wait_for_timeout(350)
        self.page.mouse.click(*self.pixel(x, y))

    def draw(self, *places: tuple[float, float]) -> None:
        first, *others = (self.pixel(*place) for place in places)
        self.page.mouse.move(*first)
        self.page.mouse.down()
        for place in others:
            self.page.mouse.move(*place, steps=8)
        self.page.mouse.up()


def root(page: Page) -> str:
    return re.sub(r"(https?://[^/]+).*", r"\1", page.url)


def strokes_on_disk(server: Server, side: str) -> list[dict[str, Any]]:
    board = json.loads((server.folder / "boards" / "main.json").read_text(encoding="utf-8"))
    return next(list(one.get("strokes", [])) for one in board["sides"] if one["side"] == side)


def wait_for(true: Callable[[], bool], what: str) -> None:
    until = time.monotonic() + 30
    while not true():
        assert time.monotonic() < until, f"{what} never came true"
        time.sleep(0.05)


def at_boards(opened: Opens, server: Server, side: str) -> Page:
    page = opened(server, "boards", size=(1440, 1000))
    expect(page.get_by_role("heading", name="Parts on this board")).to_be_visible()
    page.get_by_role("group", name="Side").get_by_role("button", name=side, exact=True).click()
    return page


def take(page: Page, tool: str) -> None:
    page.get_by_role("group", name="What your hand does").get_by_role("button", name=tool, exact=True).click()


def test_strokes_cuts_and_bridges_go_where_the_mouse_drew_them(
    night_light: Server, opened: Opens, pictures: Path
) -> None:
    page = at_boards(opened, night_light, "front")
    hand = Hand(page, "main", "front")
    before = len(strokes_on_disk(night_light, "front"))
    take(page, "say what is there")
    said = page.get_by_label("What is there")
    for number, (word, line) in enumerate(
        (
            ("covered copper", ((20.0, 4.0), (26.0, 4.0))),
            ("cut", ((14.0, 10.0), (14.0, 13.0))),
            ("bridge", ((4.0, 20.0), (9.0, 20.0), (9.0, 22.0))),
        ),
        start=1,
    ):
        said.select_option(word)
        hand.draw(*line)
        wait_for(lambda: len(strokes_on_disk(night_light, "front")) == before + number, word)  # noqa: B023
        stroke = strokes_on_disk(night_light, "front")[-1]
        assert word == stroke["says"]
        ends = (stroke["points_mm"][0], stroke["points_mm"][-1])
        for drawn, kept in zip((line[0], line[-1]), ends, strict=True):
            assert max(abs(drawn[0] - kept[0]), abs(drawn[1] - kept[1])) < 0.15, (
                f"{word}: {drawn} became {kept}"
            )
    page.screenshot(path=pictures / "board-strokes.png")
    # What was said has not been used yet, and the page says how.
    expect(page.get_by_text("Your strokes hold where they lie;")).to_be_visible()
    page.get_by_role("button", name="Take it back").click()
    wait_for(lambda: len(strokes_on_disk(night_light, "front")) == before + 2, "taking the bridge back")


def test_a_stroke_on_the_turned_back_lands_where_the_eye_saw_it(night_light: Server, opened: Opens) -> None:
    page = at_boards(opened, night_light, "back")
    hand = Hand(page, "main", "back")
    before = len(strokes_on_disk(night_light, "back"))
    take(page, "say what is there")
    hand.draw((6.0, 5.0), (12.0, 5.0))
    wait_for(lambda: len(strokes_on_disk(night_light, "back")) == before + 1, "the stroke")
    first, last = strokes_on_disk(night_light, "back")[-1]["points_mm"]
    assert abs(first[0] - 6.0) < 0.15
    assert abs(last[0] - 12.0) < 0.15


def middle(pad: dict[str, Any]) -> tuple[float, float]:
    corners = pad["corners_mm"]
    return sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners)


def test_copper_is_followed_from_a_click(night_light: Server, opened: Opens) -> None:
    page = at_boards(opened, night_light, "back")
    hand = Hand(page, "main", "back")
    pads = [
        pad for part in hand.told["parts"] for pad in part["pads"] if pad["side"] == "back" and pad["net"]
    ]
    nets: dict[str, list[dict[str, Any]]] = {}
    for pad in pads:
        nets.setdefault(pad["net"], []).append(pad)
    name, on_it = next((name, on_it) for name, on_it in nets.items() if len(on_it) > 2)
    take(page, "follow copper")
    hand.click(*middle(on_it[0]))
    found = page.get_by_text(re.compile(f"^Net {re.escape(name)}: reaches"))
    expect(found).to_be_visible()
    for pad in on_it:
        expect(found).to_contain_text(pad["pin"])
    # Followed copper is held: the drawing beside it lights the same net.
    expect(page.get_by_role("complementary", name="What is held")).to_contain_text(name)
    expect(page.locator(f"g.lit[data-net='{name}']").first).to_be_attached()


def test_two_clicks_measure_a_distance(night_light: Server, opened: Opens) -> None:
    page = at_boards(opened, night_light, "front")
    hand = Hand(page, "main", "front")
    take(page, "measure")
    hand.click(5.0, 5.0)
    hand.click(25.0, 20.0)
    told = page.get_by_text(re.compile(r"mm in a straight line$"))
    expect(told).to_be_visible()
    measured = float(told.inner_text().split()[0])
    assert abs(measured - 25.0) < 0.2


def test_two_pads_are_probed_by_mouse(night_light: Server, opened: Opens) -> None:
    page = at_boards(opened, night_light, "back")
    hand = Hand(page, "main", "back")
    pads = {pad["pin"]: pad for part in hand.told["parts"] for pad in part["pads"] if pad["side"] == "back"}
    take(page, "probe")
    hand.click(*middle(pads["R6.1"]))
    hand.click(*middle(pads["R6.2"]))
    expect(page.get_by_text("Probes on R6.1 and R6.2:")).to_be_visible()
    page.get_by_role("button", name="it stayed silent").click()
    expect(page.get_by_text("one probe done")).to_be_visible()


def tints(page: Page) -> str:
    """Shares of the view that the legend tells, class by class."""
    group = page.get_by_role("group", name="What everything in view is taken for")
    return " ".join(group.get_by_role("listitem").all_inner_texts())


def pixels_of(page: Page, hand: Hand, at: tuple[float, float]) -> bytes:
    """What is painted on the photo round a place [mm]."""
    x, y = hand.pixel(*at)
    return page.screenshot(clip={"x": x - 12, "y": y - 12, "width": 24, "height": 24})


def test_a_stroke_shows_at_once_what_everything_is_taken_for(
    night_light: Server, opened: Opens, pictures: Path
) -> None:
    page = at_boards(opened, night_light, "back")
    plain = tints(page)
    take(page, "say what is there")
    legend = page.get_by_role("group", name="What everything in view is taken for").get_by_role("listitem")
    expect(legend.first).to_be_visible(timeout=120_000)
    assert ("", True) == (plain, "covered copper" in tints(page))
    hand = Hand(page, "main", "back")
    page.wait_for_timeout(600)
    before, spot = tints(page), pixels_of(page, hand, (25.0, 4.0))
    page.get_by_label("What is there", exact=True).select_option("body")
    page.get_by_label("Width of the brush").fill("2 mm")
    page.get_by_label("Width of the brush").press("Enter")
    hand.draw((23.0, 4.0), (27.0, 4.0))
    wait_for(lambda: tints(page) != before, "the stroke's new classes")
    page.mouse.move(5, 5)
    page.screenshot(path=pictures / "board-classes.png")
    painted = tints(page)
    assert spot != pixels_of(page, hand, (25.0, 4.0))
    # Another page on the same dossier shows the same, and so does this one once the stroke is taken back.
    other = at_boards(opened, night_light, "back")
    take(other, "say what is there")
    wait_for(lambda: tints(other) == painted, "the same classes on another page")
    page.get_by_role("button", name="Take it back").click()
    wait_for(lambda: tints(page) == before, "the classes before the stroke")
    wait_for(lambda: tints(other) == before, "the classes before the stroke on the other page")
    # By keyboard: C on the photo takes the tints away; another tool does so as well.
    hand.photo.focus()
    page.keyboard.press("c")
    expect(legend.first).to_be_hidden()
    expect(page.get_by_label("show at once what everything in view is taken for")).not_to_be_checked()
    page.keyboard.press("c")
    expect(legend.first).to_be_visible()
    take(page, "look")
    expect(legend.first).to_be_hidden()


def test_a_pause_in_a_stroke_shows_what_it_makes_so_far(night_light: Server, opened: Opens) -> None:
    page = at_boards(opened, night_light, "back")
    take(page, "say what is there")
    legend = page.get_by_role("group", name="What everything in view is taken for").get_by_role("listitem")
    expect(legend.first).to_be_visible(timeout=120_000)
    hand = Hand(page, "main", "back")
    page.get_by_label("What is there", exact=True).select_option("body")
    page.get_by_label("Width of the brush").fill("2 mm")
    page.get_by_label("Width of the brush").press("Enter")
    page.wait_for_timeout(600)
    before, kept = tints(page), len(strokes_on_disk(night_light, "back"))
    page.mouse.move(*hand.pixel(23.0, 4.0))
    page.mouse.down()
    page.mouse.move(*hand.pixel(27.0, 4.0), steps=5)
    wait_for(lambda: tints(page) != before, "the classes of a stroke that is not ended")
    assert kept == len(strokes_on_disk(night_light, "back"))
    page.mouse.up()
    wait_for(lambda: len(strokes_on_disk(night_light, "back")) == kept + 1, "the stroke")


def test_a_side_without_copper_says_why_nothing_is_shown(night_light: Server, opened: Opens) -> None:
    page = at_boards(opened, night_light, "front")
    take(page, "say what is there")
    expect(page.get_by_text("the front of main is said to carry no copper")).to_be_visible()
