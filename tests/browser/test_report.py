"""The report and the walk in a browser: the rules of axe, no line beyond a phone edge, parts that light up, keys."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from lidoff.dossier import analyse, load_dossier
from lidoff.report import html_of, pages_of, stills_of, story_of, walk_html
from lidoff.report.writing import boards_of
from tests.browser.conftest import ROOT

AXE = ROOT / "web" / "node_modules" / "axe-core" / "axe.min.js"
DEMO = ROOT / "demos" / "night-light"


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("report")
    analysis = analyse(load_dossier(DEMO))
    story = story_of(analysis, DEMO)
    (folder / "report.html").write_text(
        html_of(pages_of(analysis, boards_of(analysis, DEMO))), encoding="utf-8"
    )
    (folder / "walk.html").write_text(walk_html(story, stills_of(story)), encoding="utf-8")
    return folder


@pytest.fixture
def page(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A page that may reach nothing but its own file, and that has not complained at the end."""
    told: dict[str, Any] = getattr(request, "param", {})
    complaints: list[str] = []
    context = browser.new_context(
        viewport={"width": told.get("width", 1280), "height": 900}, color_scheme=told.get("theme", "light")
    )
    context.set_offline(True)
    opened = context.new_page()
    opened.on("console", lambda message: complaints.append(message.text))
    opened.on("pageerror", lambda error: complaints.append(str(error)))
    yield opened
    context.close()
    assert [] == complaints


@pytest.mark.parametrize(
    "page", [{"theme": "light"}, {"theme": "dark"}], indirect=True, ids=["light", "dark"]
)
@pytest.mark.parametrize("name", ["report.html", "walk.html"])
def test_a_page_keeps_the_rules(page: Page, files: Path, name: str) -> None:
    page.goto((files / name).as_uri())
    page.evaluate(AXE.read_text(encoding="utf-8"))
    asked = json.dumps({"resultTypes": ["violations"]})
    found: list[dict[str, Any]] = page.evaluate(f"axe.run(document, {asked}).then((told) => told.violations)")
    assert [] == [f"{one['id']}: {node['target']}" for one in found for node in one["nodes"]]


@pytest.mark.parametrize("page", [{"width": 320}, {"width": 390}, {"width": 1500}], indirect=True)
def test_nothing_stands_beyond_the_edge(page: Page, files: Path) -> None:
    page.goto((files / "report.html").as_uri())
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_a_part_under_the_pointer_lights_up_on_board_schematic_and_table(page: Page, files: Path) -> None:
    page.goto((files / "report.html").as_uri())
    page.locator("svg.board [data-part=D5]").first.dispatch_event("pointerover", {"bubbles": True})
    lit = page.locator(".lit[data-part]")
    assert {"D5"} == set(lit.evaluate_all("found => found.map((one) => one.dataset.part)"))
    tags = set(lit.evaluate_all("found => found.map((one) => one.tagName.toLowerCase())"))
    assert {"g", "th"} <= tags
    page.locator("h1").dispatch_event("pointerover", {"bubbles": True})
    assert 0 == lit.count()


def test_a_net_under_the_pointer_lights_its_copper(page: Page, files: Path) -> None:
    page.goto((files / "report.html").as_uri())
    page.locator("svg.schematic [data-net=rail]").first.dispatch_event("pointerover", {"bubbles": True})
    assert page.locator("svg.board .copper.lit").count() > 0


def test_the_walk_steps_with_keys_and_buttons(page: Page, files: Path) -> None:
    page.goto((files / "walk.html").as_uri())
    number = (
        "() => [...document.querySelectorAll('.still')].findIndex((one) => one.classList.contains('shown'))"
    )
    count = page.locator(".still").count()
    places = []
    for key in ("ArrowRight", "PageDown", " ", "ArrowLeft", "End", "ArrowRight", "Home"):
        page.keyboard.press(key)
        places.append(page.evaluate(number))
    assert [1, 2, 3, 2, count - 1, count - 1, 0] == places
    page.get_by_role("button", name="On").click()
    assert 1 == page.evaluate(number)


def test_without_script_every_still_can_be_read(browser: Browser, files: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    opened = context.new_page()
    opened.goto((files / "walk.html").as_uri())
    assert opened.locator(".still").last.is_visible()
    context.close()


def test_printing_leaves_out_what_is_for_the_screen(page: Page, files: Path) -> None:
    page.goto((files / "report.html").as_uri())
    page.emulate_media(media="print")
    assert not page.locator("nav").is_visible()
    assert page.locator("h1").is_visible()
