"""What was held against a limit for danger: the answer, the table, what was assumed and what was not checked."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.evidence import CAUTIONS
from lidoff.hazards import Hazard, all_hazard_checks
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Item, Items, Notice, Paragraph, Subheading, Tone
from lidoff.report.words import amount, anchor, sentence

__all__ = ["MEMBERS"]

OPENING = (
    "Each line says what was checked, against which limit, and what was left out. “Within the limit” means this one limit, "
    "under these assumptions, and nothing more. Limits marked “from memory” were recalled: look them up before relying on "
    "them. Local codes and those licensed for the work where you live go before anything printed here."
)
NOTHING = (
    "No hazard check had anything to look at. That is not a finding that there is no danger: it means that the dossier holds "
    "neither a circuit nor distances, light, temperatures or cells that could be checked."
)


def _tone(hazard: Hazard) -> Tone:
    if hazard.outcome == "beyond the limit":
        return hazard.severity
    return "open" if hazard.outcome == "cannot tell" else ""


def _item(hazard: Hazard) -> Item:
    lines = [sentence(hazard.what)]
    if hazard.value is not None and hazard.limit is not None:
        lines.append(
            sentence(f"Found {amount(hazard.value)}; limit {amount(hazard.limit)}, {hazard.limit_says}")
        )
    if hazard.source:
        lines.append(sentence(f"Table: {hazard.source}"))
    if hazard.assumed:
        lines.append(sentence(f"Assumed: {'; '.join(hazard.assumed)}"))
    if hazard.not_checked:
        lines.append(sentence(f"Not checked: {'; '.join(hazard.not_checked)}"))
    if hazard.remedy and hazard.flagged:
        lines.append(sentence(f"What to do: {hazard.remedy}"))
    return Item(
        title=hazard.title[:1].upper() + hazard.title[1:],
        lines=tuple(lines),
        tone=_tone(hazard),
        label=hazard.outcome,
        links=tuple((reference, anchor("part", reference)) for reference in hazard.parts),
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.hazards:
        return (Paragraph(text=NOTHING),)
    blocks: list[Block] = [Paragraph(text=OPENING)]
    printed = set(analysis.dossier.cautions)
    for check in all_hazard_checks().values():
        hazards = tuple(hazard for hazard in analysis.hazards if hazard.check == check.name)
        if not hazards:
            continue
        blocks.append(Subheading(title=check.title))
        if any(hazard.flagged for hazard in hazards):
            missing = [word for word in check.cautions if word not in printed]
            blocks.extend(
                Notice(title=word[:1].upper() + word[1:], text=CAUTIONS[word], tone="caution")
                for word in missing
            )
            printed.update(missing)
        blocks.append(Items(entries=tuple(_item(hazard) for hazard in hazards)))
    return tuple(blocks)


MEMBERS = (
    Chapter(
        name="hazards",
        title="Hazards",
        place=85,
        build=_build,
        says="What was held against a limit for danger, by which table, and what was not checked.",
    ),
)
