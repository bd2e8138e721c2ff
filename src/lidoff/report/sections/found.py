"""The opening chapter: what was found, in plain language, with every verdict at a glance."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from lidoff.dossier import Analysis, UnsolvedSituation
from lidoff.evidence import CannotTell, ClaimResult, Comparison
from lidoff.hazards import Stress
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Notice, Paragraph, Tone, VerdictRow, Verdicts
from lidoff.report.sections.cautions import caution_title, found_dangers
from lidoff.report.sections.parts import highest_stresses, is_near
from lidoff.report.subject import dangers_found, rating_name, situation_short
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

MOST_HAZARDS = 4
"""Hazards that the summary names; the chapter on hazards tells all."""


def plain_summary(analysis: Analysis) -> tuple[str, ...]:
    """What was found, in a few plain sentences.

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    tuple of str
        One paragraph each: claims, readings, hazards, parts near a limit, what could not be solved.
    """
    texts = (
        _claims_sentence(analysis.claims),
        _readings_sentence(analysis.comparisons, len(analysis.uncompared)),
        _hazard_sentence(analysis),
        _stress_sentence(analysis),
        _unsolved_sentence(analysis),
    )
    return tuple(text for text in texts if text)


def _claims_sentence(claims: Sequence[ClaimResult]) -> str:
    if not claims:
        return ""
    groups = Counter(verdict_tone(result.verdict) for result in claims)
    if len(claims) == 1:
        said = f"“{claims[0].claim.says}”"
        open_one = groups["open"] == 1
        told = "cannot be told from these readings" if open_one else f"is {verdict_words(claims[0].verdict)}"
        return f"One claim was tested: {said} {told}."
    kinds: tuple[tuple[Tone, str, str, str], ...] = (
        ("borne-out", "is", "are", "borne out"),
        ("not-borne-out", "is", "are", "not borne out"),
        ("open", "cannot", "cannot", "be told from these readings"),
        ("note", "is", "are", "noted and not judged"),
    )
    parts = [
        f"{counted(groups[tone], verb, several)} {words}"
        for tone, verb, several, words in kinds
        if groups[tone]
    ]
    return sentence(f"of {counted(len(claims), 'claim')}, {joined(parts)}")


def _readings_sentence(comparisons: Sequence[Comparison], uncompared: int) -> str:
    if not comparisons:
        none = (
            "the one reading in the circuit could not"
            if uncompared == 1
            else f"none of the {uncompared} readings could"
        )
        return sentence(f"{none} be compared with it") if uncompared else ""
    off = [one for one in comparisons if one.fit != "agrees"]
    total = counted(len(comparisons), "reading")
    kept = len(comparisons) - len(off)
    tail = f"; {counted(uncompared, 'more', 'more')} could not be compared" if uncompared else ""
    if not off:
        which = "the" if len(comparisons) == 1 else "all"
        compared = "compared with it" if uncompared else "taken in it"
        return f"The circuit as redrawn explains {which} {total} {compared}{tail}."
    names = listed([plain_name(one.reading) for one in off], 4)
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
    near = [one for one in highest if is_near(one)]
    if near:
        return sentence(f"near a rating: {listed([_stress_words(analysis, one) for one in near], 3)}")
    if highest:
        return sentence(
            f"of the ratings checked, the nearest to its limit is {_stress_words(analysis, highest[0])}"
        )
    return ""


def _hazard_sentence(analysis: Analysis) -> str:
    """What was beyond a limit for danger; loads on parts are told beside it."""
    beyond = dangers_found(analysis)
    if not beyond:
        return ""
    titles = [hazard.title for hazard in beyond[:MOST_HAZARDS]]
    more = f"; {counted(len(beyond) - len(titles), 'more', 'more')}" if len(beyond) > len(titles) else ""
    return sentence(f"beyond a limit for danger: {'; '.join(titles)}{more}")


def _stress_words(analysis: Analysis, stress: Stress) -> str:
    basis = "" if stress.told else f", taken for {amount(stress.limit)}"
    where = situation_short(analysis, stress.situation)
    return f"{stress.reference} at {loading(stress.share)} of its {rating_name(stress)}{basis} ({where})"


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
    if dangers := _dangers(analysis):
        blocks.append(Notice(title="Before you open one", text=dangers, tone="caution"))
    if analysis.claims:
        blocks.append(Verdicts(rows=tuple(_verdict_row(result) for result in analysis.claims)))
    return tuple(blocks)


def _dangers(analysis: Analysis) -> str:
    """Dangers that were found, with from what, and those that the dossier alone names; empty where there are none."""
    found = found_dangers(analysis)
    words = {one.word for one in found}
    named = [word for word in analysis.dossier.cautions if word not in words]
    told = []
    if found:
        reasons = [f"{caution_title(one.word)}, {one.reasons[0]}" for one in found]
        told.append(f"Dangers found by lidoff: {'; '.join(reasons)}.")
    if named:
        further = "Further dangers" if found else "Dangers"
        told.append(f"{further} named in the dossier: {joined([_in_a_row(word) for word in named])}.")
    if not told:
        return ""
    return " ".join((*told, "Read the cautions below before opening or powering such a device."))


def _in_a_row(word: str) -> str:
    return caution_title(word) if word == "uv" else word


MEMBERS = (
    Chapter(
        name="found",
        title="What we found",
        place=10,
        build=_build,
        says="The summary in plain language, and every verdict with its sum.",
    ),
)
