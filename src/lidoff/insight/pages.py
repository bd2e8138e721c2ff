"""The page that tells every kind of block, economy and guess, made from the catalogues."""

from __future__ import annotations

from collections.abc import Iterator

from lidoff.insight.economy import all_economies
from lidoff.insight.guess import all_guesses
from lidoff.insight.known import Known
from lidoff.insight.pattern import BlockKind, all_blocks
from lidoff.insight.recognise import recognise
from lidoff.insight.search import matches_of
from lidoff.insight.view import view_of

__all__ = ["blocks_page"]

HEAD = """# Blocks, economies and chips without a name

Made from the code by `scripts/write_blocks.py`: do not edit.

`lidoff explain DIR` tells the blocks of a circuit with its own numbers, what the maker saved, and what chips without a name
may be. How truly blocks are recognised stands in [accuracy.md](accuracy.md); how to add one in
[adding-a-block.md](adding-a-block.md). Chapters of books, and what is said to be from memory, are from memory.
"""


def blocks_page() -> str:
    """Text of ``docs/blocks.md``."""
    return "\n".join(_lines()) + "\n"


def _lines() -> Iterator[str]:
    kinds = sorted(all_blocks().values(), key=lambda kind: kind.title.casefold())
    yield HEAD
    yield f"## The {len(kinds)} kinds of block"
    for kind in kinds:
        yield ""
        yield from _block(kind)
    yield ""
    yield "## Economies"
    yield ""
    yield "Each is told with what follows for the device, and with a guess at why it may have been done."
    yield ""
    yield "| name | what is looked for | usual way after |"
    yield "|---|---|---|"
    for one in all_economies().values():
        yield f"| `{one.name}` | {one.says} | {one.source} |"
    yield ""
    yield "## Chips without a name"
    yield ""
    yield (
        "What stands round a chip speaks for some sorts of chip and against others. The weights are choices, so the order "
        "means more than the shares, and none of it is a fact."
    )
    yield ""
    yield "| may be a | speaks for it | pins |"
    yield "|---|---|---|"
    for guess in sorted(all_guesses().values(), key=lambda guess: guess.title.casefold()):
        clues = "; ".join(clue.says for clue in guess.clues)
        yield f"| {guess.title} | {clues} | {guess.pins[0]} to {guess.pins[1]} |"


def _block(kind: BlockKind) -> Iterator[str]:
    example = kind.example()
    block = next(one for one in recognise(example) if one.kind == kind.name)
    match = next(
        one for one in matches_of(view_of(example), kind, Known()) if one.required <= set(block.parts)
    )
    yield f"### {kind.title[0].upper()}{kind.title[1:]} (`{kind.name}`)"
    yield ""
    yield f"{block.purpose} After: {kind.source}."
    sums = [one for one in kind.sums(match) if one is not None]
    if sums:
        yield ""
        for one in sums:
            yield f"- {one.says}: `{one.formula}`" + (f" ({one.source})" if one.source != kind.source else "")
    yield ""
    yield f"If it fails: {'; '.join(block.if_it_fails)}."
