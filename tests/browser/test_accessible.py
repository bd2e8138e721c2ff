"""Pages that everyone can use: axe's rules on every place in both grounds, keys alone, touch, and less motion."""

import json
import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import ROOT, Opens
from tests.browser.serving import Server

AXE = ROOT / "web" / "node_modules" / "axe-core" / "axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
PLACES = {
    "evidence": "#readings",
    "boards": "[role=application]",
    "circuit": "g[data-part]",
    "findings": "#checks",
    "publish": "#exports ~ ul a",
    "shelf": "button.next",
}


def faults(page: Page) -> list[str]:
    """What axe finds wrong: the rule, and the places that break it."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    asked = json.dumps({"runOnly": {"type": "tag", "values": RULES}, "resultTypes": ["violations"]})
    found: list[dict[str, Any]] = page.evaluate(f"axe.run(document, {asked}).then((told) => told.violations)")
    return [
        f"{one['id']}: {node['target']} {node['failureSummary']}" for one in found for node in one["nodes"]
    ]


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("place", PLACES)
def test_a_place_keeps_the_rules(lure: Server, opened: Opens, place: str, theme: str) -> None:
    page = opened(lure, place, theme=theme, motion="reduce")
    expect(page.locator(PLACES[place]).first).to_be_visible(timeout=60_000)
    assert [] == faults(page)


RING = """() => {
  const light = (told) => {
    const [red, green, blue] = told.match(/[\\d.]+/g).map((one) => {
      const share = Number(one) / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  const focused = document.activeElement, style = getComputedStyle(focused);
  let behind = focused.parentElement;
  while (behind && /, 0\\)$|transparent/.test(getComputedStyle(behind).backgroundColor)) behind = behind.parentElement;
  const ground = getComputedStyle(behind ?? document.body).backgroundColor;
  const [one, other] = [light(style.outlineColor), light(ground)].sort((a, b) => b - a);
  const name = `${focused.tagName} ${focused.type ?? ""} ${focused.id || focused.textContent.trim().slice(0, 30)}`;
  return { name, shows: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
           contrast: (one + 0.05) / (other + 0.05), tag: focused.tagName, type: focused.type ?? "" };
}"""
"""What marks the control that has the focus: a ring of 2 px, and its contrast with the ground behind (WCAG 2.2, 1.4.11)."""


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("place", ["boards", "circuit"])
def test_the_focus_is_marked_on_every_control_that_tab_comes_to(
    lure: Server, opened: Opens, place: str, theme: str
) -> None:
    page = opened(lure, place, theme=theme, motion="reduce")
    expect(page.locator(PLACES[place]).first).to_be_visible(timeout=60_000)
    seen: set[tuple[str, str]] = set()
    faint: list[tuple[str, float]] = []
    for _ in range(40):
        page.keyboard.press("Tab")
        told = page.evaluate(RING)
        if told["tag"] == "BODY":
            break
        seen.add((told["tag"], told["type"]))
        if not told["shows"] or told["contrast"] < 3.0:
            faint.append((told["name"], told["contrast"]))
    assert [] == faint
    assert {("INPUT", "checkbox"), ("SELECT", "select-one")} <= seen
    assert place != "boards" or ("INPUT", "range") in seen


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_beginning_keeps_the_rules(empty_server: Server, opened: Opens, theme: str) -> None:
    page = opened(empty_server, theme=theme)
    expect(page.get_by_role("heading", name="A fresh dossier")).to_be_visible()
    assert [] == faults(page)


def test_an_empty_dossier_is_told_what_comes_first(empty_server: Server, opened: Opens) -> None:
    page = opened(empty_server)
    page.get_by_label("What is on the bench?").fill("Desk lamp")
    page.get_by_role("button", name="Begin the dossier").click()
    expect(page.get_by_text("Start with the box.")).to_be_visible()
    page.locator("body").press("4")
    expect(page.get_by_text("Nothing can follow yet.")).to_be_visible()
    # Where nothing was checked, nothing is said to have been found in order.
    expect(page.get_by_text("Nothing was found in what was checked.")).to_have_count(0)
    expect(page.get_by_text("All readings agree")).to_have_count(0)
    assert [] == faults(page)
    page.get_by_role("button", name="Write down a claim").click()
    expect(page.get_by_role("heading", name="Claims")).to_be_in_viewport()


def test_open_sheets_and_forms_keep_the_rules(lure: Server, opened: Opens) -> None:
    page = opened(lure, "evidence", motion="reduce")
    for opens in ("Write down a claim", "Write down a reading", "Tell an instrument", "Tell a trial"):
        page.get_by_role("button", name=opens).click()
    page.get_by_role("button", name=re.compile("^Change the claim")).first.click()
    assert [] == faults(page)
    for key in ("?", "f"):
        page.locator("body").press(key)
        expect(page.get_by_role("dialog")).to_be_visible()
        assert [] == faults(page)
        page.keyboard.press("Escape")
        expect(page.get_by_role("dialog")).to_be_hidden()
    page.goto(page.url.replace("evidence", "circuit"))
    page.locator("g[data-part=R10]").click()
    expect(page.get_by_role("complementary", name="Part R10")).to_be_visible()
    assert [] == faults(page)


def test_the_circuit_is_walked_by_keys_alone(lure: Server, opened: Opens) -> None:
    page = opened(lure, "evidence")
    page.locator("body").press("3")
    expect(page.locator("g[data-part]").first).to_be_visible()
    page.locator("g[data-part][tabindex='0']").focus()
    seen = set()
    for key in ("ArrowRight", "ArrowRight", "ArrowDown", "ArrowLeft", "ArrowUp"):
        page.keyboard.press(key)
        seen.add(page.evaluate("document.activeElement.dataset.part"))
    assert len(seen) > 2
    page.keyboard.press("Enter")
    held = page.evaluate("document.activeElement.dataset.part")
    expect(page.get_by_role("complementary", name=f"Part {held}")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.get_by_role("complementary", name=f"Part {held}")).to_have_count(0)
    before = page.get_by_label("Numbers are for").input_value()
    page.keyboard.press("]")
    assert before != page.get_by_label("Numbers are for").input_value()
    page.keyboard.press("f")
    page.keyboard.type("LED19")
    page.keyboard.press("Enter")
    expect(page.get_by_role("complementary", name="Part LED19")).to_be_visible()


def test_the_photo_is_walked_by_keys_alone(night_light: Server, opened: Opens) -> None:
    page = opened(night_light, "boards")
    photo = page.get_by_role("application", name="Photo of the front")
    expect(page.get_by_role("heading", name="Parts on this board")).to_be_visible()
    page.get_by_role("button", name="set a hole").click()
    photo.focus()
    for key in ("ArrowRight", "ArrowRight", "ArrowDown", "Shift+ArrowLeft", "Enter"):
        page.keyboard.press(key)
    expect(page.get_by_role("button", name="Take it back")).to_be_visible()
    photo.focus()
    page.keyboard.press("s")
    expect(page.get_by_role("application", name="Photo of the back")).to_be_visible()


def test_a_finger_opens_a_part(lure: Server, opened: Opens) -> None:
    page = opened(lure, "circuit", size=(1280, 800), touch=True)
    page.locator("g[data-part=R10]").tap()
    expect(page.get_by_role("complementary", name="Part R10")).to_be_visible()


def test_nothing_moves_for_those_who_asked_for_less(lure: Server, opened: Opens) -> None:
    page = opened(lure, "circuit", motion="reduce")
    expect(page.locator("g[data-part]").first).to_be_visible()
    moving = page.evaluate(
        "[...document.querySelectorAll('*')].filter((one) => getComputedStyle(one).transitionDuration !== '0s').length"
    )
    assert 0 == moving
    assert 0 == page.evaluate("document.getAnimations().length")
