"""Where numbers and methods come from: instruments, equations, standards, and the analyst's own notes."""

from __future__ import annotations

from lidoff.circuit import all_kinds
from lidoff.dossier import Analysis
from lidoff.evidence import Instrument, claim_kind_of
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Cell, Column, Item, Items, Paragraph, Row, Subheading, Table
from lidoff.report.words import plain_name, sentence

__all__ = ["MEMBERS"]

GUIDES = (
    "Uncertainty of readings and sums: JCGM 100:2008, Evaluation of measurement data – Guide to the expression of uncertainty "
    "in measurement.",
    "Probability that a claim is true: JCGM 106:2012, The role of measurement uncertainty in conformity assessment; the "
    "thresholds are our own convention.",
    "Solving: modified nodal analysis, after C.-W. Ho, A. E. Ruehli and P. A. Brennan, IEEE Transactions on Circuits and "
    "Systems 22(6), 1975, pages 504–509.",
)


def _instrument_rows(instrument: Instrument) -> tuple[Row, ...]:
    title = instrument.title or plain_name(instrument.name)
    if not instrument.ranges:
        return (Row(cells=(Cell(text=title), Cell(text="–"), Cell(text="–"), Cell(text="–"))),)
    return tuple(
        Row(
            cells=(
                Cell(text=title, note="" if number else instrument.calibrated, again=number > 0),
                Cell(text=span.measures),
                Cell(text=span.up_to or "one range"),
                Cell(text=span.accuracy, note=f"step {span.resolution}" if span.resolution else ""),
            )
        )
        for number, span in enumerate(instrument.ranges)
    )


def _kind_sources(analysis: Analysis) -> tuple[str, ...]:
    """Source of each kind of part in the circuit and of each kind of claim, told once."""
    lines: dict[str, list[str]] = {}
    for name in sorted({part.kind for part in analysis.circuit.parts}):
        kind = all_kinds().get(name)
        if kind is not None:
            lines.setdefault(kind.source, []).append(kind.title)
    for result in analysis.claims:
        claim_kind = claim_kind_of(result.claim)
        titles = lines.setdefault(claim_kind.source, [])
        if claim_kind.title not in titles:
            titles.append(claim_kind.title)
    return tuple(sentence(f"{', '.join(titles)}: {source}") for source, titles in lines.items())


def _build(analysis: Analysis) -> tuple[Block, ...]:
    blocks: list[Block] = []
    rows = tuple(row for one in analysis.dossier.instruments for row in _instrument_rows(one))
    if rows:
        columns = (
            Column(title="Instrument", share=2.2),
            Column(title="Measures", share=1.2),
            Column(title="Up to", share=0.9),
            Column(title="Accuracy", share=1.6),
        )
        blocks.append(Table(caption="Instruments and their accuracy as stated.", columns=columns, rows=rows))
    blocks.append(Subheading(title="Methods and equations"))
    blocks.append(Items(entries=tuple(Item(lines=(line,)) for line in (*GUIDES, *_kind_sources(analysis)))))
    if analysis.dossier.notes:
        blocks.append(Subheading(title="Notes of the analyst"))
        blocks.extend(Paragraph(text=note) for note in analysis.dossier.notes)
    return tuple(blocks)


MEMBERS = (
    Chapter(
        name="sources",
        title="Sources",
        place=110,
        build=_build,
        says="Instruments with their accuracy, the source of every equation, and the analyst's notes.",
    ),
)
