"""Readings that the circuit does not explain, and what could explain them."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.evidence import Comparison
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Item, Items, Paragraph
from lidoff.report.sections.readings import FIT_TONES
from lidoff.report.subject import situation_short
from lidoff.report.words import (
    anchor,
    heading,
    joined,
    percent,
    plain_name,
    predicted_words,
    read_words,
    score,
    sentence,
)

__all__ = ["MEMBERS", "misfit_lines"]

SHOWN_CAUSES = 4


def misfit_lines(analysis: Analysis, one: Comparison) -> tuple[str, ...]:
    """A reading that does not agree, in sentences: the two numbers, then what the prediction hangs on.

    Parameters
    ----------
    analysis : Analysis
    one : Comparison

    Returns
    -------
    tuple of str
    """
    reading = one.measured.reading
    where = f" ({situation_short(analysis, reading.situation)})" if reading.situation else ""
    seen = f" ({one.seen})" if one.seen else ""
    lines = [
        sentence(
            f"{reading.target}{where}: read as {read_words(one.measured)}, predicted as {predicted_words(one)}{seen}; "
            f"{score(one).lstrip('+−')} apart"
        )
    ]
    if one.other_way_round:
        return (*lines, sentence(one.other_way_round))
    causes = [
        f"{_cause(name)} ({percent(share)})"
        for name, share in list(one.causes.items())[:SHOWN_CAUSES]
        if share >= 0.01
    ]
    if causes:
        lines.append(
            sentence(
                f"What the prediction hangs on, as shares of its variance: {joined(causes)}; a value other than recorded "
                "there is the first thing to look for, then a wrong pin or a missed part"
            )
        )
    else:
        lines.append(
            "No tolerance of a part moves this prediction, so look for a wrong pin, a missed part or a slip in the reading."
        )
    return tuple(lines)


def _cause(name: str) -> str:
    reference, _, parameter = name.partition(".")
    return f"{reference}'s {plain_name(parameter)}"


def _build(analysis: Analysis) -> tuple[Block, ...]:
    off = sorted(
        (one for one in analysis.comparisons if one.fit != "agrees"), key=lambda one: -abs(one.score)
    )
    blocks: list[Block] = []
    if off:
        blocks.append(
            Items(
                entries=tuple(
                    Item(
                        title=heading(plain_name(one.reading)),
                        lines=misfit_lines(analysis, one),
                        tone=FIT_TONES[one.fit],
                        label=one.fit,
                        links=(("its reading", anchor("reading", one.reading)),),
                    )
                    for one in off
                )
            )
        )
    elif analysis.comparisons:
        blocks.append(
            Paragraph(
                text="None: every reading taken in the circuit agrees with what the circuit predicts, within 2 u."
            )
        )
    if analysis.uncompared:
        told = "; ".join(f"{plain_name(one.measured.name)}: {one.why}" for one in analysis.uncompared)
        blocks.append(Paragraph(text=f"Not compared: {told}."))
    return tuple(blocks)


MEMBERS = (
    Chapter(
        name="misfits",
        title="Misfits",
        place=75,
        build=_build,
        says="Readings that the circuit as redrawn does not explain, with what each prediction hangs on.",
    ),
)
