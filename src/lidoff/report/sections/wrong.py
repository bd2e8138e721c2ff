"""All readings against the circuit together: how well they fit, which parts strain, and which slip would explain it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from lidoff.dossier import Analysis, Proposal, Reasoned, drawing_options, fit_of, slips_of
from lidoff.evidence import Comparison
from lidoff.insight import FitAsTraced, Misfit, chance_of_worst, odds_words, tinted_groups
from lidoff.report.chapter import Chapter
from lidoff.report.inline import schematic_picture
from lidoff.report.model import Block, Figure, Item, Items, Paragraph, Subheading
from lidoff.report.words import joined, plain_name, sentence
from lidoff.schematic import draw

__all__ = ["MEMBERS"]

SHOWN_SLIPS = 4
SHOWN_STRAINS = 4
LEAST_STRAIN = 3.0
"""Standard deviations from which a reading is named."""
UNLIKELY = 0.01
"""Probability by chance below which something is told to be wrong; convention."""
SELDOM = 0.05
"""Probability by chance below which a fit is told to be seldom as bad; convention."""
CAVEAT = (
    "Probabilities rest on how often each kind of slip is taken to happen, on the tolerances and on the instruments; they "
    "order what to look at first and prove nothing."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Judged:
    """What speaks against the circuit as redrawn: all readings together, or single ones."""

    words: str
    against: bool


def _judged(fit: FitAsTraced, comparisons: Sequence[Comparison]) -> _Judged:
    """How well all readings fit, in sentences, by the tail of chi-square and by the worst single reading."""
    count = fit.readings
    told = (
        f"All {count} readings together leave a misfit of χ² = {fit.chi_square:.1f}, instruments, tolerances and their "
        f"common causes counted; about {count} is what a true circuit leaves. By chance it would be as large in "
        f"{_chance(fit.chance)} of cases"
    )
    off = sorted((one for one in comparisons if one.fit != "agrees"), key=lambda one: -abs(one.score))
    if fit.chance < UNLIKELY:
        strained = [one for one in fit.strains[:SHOWN_STRAINS] if abs(one.score) > LEAST_STRAIN]
        names = joined([f"{plain_name(one.reading)} ({one.score:+.1f} u)" for one in strained])
        against = f" Against all others stand out: {names}." if strained else ""
        return _Judged(words=f"{told}, so something is not as drawn.{against}", against=True)
    if off:
        chance = chance_of_worst(off[0].score, len(comparisons))
        named = joined([f"{plain_name(one.reading)} ({abs(one.score):.1f} u)" for one in off[:SHOWN_STRAINS]])
        many = len(off) > 1
        single = (
            f"{told}. Single readings tell more: {named} {'lie' if many else 'lies'} off what the circuit should show. Among "
            f"{len(comparisons)} readings {'the worst' if many else 'one'} would lie as far off by chance in {_chance(chance)} "
            "of cases"
        )
        if chance < UNLIKELY:
            return _Judged(words=f"{single}, so something is not as drawn, or not as read.", against=True)
        return _Judged(
            words=f"{single}; read {'them' if many else 'it'} again before more rests on it.", against=False
        )
    if fit.chance < SELDOM:
        return _Judged(
            words=f"{told}, which is seldom, though no single reading stands out; more readings would tell.",
            against=False,
        )
    return _Judged(
        words=f"{told}, and no single reading stands out. These readings do not speak against the circuit as redrawn, "
        "which does not prove it.",
        against=False,
    )


def _chance(probability: float) -> str:
    return (
        "under 0.1 %" if probability < 1e-3 else f"{100.0 * probability:.{1 if probability < 0.1 else 0}f} %"
    )


def _tinted(analysis: Analysis, misfit: Misfit) -> tuple[Figure, ...]:
    groups = tinted_groups(misfit)
    if not groups:
        return ()
    tinted = tuple(group.parts[0] for group in groups)
    options = replace(drawing_options(analysis.dossier), keep_apart=tinted)
    drawing = draw(replace(analysis.circuit, title=""), None, groups=groups, options=options)
    caption = (
        "The circuit tinted by misfit: the darker a part, the more the misfit would fall if its values were free; beside it "
        "the square root of that fall"
    )
    return tuple(
        Figure(
            name=f"misfit-{number + 1}",
            caption=f"{caption}.",
            alt=f"{caption}. Tinted: {joined(tinted)}.",
            picture=schematic_picture(drawing, f"misfit-{number + 1}", sheet=number),
            folded=False,
        )
        for number in range(len(drawing.sheets))
    )


@lru_cache(maxsize=4)
def _fit(analysis: Analysis) -> FitAsTraced:
    return fit_of(analysis.dossier)


@lru_cache(maxsize=4)  # every slip is solved anew, and a report is built several times over
def _reasoned(analysis: Analysis) -> Reasoned:
    return slips_of(analysis.dossier)


def _slip(one: Proposal) -> Item:
    return Item(
        title=f"{odds_words(one.probability)}: {one.title}",
        lines=tuple(line for line in (one.why, one.more) if line),
    )


def _test(one: Proposal) -> Item:
    outcomes = "; ".join(
        f"{shows}{f' ({odds_words(probability)})' if len(one.outcomes) > 1 else ''}: {speaks_for}"
        for shows, speaks_for, probability in one.outcomes
    )
    return Item(title=one.title, lines=tuple(line for line in (sentence(outcomes), one.more) if line))


def _build(analysis: Analysis) -> tuple[Block, ...]:
    misfit = analysis.misfit
    if misfit is None or not misfit.readings:
        return ()
    fit = _fit(analysis)
    if not fit.readings:
        return ()
    judged = _judged(fit, analysis.comparisons)
    blocks: list[Block] = [Paragraph(text=judged.words)]
    if not judged.against:
        return tuple(blocks)
    blocks.extend(_tinted(analysis, misfit))
    reasoned = _reasoned(analysis)
    blocks.append(Subheading(title="What may be wrong"))
    blocks.append(Paragraph(text=" ".join(reasoned.summary)))
    blocks.append(Items(entries=tuple(_slip(one) for one in reasoned.slips[:SHOWN_SLIPS])))
    if reasoned.readings:
        blocks.append(Subheading(title="What would tell it apart"))
        blocks.append(Items(entries=tuple(_test(one) for one in reasoned.readings)))
        blocks.extend(Paragraph(text=caution) for caution in reasoned.cautions)
    blocks.append(Paragraph(text=CAVEAT))
    return tuple(blocks)


MEMBERS = (
    Chapter(
        name="wrong",
        title="All readings together",
        place=76,
        build=_build,
        says="How well all readings together fit the circuit, which parts strain most, and which slips would explain it.",
    ),
)
