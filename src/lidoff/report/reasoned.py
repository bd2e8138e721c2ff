"""What ``lidoff slips`` and ``lidoff next`` print."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import TextWrapper

from lidoff.dossier import Proposal, Reasoned
from lidoff.insight import odds_words
from lidoff.report.words import typeset

__all__ = ["next_text", "slips_text"]

WIDTH = 80
CAVEAT = (
    "The probabilities rest on how often each kind of slip is taken to happen (docs/reasoning.md), on the tolerances in the "
    "dossier and on the instruments; they order what to look at first and prove nothing."
)


def slips_text(reasoned: Reasoned, *, width: int = WIDTH) -> str:
    """Slips for a terminal.

    Parameters
    ----------
    reasoned : Reasoned
        From `lidoff.dossier.slips_of`.
    width : int, optional
        Columns.

    Returns
    -------
    str
        Lines without a trailing newline.
    """
    return _lines(_slips(reasoned), width)


def next_text(reasoned: Reasoned, *, width: int = WIDTH) -> str:
    """Readings to take next, for a terminal.

    Parameters
    ----------
    reasoned : Reasoned
        From `lidoff.dossier.next_readings_of`.
    width : int, optional
        Columns.

    Returns
    -------
    str
        Lines without a trailing newline.
    """
    return _lines(_next(reasoned), width)


def _slips(reasoned: Reasoned) -> Iterator[tuple[int, str]]:
    yield from _headed("What may be wrong")
    yield 0, " ".join(reasoned.summary)
    for one in reasoned.slips:
        yield 0, ""
        yield 0, f"{odds_words(one.probability)}: {one.title}"
        yield 3, one.why
        if one.more:
            yield 3, one.more
    if reasoned.readings:
        yield 0, ""
        yield from _headed("What would tell them apart")
        for place, one in enumerate(reasoned.readings):
            if place:
                yield 0, ""
            yield from _reading(one, place + 1)
    for caution in reasoned.cautions:
        yield 0, ""
        yield 0, caution
    yield 0, ""
    yield 0, CAVEAT


def _next(reasoned: Reasoned) -> Iterator[tuple[int, str]]:
    yield from _headed("What to measure next")
    yield 0, " ".join(reasoned.summary)
    for place, one in enumerate(reasoned.readings):
        yield 0, ""
        yield from _reading(one, place + 1)
    for caution in reasoned.cautions:
        yield 0, ""
        yield 0, caution
    yield 0, ""
    yield 0, CAVEAT


def _headed(title: str) -> Iterator[tuple[int, str]]:
    yield 0, title
    yield 0, "─" * len(title)


def _reading(one: Proposal, number: int) -> Iterator[tuple[int, str]]:
    yield 0, f"{number}. {one.title}"
    if one.why:
        yield 3, one.why
    for shows, speaks_for, probability in one.outcomes:
        share = f" ({odds_words(probability)})" if len(one.outcomes) > 1 else ""
        yield 5, f"{shows}{share}: {speaks_for}"
    if one.more:
        yield 3, one.more


def _lines(told: Iterator[tuple[int, str]], width: int) -> str:
    lines: list[str] = []
    for depth, text in told:
        if not text:
            lines.append("")
            continue
        indent = " " * depth
        wrapper = TextWrapper(
            width=width,
            initial_indent=indent,
            subsequent_indent=indent + ("  " if depth == 5 else ""),
            break_long_words=False,
            break_on_hyphens=False,
        )
        lines.extend(wrapper.wrap(typeset(text)))
    return "\n".join(lines)
