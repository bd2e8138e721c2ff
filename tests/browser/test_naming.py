"""Nets are named on the photo: what was told of them follows, and none becomes another without being asked."""

import json
import tomllib
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.conftest import Opens
from tests.browser.serving import Server
from tests.browser.test_hand_on_board import Hand, at_boards, wait_for


def click_pad(page: Page, pin: str, side: str) -> None:
    hand = Hand(page, "main", side)
    pads = [pad for part in hand.told["parts"] for pad in part["pads"]]
    pad = next(pad for pad in pads if pad["pin"] == pin and pad["side"] == side)
    hand.click(*pad["at_mm"])


def side_of(server: Server, pin: str) -> str:
    board = json.loads((server.folder / "boards" / "main.json").read_text(encoding="utf-8"))
    placed = next(part for part in board["parts"] if part["reference"] == pin.partition(".")[0])
    return str(placed["side"])


def board_on_disk(server: Server) -> dict[str, Any]:
    return dict(json.loads((server.folder / "boards" / "main.json").read_text(encoding="utf-8")))


def voltages(server: Server) -> list[str]:
    told = tomllib.loads((server.folder / "dossier.toml").read_text(encoding="utf-8"))
    return [row["voltage"] for row in told["readings"].values() if "voltage" in row]


def call(page: Page, name: str) -> None:
    field = page.get_by_label("Call this net")
    field.fill(name)
    field.press("Enter")


def test_a_net_named_anew_on_the_photo_takes_its_readings_along(
    night_light: Server, opened: Opens, pictures: Path
) -> None:
    page = at_boards(opened, night_light, side_of(night_light, "R6.2"))
    click_pad(page, "R6.2", side_of(night_light, "R6.2"))
    before = voltages(night_light)
    call(page, "basis ü")
    expect(page.get_by_label("What is held").get_by_role("heading")).to_have_text("basis ü")
    wait_for(lambda: "base" not in voltages(night_light), "the readings' new net")
    assert before.count("base") == voltages(night_light).count("basis ü") > 0
    expect(page.get_by_text("Nothing can be worked out")).to_have_count(0)
    page.screenshot(path=pictures / "net-named.png")


def test_copper_of_a_diode_is_named_at_its_land(night_light: Server, opened: Opens) -> None:
    page = at_boards(opened, night_light, side_of(night_light, "LED2.K"))
    click_pad(page, "LED2.K", side_of(night_light, "LED2.K"))
    call(page, "middle")
    expect(page.get_by_label("What is held").get_by_role("heading")).to_have_text("middle")
    wait_for(
        lambda: board_on_disk(night_light)["net_names"].get("LED2.K") == "middle", "the name of the copper"
    )


def test_a_name_that_is_taken_is_asked_about_before_two_nets_are_one(
    night_light: Server, opened: Opens, pictures: Path
) -> None:
    page = at_boards(opened, night_light, side_of(night_light, "R4.1"))
    click_pad(page, "R4.1", side_of(night_light, "R4.1"))
    call(page, "rail")
    question = page.get_by_role("group", name="Which net is meant")
    expect(question).to_contain_text("There is a net rail already")
    page.screenshot(path=pictures / "net-asked.png")
    assert "sense" in board_on_disk(night_light)["net_names"].values()
    question.get_by_role("button", name="Leave it as it is").click()
    expect(page.get_by_label("Call this net")).to_have_value("sense")
    call(page, "rail")
    question.get_by_role("button", name="Yes, it is rail").click()
    expect(page.get_by_label("What is held").get_by_role("heading")).to_have_text("rail")
    wait_for(
        lambda: "stated" in [one["kind"] for one in board_on_disk(night_light)["wires"]], "the stated join"
    )
    page.get_by_role("button", name="Take it back").click()
    wait_for(lambda: not board_on_disk(night_light)["wires"], "the step back")


def test_a_traced_net_is_named_under_circuit_as_well(night_light: Server, opened: Opens) -> None:
    page = at_boards(opened, night_light, side_of(night_light, "R6.2"))
    click_pad(page, "R6.2", side_of(night_light, "R6.2"))
    page.get_by_label("What is held").get_by_role("button", name="all of it").click()
    field = page.get_by_label("Net base").get_by_label("Name")
    field.fill("kicker")
    field.press("Enter")
    expect(page.get_by_label("Net kicker")).to_be_visible()
    wait_for(lambda: "kicker" in board_on_disk(night_light)["net_names"].values(), "the name of the copper")
