"""Circuits held against each other from the bench: another dossier's, an earlier state's, the textbook's."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.bench.running import Running, running
from tests.shelf.build import lamp_text, shelf_of


@pytest.fixture(scope="module")
def lamps(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """Server of a lamp that was changed once, beside another on the shelf."""
    shelf = shelf_of(
        tmp_path_factory.mktemp("shelf"),
        {"lamp": lamp_text(), "shop/lamp-2": lamp_text("Lamp two (invented)", ohms="220 Ω", net="vbus")},
    )
    with running(shelf / "lamp") as server:
        server.edit({"kind": "set", "path": ["parts", "R1", "value"], "value": "180 Ω"}).raise_for_status()
        server.edit({"kind": "set", "path": ["device", "title"], "value": "Other"}).raise_for_status()
        yield server


def compared(server: Running, **asked: object) -> dict[str, Any]:
    """Answer to a comparison."""
    return dict(server.client.post("/api/compare", json=asked).raise_for_status().json())


def test_another_dossier_is_told_by_what_differs_whatever_things_are_called(lamps: Running) -> None:
    told = compared(lamps, shelf="shop/lamp-2")
    assert ("Other", "Lamp two (invented)", False) == (told["first"], told["second"], told["same"])
    (change,) = told["differences"]
    assert ("changed", ["R1"], ["R1"]) == (change["sort"], change["first"], change["second"])
    assert "220 Ω" in change["says"]
    assert "vbus" == told["nets"]["usb"]
    for svg in (told["first_svg"], told["second_svg"]):
        assert ">changed<" in str(svg)
        assert "<style" not in str(svg)


def test_an_earlier_state_is_told_by_what_was_changed_since(lamps: Running) -> None:
    told = compared(lamps, revision=0)
    assert ("state 0", "state 2, now") == (told["first"], told["second"])
    (change,) = told["differences"]
    assert "150 Ω" in change["says"]
    assert "180 Ω" in change["says"]
    assert compared(lamps, revision=1)["same"]


def test_a_block_is_held_against_the_textbook(lamps: Running) -> None:
    told = compared(lamps, textbook="D1")
    assert "LED with series resistor, as the textbook has it" == told["first"]


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({}, "against nothing"),
        ({"revision": 0, "textbook": "D1"}, "several things"),
        ({"revision": 99}, "there was no state 99"),
        ({"textbook": "X9"}, "belongs to no block"),
        ({"shelf": "nowhere"}, "no dossier 'nowhere'"),
        ({"shelf": "../lamp"}, "no dossier '../lamp'"),
        ({"shelf": "/etc"}, "no dossier '/etc'"),
    ],
)
def test_a_comparison_that_cannot_be_says_why(lamps: Running, asked: dict[str, object], words: str) -> None:
    answer = lamps.client.post("/api/compare", json=asked)
    assert 422 == answer.status_code
    assert words in answer.json()["what"]


def test_a_dossier_outside_the_shelf_is_not_reached_through_a_link(lamps: Running, tmp_path: Path) -> None:
    shelf_of(tmp_path, {"secret": lamp_text()})
    (lamps.folder.parent / "link").symlink_to(tmp_path / "secret")
    answer = lamps.client.post("/api/compare", json={"shelf": "link"})
    assert "no dossier 'link'" in answer.json()["what"]
