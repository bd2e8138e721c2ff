"""The page of blocks is what the catalogues give, and a block from outside is found like ours."""

from __future__ import annotations

import importlib.metadata
from pathlib import Path
from types import ModuleType

import pytest

from lidoff.insight import BlockKind, all_blocks
from lidoff.insight.pages import blocks_page
from lidoff.insight.pattern import Pattern, role
from lidoff.insight.sketch import piece, sketch

PAGE = Path(__file__).parents[2] / "docs" / "blocks.md"


def test_the_page_is_the_one_that_the_code_makes() -> None:
    assert blocks_page() == PAGE.read_text(encoding="utf-8")


def test_every_kind_has_its_heading() -> None:
    text = blocks_page()
    assert [] == [name for name in all_blocks() if f"(`{name}`)" not in text]


class Outside:
    """An entry point of another package."""

    name = "theirs"
    value = "theirs.blocks"

    def load(self) -> ModuleType:
        module = ModuleType("theirs.blocks")
        module.MEMBERS = (  # type: ignore[attr-defined]
            BlockKind(
                name="lone_heater",
                title="heater",
                purpose="{heater} gives warmth.",
                example=lambda: sketch("", piece("H1", "heater", "a b")),
                patterns=(Pattern(roles=(role("heater", "heater", "one other"),)),),
                fails=("heater open: it stays cold",),
            ),
        )
        return module


def test_a_block_of_another_package_is_in_the_catalogue(monkeypatch: pytest.MonkeyPatch) -> None:
    real = importlib.metadata.entry_points

    def entry_points(*, group: str) -> object:
        return (Outside(),) if group == "lidoff.insight.blocks" else real(group=group)

    monkeypatch.setattr(importlib.metadata, "entry_points", entry_points)
    all_blocks.cache_clear()
    try:
        assert "lone_heater" in all_blocks()
    finally:
        monkeypatch.undo()
        all_blocks.cache_clear()
    assert "lone_heater" not in all_blocks()
