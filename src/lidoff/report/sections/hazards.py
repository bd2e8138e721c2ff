"""What was held against a limit for danger: the answer, the table, what was assumed and what was not checked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from lidoff.dossier import Analysis
from lidoff.evidence import CAUTIONS
from lidoff.hazards import OUTCOMES, Hazard, HazardCheck, all_hazard_checks
from lidoff.report.chapter import Chapter
from lidoff.report.fault_figure import fault_figures
from lidoff.report.model import (
    Block,
    Cell,
    Column,
    Item,
    Items,
    Notice,
    Paragraph,
    Row,
    Subheading,
    Table,
    Tone,
)
from lidoff.report.sections.cautions import found_dangers
from lidoff.report.words import amount, anchor, sentence

__all__ = ["MEMBERS"]

FAULTS = "single faults"
MOST_LINKS = 8
"""So many parts of one answer are linked; the answer itself says how many more there are."""
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


def _basis(hazard: Hazard) -> tuple[str, ...]:
    """What an answer rests on, in sentences that many answers of one check share."""
    lines = []
    if hazard.source:
        lines.append(sentence(f"Table: {hazard.source}"))
    if hazard.assumed:
        lines.append(sentence(f"Assumed: {'; '.join(hazard.assumed)}"))
    if hazard.not_checked:
        lines.append(sentence(f"Not checked: {'; '.join(hazard.not_checked)}"))
    if hazard.remedy and hazard.flagged:
        lines.append(sentence(f"What to do: {hazard.remedy}"))
    return tuple(lines)


def _item(hazard: Hazard, shared: frozenset[str]) -> Item:
    lines = [sentence(hazard.what)]
    if hazard.value is not None and hazard.limit is not None:
        lines.append(
            sentence(f"Found {amount(hazard.value)}; limit {amount(hazard.limit)}, {hazard.limit_says}")
        )
    lines.extend(line for line in _basis(hazard) if line not in shared)
    return Item(
        title=hazard.title[:1].upper() + hazard.title[1:],
        lines=tuple(lines),
        tone=_tone(hazard),
        label=hazard.outcome,
        links=tuple((reference, anchor("part", reference)) for reference in hazard.parts[:MOST_LINKS]),
    )


def _items(hazards: Sequence[Hazard]) -> tuple[Block, ...]:
    """Answers of one check, and below them, once, what several of them rest on."""
    counts = Counter(line for hazard in hazards for line in _basis(hazard))
    shared = [line for line, number in counts.items() if number > 1]
    items = Items(entries=tuple(_item(hazard, frozenset(shared)) for hazard in hazards))
    if not shared:
        return (items,)
    return (
        items,
        Paragraph(text=f"Where not told otherwise, for all of these. {' '.join(shared)}", style="quiet"),
    )


def _groups(analysis: Analysis) -> list[tuple[HazardCheck, tuple[Hazard, ...]]]:
    """Answers by check, the check with the gravest answer first."""
    found: dict[str, list[Hazard]] = {}
    for hazard in analysis.hazards:  # they come the gravest first
        found.setdefault(hazard.check, []).append(hazard)
    checks = all_hazard_checks()
    return [(checks[name], tuple(hazards)) for name, hazards in found.items()]


def _overview(groups: Sequence[tuple[HazardCheck, tuple[Hazard, ...]]]) -> Table:
    """One line a check: how many answers of each sort, and the gravest of them."""
    rows = []
    for check, hazards in groups:
        counts = Counter(hazard.outcome for hazard in hazards)
        worst = hazards[0]
        rows.append(
            Row(
                cells=(
                    Cell(text=check.title, target=anchor("check", check.name)),
                    *(
                        Cell(
                            text=str(counts[outcome]) if counts[outcome] else "–",
                            tone=_tone(worst) if outcome == worst.outcome else "",
                        )
                        for outcome in OUTCOMES
                    ),
                    Cell(text=worst.title[:1].upper() + worst.title[1:]),
                )
            )
        )
    return Table(
        caption="Checks that had something to look at, and their answers by number.",
        columns=(
            Column(title="Check", share=1.3),
            Column(title="Beyond the limit", share=0.7),
            Column(title="Cannot tell", share=0.7),
            Column(title="Within the limit", share=0.7),
            Column(title="The gravest answer", share=3.0),
        ),
        rows=tuple(rows),
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.hazards:
        return (Paragraph(text=NOTHING),)
    groups = _groups(analysis)
    blocks: list[Block] = [Paragraph(text=OPENING), _overview(groups)]
    printed = {*analysis.dossier.cautions, *(one.word for one in found_dangers(analysis))}
    for check, hazards in groups:
        blocks.append(Subheading(title=check.title, anchor=anchor("check", check.name)))
        if any(hazard.flagged for hazard in hazards):
            missing = [word for word in check.cautions if word not in printed]
            blocks.extend(
                Notice(title=word[:1].upper() + word[1:], text=CAUTIONS[word], tone="caution")
                for word in missing
            )
            printed.update(missing)
        blocks.extend(_items(hazards))
        if check.name == FAULTS:
            blocks.extend(fault_figures(analysis))
    return tuple(blocks)


MEMBERS = (
    Chapter(
        name="hazards",
        title="Hazards",
        place=52,
        build=_build,
        says="What was held against a limit for danger, by which table, and what was not checked.",
    ),
)
