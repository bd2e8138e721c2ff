"""What ``lidoff compare`` prints."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import TextWrapper

from lidoff.insight import Contrast
from lidoff.report.words import heading, sentence, typeset

__all__ = ["contrast_text"]

WIDTH = 80
TITLES = {
    "left out": "Only in the first",
    "added": "Only in the second",
    "changed": "Changed",
    "moved": "Connected otherwise",
    "blocks": "What that does to the blocks",
}


def contrast_text(found: Contrast, first: str, second: str, *, width: int = WIDTH) -> str:
    """Differences for a terminal.

    Parameters
    ----------
    found : Contrast
    first, second : str
        What the two circuits are called.
    width : int, optional
        Columns.

    Returns
    -------
    str
        Lines without a trailing newline.
    """
    lines: list[str] = []
    for depth, text in _told(found, first, second):
        wrapper = TextWrapper(
            width=width,
            initial_indent=" " * depth,
            subsequent_indent=" " * (depth + 2 * text.startswith("- ")),
            break_long_words=False,
            break_on_hyphens=False,
        )
        wrapped = wrapper.wrap(typeset(text).replace("\n", " ")) if text else [""]
        lines += [line.replace("\N{NO-BREAK SPACE}", " ") for line in wrapped]
    return "\n".join(line.rstrip() for line in lines)


def _told(found: Contrast, first: str, second: str) -> Iterator[tuple[int, str]]:
    yield 0, f"The first: {first}"
    yield 0, f"The second: {second}"
    yield 0, ""
    yield 0, sentence(heading(found.summary))
    for sort, title in TITLES.items():
        changes = [one for one in found.changes if one.sort == sort]
        if changes:
            yield 0, ""
            yield 0, title
            for one in changes:
                yield 3, f"- {sentence(one.says)}"
    others = {one: other for one, other in found.renamed.items() if one != other}
    if others:
        yield 0, ""
        yield 0, "Called otherwise in the second"
        yield 3, ", ".join(f"{one} → {other}" for one, other in others.items()) + "."
