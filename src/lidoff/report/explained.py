"""What ``lidoff explain`` prints: the circuit block by block, what was saved, and chips without a name."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import TextWrapper

from lidoff.circuit import Circuit
from lidoff.dossier import Analysis
from lidoff.insight import Block, Economy, Sum, Unnamed, read_among, told_guess, told_once, unnamed_parts
from lidoff.report.subject import situation_short
from lidoff.report.words import amount, counted, heading, joined, plain_name, sentence, typeset

__all__ = ["explained_text"]

WIDTH = 80
MOST_REASONS = 4
NOTHING = "No block was recognised in the circuit."
GUESSES = "From their surroundings alone; a marking, a data sheet or a reading may say otherwise."


def explained_text(analysis: Analysis, *, width: int = WIDTH) -> str:
    """How the circuit works, for a terminal.

    Parameters
    ----------
    analysis : Analysis
    width : int, optional
        Columns.

    Returns
    -------
    str
        Lines without a trailing newline: blocks with their sums, what was saved, chips without a name.
    """
    lines: list[str] = []
    for depth, text in (*_blocks(analysis), *_economies(analysis), *_unnamed(analysis.circuit)):
        if not text:
            lines.append("")
            continue
        wrapper = TextWrapper(
            width=width,
            initial_indent=" " * depth,
            subsequent_indent=" " * (depth + 2 * text.startswith("- ")),
            break_long_words=False,
            break_on_hyphens=False,
        )
        lines += [
            line.replace("\N{NO-BREAK SPACE}", " ") for line in wrapper.wrap(typeset(text).replace("\n", " "))
        ]
    return "\n".join(line.rstrip() for line in lines)


def _headed(title: str) -> Iterator[tuple[int, str]]:
    yield 0, title
    yield 0, "─" * len(title)


def _blocks(analysis: Analysis) -> Iterator[tuple[int, str]]:
    yield from _headed("How it works, block by block")
    if not analysis.blocks:
        yield 0, NOTHING
    for place, group in enumerate(told_once(analysis.blocks)):
        if place:
            yield 0, ""
        yield from _block(analysis, group)
    explained = {part for block in analysis.blocks for part in block.parts}
    left = [part.reference for part in analysis.circuit.parts if part.reference not in explained]
    if left and analysis.blocks:
        yield 0, ""
        yield 0, f"In no block: {joined(left)}."


def _block(analysis: Analysis, group: tuple[Block, ...]) -> Iterator[tuple[int, str]]:
    first = group[0]
    times = f", {counted(len(group), 'time', 'times')} alike" if len(group) > 1 else ""
    yield 0, f"{heading(first.title)}: {joined(first.parts)}{times}"
    yield 3, sentence(first.purpose)
    for one in first.sums:
        yield 3, f"- {_sum(analysis, one)}"
    for text in first.missing:
        yield 3, f"- {text}"
    for says, number, low, high in read_among(group):
        yield (
            3,
            (
                f"- {says}, read {number} times: {amount(low.quantity)} ({plain_name(low.what)}) to "
                f"{amount(high.quantity)} ({plain_name(high.what)})"
            ),
        )
    if first.unusual:
        yield 3, "Unusual: " + " ".join(sentence(heading(text)) for text in first.unusual)
    if first.if_it_fails:
        yield 3, "If it fails: " + " ".join(sentence(text) for text in first.if_it_fails)


def _sum(analysis: Analysis, one: Sum) -> str:
    where = f" ({situation_short(analysis, one.situation)})" if one.situation else ""
    worked = one.formula if one.numbers == one.formula else f"{one.formula} = {one.numbers}"
    beside = "; ".join(
        f"{'solved' if near.what == 'solved' else f'read as {plain_name(near.what)}'} {amount(near.quantity)}"
        + (f" ({near.how})" if near.how else "")
        for near in one.beside
    )
    return f"{one.says}{where}: {worked} = {amount(one.result)}" + (f"; {beside}" if beside else "")


def _economies(analysis: Analysis) -> Iterator[tuple[int, str]]:
    if not analysis.stock.lines:
        return
    yield 0, ""
    yield from _headed("What they saved")
    yield 0, f"The board takes {analysis.stock}."
    groups: dict[str, list[Economy]] = {}
    for one in analysis.economies:
        groups.setdefault(one.title, []).append(one)
    for title, group in groups.items():
        yield 0, ""
        yield 0, heading(title)
        for one in group:
            yield 3, sentence(heading(one.what))
        for text in dict.fromkeys(one.consequence for one in group if one.consequence):
            yield 3, sentence(f"What follows: {text}")
        for text in dict.fromkeys(one.why for one in group if one.why):
            yield 3, sentence(f"Perhaps because: {text}")


def _unnamed(circuit: Circuit) -> Iterator[tuple[int, str]]:
    found = unnamed_parts(circuit)
    if not found:
        return
    yield 0, ""
    yield from _headed("Chips without a name")
    yield 0, GUESSES
    for one in found:
        yield 0, ""
        yield 0, sentence(told_guess(one))
        yield from _reasons(one)


def _reasons(one: Unnamed) -> Iterator[tuple[int, str]]:
    if one.guesses:
        first = one.guesses[0]
        yield 3, "For it: " + "; ".join(first.reasons[:MOST_REASONS]) + "."
        if first.against:
            yield 3, "Against it: " + "; ".join(first.against[:MOST_REASONS]) + "."
    roles = [f"{pin.pin} {pin.role} ({pin.why})" for pin in one.pins if pin.role]
    if roles:
        yield 3, f"Pins, likely: {'; '.join(roles)}."
