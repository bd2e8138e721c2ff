"""What the maker saved: values reused, pins shared, parts left out, parts large and small, and the count of the stock."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.insight import Economy
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Cell, Column, Item, Items, Paragraph, Row, Table
from lidoff.report.words import anchor, heading, joined, sentence

__all__ = ["MEMBERS", "gathered_economies", "stock_words"]

OPENING = (
    "What textbooks show and this device does without, and what it uses twice. Why it was done can only be guessed; each guess "
    "says so."
)
MOST_REFERENCES = 12
"""References written out on one line of stock."""


def gathered_economies(analysis: Analysis) -> tuple[tuple[str, tuple[Economy, ...]], ...]:
    """Economies under their titles, in the order of the analysis."""
    groups: dict[str, list[Economy]] = {}
    for one in analysis.economies:
        groups.setdefault(one.title, []).append(one)
    return tuple((title, tuple(group)) for title, group in groups.items())


def stock_words(analysis: Analysis) -> str:
    """Count of the stock in a sentence."""
    return f"The board takes {analysis.stock}: wires, copper, test points and what feeds it from outside do not count"


def _item(title: str, group: tuple[Economy, ...]) -> Item:
    lines = [sentence(heading(one.what)) for one in group]
    consequences = dict.fromkeys(one.consequence for one in group if one.consequence)
    lines += [sentence(f"What follows: {text}") for text in consequences]
    lines += [
        sentence(f"Perhaps because: {text}") for text in dict.fromkeys(one.why for one in group if one.why)
    ]
    parts = dict.fromkeys(part for one in group for part in one.parts)
    return Item(
        title=heading(title),
        lines=tuple(lines),
        links=tuple((part, anchor("part", part)) for part in list(parts)[:MOST_REFERENCES]),
    )


def _stock_table(analysis: Analysis) -> Table:
    return Table(
        caption="Lines of stock, the most frequent first.",
        columns=(
            Column(title="Part", share=1.6),
            Column(title="Value or marking", share=1.2),
            Column(title="Number", numbers=True, share=0.6),
            Column(title="References", share=3.0),
        ),
        rows=tuple(
            Row(
                cells=(
                    Cell(text=heading(line.kind)),
                    Cell(text=line.value or "–"),
                    Cell(text=str(len(line.references))),
                    Cell(
                        text=joined(line.references)
                        if len(line.references) <= MOST_REFERENCES
                        else f"{line.references[0]} to {line.references[-1]}"
                    ),
                )
            )
            for line in analysis.stock.lines
        ),
        folded=f"Show the {len(analysis.stock.lines)} lines of stock",
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.stock.lines:
        return ()
    entries = tuple(_item(title, group) for title, group in gathered_economies(analysis))
    stock = Paragraph(text=sentence(stock_words(analysis)))
    told = (Paragraph(text=OPENING), stock, Items(entries=entries)) if entries else (stock,)
    return (*told, _stock_table(analysis))


MEMBERS = (
    Chapter(
        name="economies",
        title="What they saved",
        place=38,
        build=_build,
        says="Values reused, pins shared, parts left out with what follows, parts large and small, and the count of the stock.",
    ),
)
