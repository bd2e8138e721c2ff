"""All readings against the circuit together: how well they fit, which parts strain, and which slip would explain it."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from lidoff.dossier import Analysis, Proposal, Reasoned, drawing_options, slips_of
from lidoff.insight import Misfit, odds_words, tinted_groups
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
CAVEAT = (
    "Probabilities rest on how often each kind of slip is taken to happen, on the tolerances and on the instruments; they "
    "order what to look at first and prove nothing."
)


def _fit(misfit: Misfit) -> str:
    """How well all readings fit, in sentences."""
    count = misfit.readings
    told = (
        f"All {count} readings together leave a misfit of χ² = {misfit.chi_square:.1f}, instruments, tolerances and their "
        f"common causes counted; about {count} is what a true circuit leaves"
    )
    if misfit.doubted:
        strained = [one for one in misfit.strains[:SHOWN_STRAINS] if abs(one.score) > LEAST_STRAIN]
        names = joined([f"{plain_name(one.reading)} ({one.score:+.1f} u)" for one in strained])
        against = f" Against all others stand out: {names}." if strained else ""
        chance = "under 0.1 %" if misfit.p_value < 1e-3 else f"{100.0 * misfit.p_value:.1f} %"
        return f"{told}. By chance it would be as large in {chance} of cases, so something is not as drawn.{against}"
    return f"{told}. Nothing here speaks against the circuit as redrawn."


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
    blocks: list[Block] = [Paragraph(text=_fit(misfit))]
    if not misfit.doubted:
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
