"""The chapter on what was saved, read from a built report."""

from __future__ import annotations

from lidoff.report import all_chapters
from lidoff.report.model import Items, Paragraph, Table
from tests.report.build import bare, fan


def test_the_count_of_the_stock_is_told_with_its_lines() -> None:
    blocks = all_chapters()["economies"].build(fan())
    told = " ".join(block.text for block in blocks if isinstance(block, Paragraph))
    assert f"{fan().stock}" in told
    [table] = [block for block in blocks if isinstance(block, Table)]
    assert len(fan().stock.lines) == len(table.rows)
    assert table.folded


def test_each_title_is_told_once_with_its_guesses_marked_as_such() -> None:
    [items] = [block for block in all_chapters()["economies"].build(fan()) if isinstance(block, Items)]
    titles = [entry.title for entry in items.entries]
    assert len(set(titles)) == len(titles)
    assert all(any(line.startswith("Perhaps because: ") for line in entry.lines) for entry in items.entries)


def test_a_dossier_without_parts_has_no_such_chapter() -> None:
    assert () == all_chapters()["economies"].build(bare())
