"""Findings on wiring, situations, parts and readings, gravest first."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.evidence import Finding
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Item, Items, Paragraph
from lidoff.report.words import anchor, plain_name, sentence

__all__ = ["MEMBERS", "own_findings"]

TOLD_ELSEWHERE = frozenset({"misfit", "strained reading", "reading not compared"})
"""Findings that the chapter on misfits tells in full."""


def own_findings(analysis: Analysis) -> tuple[Finding, ...]:
    """Findings that neither the claims nor the misfits tell already, gravest first."""
    return tuple(
        finding for finding in analysis.findings if not finding.claims and finding.name not in TOLD_ELSEWHERE
    )


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


def _build(analysis: Analysis) -> tuple[Block, ...]:
    findings = own_findings(analysis)
    if not findings:
        return (
            Paragraph(text="Nothing further was found by the checks that were made; they are listed below."),
        )
    return (Items(entries=tuple(_item(finding) for finding in findings)),)


MEMBERS = (
    Chapter(
        name="findings",
        title="Findings",
        place=90,
        build=_build,
        says="What else the analyst should know, gravest first.",
    ),
)
