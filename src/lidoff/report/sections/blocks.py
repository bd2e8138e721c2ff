"""How the circuit works, block by block: what each is for, its sums, what is unusual, what happens if a part of it fails."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from lidoff.dossier import Analysis, drawing_options
from lidoff.insight import Block as CircuitBlock
from lidoff.insight import Sum, read_among, told_once
from lidoff.report.chapter import Chapter
from lidoff.report.inline import schematic_picture
from lidoff.report.model import Block, Paragraph, Working, Workings
from lidoff.report.subject import situation_short, title_of_kind
from lidoff.report.words import amount, anchor, counted, heading, joined, plain_name, sentence
from lidoff.report.worked import WorkedSum, formula_runs
from lidoff.schematic import Drawing, draw_piece

__all__ = ["MEMBERS", "block_drawing", "block_title", "worked_sum"]

OPENING = (
    "Blocks are arrangements of parts that are met in many devices. Each sum is worked out with this circuit's own values; ± "
    "is the expanded uncertainty (k = 2) that the parts' tolerances bring. “Solved” is what the whole circuit gives, in which "
    "nothing is idealised that the sum leaves out."
)

EFFORT = 0.3
"""How long the places of a block's few parts are searched for, against a whole circuit's; more finds nothing better."""
WIDEST, TALLEST = 56.0, 46.0
"""Largest drawing of a block [grid steps]: at its natural size it fills the width of a page; larger ones are told in words."""
TRIM = 22.0
"""What is taken off the free edge of a sheet where a piece stands in a frame of its own [px]."""


def block_title(group: Sequence[CircuitBlock]) -> str:
    """Title of blocks that are alike: what they are, and their parts or how many times they stand there."""
    first = group[0]
    if len(group) == 1:
        return f"{heading(first.title)}: {joined(first.parts)}"
    return f"{heading(first.title)}: {joined(first.parts)}, {counted(len(group), 'time', 'times')} alike"


def worked_sum(analysis: Analysis, one: Sum) -> WorkedSum:
    """Sum of a block as it is set."""
    where = f", {situation_short(analysis, one.situation)}" if one.situation else ""
    beside = tuple(
        f"{'solved' if near.what == 'solved' else f'read as {plain_name(near.what)}'}: {amount(near.quantity)}"
        + (f", {near.how}" if near.how else "")
        + (f" ({situation_short(analysis, near.situation)})" if near.situation != one.situation else "")
        for near in one.beside
    )
    return WorkedSum(
        says=heading(f"{one.says}{where}"),
        formula=formula_runs(one.formula),
        numbers=() if one.numbers == one.formula else formula_runs(one.numbers),
        result=amount(one.result),
        beside=beside,
        source=one.source,
    )


def _notes(group: Sequence[CircuitBlock]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    first = group[0]
    alike = tuple(joined(block.parts) for block in group[1:])
    read = tuple(
        f"{says}, read {number} times: {amount(low.quantity)} ({plain_name(low.what)}) to "
        f"{amount(high.quantity)} ({plain_name(high.what)})"
        for says, number, low, high in read_among(group)
    )
    notes = (
        ("Also", alike),
        ("Among them", read),
        ("Unusual", first.unusual),
        ("If it fails", first.if_it_fails),
        ("Not worked out", first.missing),
    )
    return tuple((name, tuple(sentence(text) for text in texts)) for name, texts in notes if texts)


@lru_cache(maxsize=64)  # a report is built several times over
def block_drawing(analysis: Analysis, parts: tuple[str, ...]) -> Drawing | None:
    """Drawing of a block by itself.

    Parameters
    ----------
    analysis : Analysis
    parts : tuple of str
        Its references.

    Returns
    -------
    Drawing or None
        Its parts alone, placed anew; None where that is larger than a page has room for.
    """
    options = replace(drawing_options(analysis.dossier), effort=EFFORT)
    drawing = draw_piece(analysis.circuit, parts, options=options)
    left, top, right, bottom = drawing.sheets[0].box
    return drawing if right - left <= WIDEST and bottom - top <= TALLEST else None


def _working(analysis: Analysis, group: Sequence[CircuitBlock]) -> Working:
    first = group[0]
    name = anchor("block", first.parts[0])
    piece = block_drawing(analysis, first.parts)
    kinds = joined([f"{part} {title_of_kind(analysis.circuit.part(part))}" for part in first.parts])
    return Working(
        title=block_title(group),
        anchor=name,
        purpose=sentence(first.purpose),
        picture=None if piece is None else schematic_picture(piece, name, trim=TRIM),
        alt=f"Schematic of the block alone: {kinds}.",
        sums=tuple(worked_sum(analysis, one) for one in first.sums),
        notes=_notes(group),
        links=tuple((part, anchor("part", part)) for part in first.parts),
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.blocks:
        return ()
    entries = tuple(_working(analysis, group) for group in told_once(analysis.blocks))
    left = sorted(
        {part.reference for part in analysis.circuit.parts}
        - {part for block in analysis.blocks for part in block.parts}
    )
    rest = (
        (Paragraph(text=f"In no block: {joined(left)}. The part list tells what each does.", style="quiet"),)
        if left
        else ()
    )
    return (Paragraph(text=OPENING), Workings(entries=entries), *rest)


MEMBERS = (
    Chapter(
        name="blocks",
        title="How it works, block by block",
        place=35,
        build=_build,
        says="Each block that was recognised, with its own schematic, its sums and what its failing does.",
    ),
)
