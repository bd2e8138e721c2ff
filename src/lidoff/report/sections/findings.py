"""Findings on wiring, situations, parts and readings, gravest first."""

from __future__ import annotations

from dataclasses import replace

from lidoff.dossier import Analysis
from lidoff.evidence import Finding
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Item, Items, Paragraph
from lidoff.report.words import anchor, counted, heading, plain_name, sentence

__all__ = ["MEMBERS", "further_findings", "own_findings"]

TOLD_ELSEWHERE = frozenset({"misfit", "strained reading", "reading not compared", "danger"})
"""Findings that the chapters on misfits and cautions tell in full."""


def own_findings(analysis: Analysis) -> tuple[Finding, ...]:
    """Findings that claims, misfits and cautions do not tell already, gravest first."""
    return tuple(
        finding for finding in analysis.findings if not finding.claims and finding.name not in TOLD_ELSEWHERE
    )


def further_findings(analysis: Analysis) -> tuple[Finding, ...]:
    """Those that the chapter on hazards does not tell either, for a report that holds that chapter."""
    told = {hazard.title.casefold() for hazard in analysis.hazards}
    return tuple(finding for finding in own_findings(analysis) if finding.title.casefold() not in told)


def _item(finding: Finding) -> Item:
    lines = [sentence(finding.what)]
    if finding.evidence:
        lines.append(sentence(f"Evidence: {finding.evidence}"))
    if finding.remedy:
        lines.append(sentence(f"What to do: {finding.remedy}"))
    if finding.source:
        lines.append(sentence(f"Basis: {finding.source}"))
    links = (
        *((reference, anchor("part", reference)) for reference in finding.parts),
        *((plain_name(name), anchor("reading", name)) for name in finding.readings),
        *((plain_name(name), anchor("situation", name)) for name in finding.situations),
    )
    return Item(
        title=finding.title,
        lines=tuple(lines),
        tone=finding.severity,
        label=finding.severity,
        links=links,
    )


def _gathered(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings in their order, those that differ only in what they happen to be about told as one."""
    groups: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.name, finding.severity, finding.remedy), []).append(finding)
    return tuple(_as_one(group) for group in groups.values())


def _as_one(group: list[Finding]) -> Finding:
    first = group[0]
    if len(group) == 1:
        return first
    titles = tuple(dict.fromkeys(one.title for one in group))

    def every(name: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(text for one in group for text in getattr(one, name)))

    return replace(
        first,
        title=titles[0] if len(titles) == 1 else f"{heading(first.name)}: {counted(len(group), 'place')}",
        what=" ".join(dict.fromkeys(sentence(one.what) for one in group)),
        evidence=" ".join(dict.fromkeys(sentence(one.evidence) for one in group if one.evidence)),
        parts=every("parts"),
        nets=every("nets"),
        readings=every("readings"),
        situations=every("situations"),
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    findings = further_findings(analysis)
    if not findings:
        said = (
            "Nothing beyond the hazards above was found by the checks that were made; they are listed below."
        )
        return (Paragraph(text=said),)
    return (Items(entries=tuple(_item(finding) for finding in _gathered(findings))),)


MEMBERS = (
    Chapter(
        name="findings",
        title="Further findings",
        place=56,
        build=_build,
        says="What else the analyst should know, gravest first.",
    ),
)
