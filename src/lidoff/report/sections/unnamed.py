"""Chips that bear no name: what stands round them suggests, with reasons, and never as a fact."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.insight import Unnamed, told_guess, unnamed_parts
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Item, Items, Paragraph
from lidoff.report.words import anchor, heading, sentence

__all__ = ["MEMBERS"]

OPENING = (
    "What stands round these chips makes some sorts likelier than others. The shares rest on weights that were chosen, so "
    "their order means more than their size; a marking, a data sheet or a reading may say otherwise."
)


def _item(one: Unnamed) -> Item:
    lines = []
    if one.guesses:
        first = one.guesses[0]
        lines.append(sentence(f"For it: {'; '.join(first.reasons)}"))
        if first.against:
            lines.append(sentence(f"Against it: {'; '.join(first.against)}"))
    roles = [f"{pin.pin} {pin.role} ({pin.why})" for pin in one.pins if pin.role]
    if roles:
        lines.append(sentence(f"Its pins, likely: {'; '.join(roles)}"))
    return Item(
        title=heading(told_guess(one)),
        lines=tuple(lines),
        links=((one.reference, anchor("part", one.reference)),),
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    found = unnamed_parts(analysis.circuit)
    if not found:
        return ()
    return (Paragraph(text=OPENING), Items(entries=tuple(_item(one) for one in found)))


MEMBERS = (
    Chapter(
        name="unnamed",
        title="Chips without a name",
        place=62,
        build=_build,
        says="What chips without a name may be, from what stands round them.",
    ),
)
