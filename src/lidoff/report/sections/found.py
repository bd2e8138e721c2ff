"""The opening chapter: what was found, in plain language, with every verdict at a glance."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from lidoff.dossier import Analysis, Stress, UnsolvedSituation
from lidoff.evidence import CannotTell, ClaimResult, Comparison
from lidoff.report.chapter import Chapter
from lidoff.report.charts import claims_chart
from lidoff.report.model import Block, Figure, Paragraph, VerdictRow, Verdicts
from lidoff.report.sections.parts import NEAR, highest_stresses
from lidoff.report.subject import rating_name, situation_short
from lidoff.report.words import (
    amount,
    anchor,
    counted,
    joined,
    listed,
    loading,
    odds,
    plain_name,
    sentence,
    verdict_tone,
    verdict_words,
)

__all__ = ["MEMBERS", "plain_summary"]


def plain_summary(analysis: Analysis) -> tuple[str, ...]:
    """What was found, in a few plain sentences.

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    tuple of str
        One paragraph each: claims, readings, parts near a limit, what could not be solved.
    """
    texts = (
        _claims_sentence(analysis.claims),
        _readings_sentence(analysis.comparisons, len(analysis.uncompared)),
        _stress_sentence(analysis),
        _unsolved_sentence(analysis),
    )
    return tuple(text for text in texts if text)


def _claims_sentence(claims: Sequence[ClaimResult]) -> str:
    if not claims:
        return ""
    groups = Counter(verdict_tone(result.verdict) for result in claims)
    if len(claims) == 1:
        only = claims[0]
        words = verdict_words(only.verdict)
        said = (
            f"whether “{only.claim.says}” is true we {words}"
            if words[0] == "c"
            else f"“{only.claim.says}” is {words}"
        )
        return sentence(f"of the one claim tested: {said}")
    parts = []
    if groups["borne-out"]:
        parts.append(f"{counted(groups['borne-out'], 'is', 'are')} borne out")
    if groups["not-borne-out"]:
        parts.append(f"{counted(groups['not-borne-out'], 'is', 'are')} not borne out")
    told = f"of {counted(len(claims), 'claim')}, {joined(parts)}" if parts else ""
    if not groups["open"]:
        return sentence(told)
    number = counted(groups["open"], "claim" if not parts else "more", "" if not parts else "more")
    untold = f"about {number} we cannot tell from these readings"
    return sentence(f"{told}; {untold}" if told else untold)


def _readings_sentence(comparisons: Sequence[Comparison], uncompared: int) -> str:
    if not comparisons:
        return ""
    off = [one for one in comparisons if one.fit != "agrees"]
    total = counted(len(comparisons), "reading")
    kept = len(comparisons) - len(off)
    if not off:
        return f"The circuit as redrawn explains {'the' if len(comparisons) == 1 else 'all'} {total} taken in it."
    names = listed([plain_name(one.reading) for one in off], 4)
    tail = f"; {counted(uncompared, 'more', 'more')} could not be compared" if uncompared else ""
    if not kept:
        which = "the" if len(comparisons) == 1 else "any of the"
        return sentence(f"the circuit as redrawn does not explain {which} {total} taken in it{tail}")
    number = counted(kept, "of the", "of the")
    agree = "agrees" if kept == 1 else "agree"
    does = "does" if len(off) == 1 else "do"
    return sentence(f"{number} {total} {agree} with the circuit as redrawn; {names} {does} not{tail}")


def _stress_sentence(analysis: Analysis) -> str:
    highest = sorted(highest_stresses(analysis).values(), key=lambda one: -one.share)
    over = [one for one in highest if one.share > 1.0]
    if over:
        return sentence(f"over a rating: {listed([_stress_words(analysis, one) for one in over], 3)}")
    near = [one for one in highest if one.share >= NEAR]
    if near:
        return sentence(f"near a rating: {listed([_stress_words(analysis, one) for one in near], 3)}")
    if highest:
        return sentence(
            f"no part was found over a rating at rest; the nearest is {_stress_words(analysis, highest[0])}"
        )
    return ""


def _stress_words(analysis: Analysis, stress: Stress) -> str:
    basis = "" if stress.told else ", a typical rating"
    where = situation_short(analysis, stress.situation)
    return f"{stress.reference} at {loading(stress.share)} of its {rating_name(stress)} ({where}{basis})"


def _unsolved_sentence(analysis: Analysis) -> str:
    names = [one.name for one in analysis.situations if isinstance(one, UnsolvedSituation)]
    return (
        sentence(f"no operating point was found for {joined([plain_name(name) for name in names])}")
        if names
        else ""
    )


def _verdict_row(result: ClaimResult) -> VerdictRow:
    verdict = result.verdict
    telling = (
        f"What would tell: {verdict.needs}." if isinstance(verdict, CannotTell) and verdict.needs else ""
    )
    return VerdictRow(
        says=result.claim.says,
        where=result.claim.where,
        verdict=verdict_words(verdict),
        tone=verdict_tone(verdict),
        sum=result.sum,
        odds=sentence(odds(verdict)),
        telling=telling,
        target=anchor("claim", result.claim.name),
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    blocks: list[Block] = []
    written = analysis.dossier.publication.summary
    lead = written or " ".join(plain_summary(analysis)[:1])
    if lead:
        blocks.append(Paragraph(text=lead, style="lead"))
    rest = plain_summary(analysis) if written else plain_summary(analysis)[1:]
    blocks.extend(Paragraph(text=text) for text in rest)
    if analysis.claims:
        blocks.append(Verdicts(rows=tuple(_verdict_row(result) for result in analysis.claims)))
    chart = claims_chart(analysis.claims)
    if chart is not None:
        blocks.append(
            Figure(
                name="claims-chart",
                caption="What is printed beside what was found. Each claim has its own scale from zero, drawn so that the "
                "printed value stands at the same place. The bar is the expanded uncertainty (k = 2), left out where the "
                "mark hides it; the tinted ground is where the claim would hold.",
                alt="Chart of claims. " + " ".join(_spoken(result) for result in analysis.claims),
                picture=chart,
            )
        )
    return tuple(blocks)


def _spoken(result: ClaimResult) -> str:
    found = amount(result.found) if result.found is not None else "nothing that could be compared"
    return f"“{result.claim.says}”: printed {amount(result.claimed)}, found {found}, {verdict_words(result.verdict)}."


MEMBERS = (
    Chapter(
        name="found",
        title="What we found",
        place=10,
        build=_build,
        says="The summary in plain language, every verdict with its sum, and the claims as a chart.",
    ),
)
