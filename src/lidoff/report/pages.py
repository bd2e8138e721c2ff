"""`Analysis` → `ReportPages`: the chapters in order, figures and tables numbered, dead links taken out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

import lidoff
from lidoff.dossier import Analysis, OwnWords, Publication
from lidoff.errors import UnknownName
from lidoff.report.boards import BoardView
from lidoff.report.chapter import Chapter, all_chapters, chapters_in_order
from lidoff.report.labels import Labels
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
    Working,
    Workings,
)
from lidoff.report.prose import prose_of
from lidoff.report.style import NumberStyle, style_of, styled_value

__all__ = ["pages_of"]

DEFERS = (
    "What is printed here says what was checked, against what, and what was not; "
    "it defers to local codes and licensed practice."
)


def pages_of(analysis: Analysis, boards: Sequence[BoardView] = ()) -> ReportPages:
    """Report of an analysis, free of any page language.

    Parameters
    ----------
    analysis : Analysis
    boards : sequence of BoardView, optional
        From `board_views`; without them the report has no photos.

    Returns
    -------
    ReportPages
        The same analysis always gives equal pages.
    """
    dossier = analysis.dossier
    publication = dossier.publication
    style = style_of(publication)
    _refuse_unknown_chapters(publication)
    sections = tuple(
        Section(name=chapter.name, title=chapter.title, blocks=blocks)
        for chapter in chapters_in_order()
        if (blocks := _blocks(analysis, boards, chapter, style))
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
        labels=Labels(made=f"Put together by lidoff {lidoff.__version__}. {DEFERS}"),
    )


def _refuse_unknown_chapters(publication: Publication) -> None:
    for name in publication.words:
        if name not in all_chapters():
            raise UnknownName(
                f"the report has no chapter {name!r}",
                where=f"publication.words.{name}",
                name=name,
                known=sorted(all_chapters()),
            )


def _blocks(
    analysis: Analysis, boards: Sequence[BoardView], chapter: Chapter, style: NumberStyle
) -> tuple[Block, ...]:
    """Blocks of a chapter: the analyst's own words first, or in place of all else."""
    own = analysis.dossier.publication.words.get(chapter.name, OwnWords())
    before: tuple[Block, ...] = (prose_of(own.before),) if own.before.strip() else ()
    if own.instead.strip():
        return (*before, prose_of(own.instead))
    built = chapter.blocks(analysis, boards)
    return (*before, *(styled_value(block, style) for block in built))


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
            elif isinstance(block, Items):
                found.update(item.anchor for item in block.entries)
            elif isinstance(block, Subheading):
                found.add(block.anchor)
            elif isinstance(block, Workings):
                found.update(entry.anchor for entry in block.entries)
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
    if isinstance(block, Workings):
        return replace(block, entries=tuple(_linked_working(entry, known) for entry in block.entries))
    return block


def _linked_row(row: Row, known: frozenset[str]) -> Row:
    cells = tuple(cell if cell.target in known else replace(cell, target="") for cell in row.cells)
    return replace(row, cells=cells)


def _linked_item(item: Item, known: frozenset[str]) -> Item:
    return replace(item, links=tuple(link for link in item.links if link[1] in known))


def _linked_working(entry: Working, known: frozenset[str]) -> Working:
    return replace(entry, links=tuple(link for link in entry.links if link[1] in known))


def _linked_verdict(row: VerdictRow, known: frozenset[str]) -> VerdictRow:
    return row if row.target in known else replace(row, target="")


def _numbered(sections: tuple[Section, ...]) -> tuple[Section, ...]:
    """Sections with tables and figures counted, each from one; those that paper leaves out have no number."""
    tables = figures = 0
    done = []
    for section in sections:
        blocks: list[Block] = []
        for block in section.blocks:
            if isinstance(block, Table) and not block.folded:
                tables += 1
                blocks.append(replace(block, number=tables))
            elif isinstance(block, Figure) and not block.folded:
                figures += 1
                blocks.append(replace(block, number=figures))
            else:
                blocks.append(block)
        done.append(replace(section, blocks=tuple(blocks)))
    return tuple(done)
