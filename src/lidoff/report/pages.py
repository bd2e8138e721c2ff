"""`Analysis` → `ReportPages`: the chapters in order, figures and tables numbered, dead links taken out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

import lidoff
from lidoff.dossier import Analysis
from lidoff.report.chapter import chapters_in_order
from lidoff.report.model import (
    Block,
    Figure,
    Item,
    Items,
    ReportPages,
    Row,
    Section,
    Subheading,
    Table,
    VerdictRow,
    Verdicts,
)

__all__ = ["pages_of"]


def pages_of(analysis: Analysis) -> ReportPages:
    """Report of an analysis, free of any page language.

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    ReportPages
        The same analysis always gives equal pages.
    """
    dossier = analysis.dossier
    publication = dossier.publication
    sections = tuple(
        Section(name=chapter.name, title=chapter.title, blocks=blocks)
        for chapter in chapters_in_order()
        if (blocks := chapter.build(analysis))
    )
    return ReportPages(
        title=publication.title or dossier.device.title,
        device=dossier.device.summary,
        banner=dossier.invented,
        facts=_facts(analysis),
        sections=_numbered(_linked(sections)),
        author=publication.author,
        licence=publication.licence,
        printed_date=publication.date,
        dated=date_of(publication.date),
        version=lidoff.__version__,
    )


def date_of(text: str) -> date | None:
    """Date of a text such as 2024-05-31; None where it is not written so.

    Examples
    --------
    >>> date_of("2024-05-31"), date_of("spring 2024")
    (datetime.date(2024, 5, 31), None)
    """
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        return None


def _facts(analysis: Analysis) -> tuple[tuple[str, str], ...]:
    device, publication = analysis.dossier.device, analysis.dossier.publication
    pairs = (
        ("Device", device.title if publication.title and publication.title != device.title else ""),
        ("Maker", device.maker),
        ("Model", device.model),
        ("Bought", device.bought),
        ("Price", device.price),
        ("Report by", publication.author),
        ("Date", publication.date),
        ("Terms of use", publication.licence),
    )
    return tuple((name, text) for name, text in pairs if text)


def _anchors(sections: Iterable[Section]) -> frozenset[str]:
    found = set()
    for section in sections:
        found.add(section.name)
        for block in section.blocks:
            if isinstance(block, Table):
                found.update(row.anchor for row in block.rows)
            elif isinstance(block, Subheading):
                found.add(block.anchor)
    return frozenset(found - {""})


def _linked(sections: tuple[Section, ...]) -> tuple[Section, ...]:
    """Sections whose links all lead somewhere."""
    known = _anchors(sections)
    return tuple(
        replace(section, blocks=tuple(_linked_block(block, known) for block in section.blocks))
        for section in sections
    )


def _linked_block(block: Block, known: frozenset[str]) -> Block:
    if isinstance(block, Table):
        return replace(block, rows=tuple(_linked_row(row, known) for row in block.rows))
    if isinstance(block, Items):
        return replace(block, entries=tuple(_linked_item(item, known) for item in block.entries))
    if isinstance(block, Verdicts):
        return replace(block, rows=tuple(_linked_verdict(row, known) for row in block.rows))
    return block


def _linked_row(row: Row, known: frozenset[str]) -> Row:
    cells = tuple(cell if cell.target in known else replace(cell, target="") for cell in row.cells)
    return replace(row, cells=cells)


def _linked_item(item: Item, known: frozenset[str]) -> Item:
    return replace(item, links=tuple(link for link in item.links if link[1] in known))


def _linked_verdict(row: VerdictRow, known: frozenset[str]) -> VerdictRow:
    return row if row.target in known else replace(row, target="")


def _numbered(sections: tuple[Section, ...]) -> tuple[Section, ...]:
    """Sections with tables and figures counted, each from one."""
    tables = figures = 0
    done = []
    for section in sections:
        blocks: list[Block] = []
        for block in section.blocks:
            if isinstance(block, Table):
                tables += 1
                blocks.append(replace(block, number=tables))
            elif isinstance(block, Figure):
                figures += 1
                blocks.append(replace(block, number=figures))
            else:
                blocks.append(block)
        done.append(replace(section, blocks=tuple(blocks)))
    return tuple(done)
