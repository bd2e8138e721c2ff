"""Every claim: what is printed, what was found, the verdict, and what the sum is made of."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.evidence import CannotTell, ClaimResult, claim_kind_of
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Cell, Column, Item, Items, Paragraph, Row, Subheading, Table
from lidoff.report.words import (
    amount,
    anchor,
    percent,
    plain_name,
    sentence,
    verdict_tone,
    verdict_words,
)

__all__ = ["MEMBERS"]


def _row(result: ClaimResult) -> Row:
    shown_in = claim_kind_of(result.claim).shown_in
    probability = result.verdict.probability
    return Row(
        cells=(
            Cell(text=f"“{result.claim.says}”", note=result.claim.where),
            Cell(text=amount(result.claimed, shown_in=shown_in), note=_read_as(result)),
            Cell(text=amount(result.found, shown_in=shown_in)),
            Cell(text=verdict_words(result.verdict), tone=verdict_tone(result.verdict)),
            Cell(text="–" if probability is None else percent(probability)),
        ),
        anchor=anchor("claim", result.claim.name),
    )


def _read_as(result: ClaimResult) -> str:
    claim = result.claim
    granted = f", with {claim.tolerance} granted" if claim.tolerance else ""
    return f"{claim.read_as}{granted}"


def _sum(result: ClaimResult) -> Item:
    kind = claim_kind_of(result.claim)
    lines = [sentence(result.sum)]
    lines.append(sentence(f"Tested: {kind.says}, read as “{_read_as(result)}”"))
    uncertain = [share for share in result.shares if share.fraction > 0.0]
    if result.shares:
        inputs = "; ".join(
            f"{plain_name(share.role)} {amount(share.quantity)} ({plain_name(share.source)}"
            + (f", {percent(share.fraction)} of the variance)" if uncertain else ")")
            for share in result.shares
        )
        lines.append(sentence(f"From {inputs}"))
    if isinstance(result.verdict, CannotTell):
        lines.append(sentence(f"Why it stays open: {result.verdict.why}"))
        if result.verdict.needs:
            lines.append(sentence(f"What would tell: {result.verdict.needs}"))
    lines.extend(sentence(note) for note in result.notes)
    if result.claim.note:
        lines.append(sentence(f"The analyst notes: {result.claim.note}"))
    return Item(
        title=f"“{result.claim.says}”",
        lines=tuple(lines),
        tone=verdict_tone(result.verdict),
        label=verdict_words(result.verdict),
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.claims:
        return (Paragraph(text="The dossier holds no claims, so nothing printed was tested."),)
    table = Table(
        caption="Claims as printed, what the readings say, and the verdict. ± is the expanded uncertainty (k = 2).",
        columns=(
            Column(title="Claim", share=2.3),
            Column(title="Printed", numbers=True, share=1.2),
            Column(title="Found", numbers=True, share=1.5),
            Column(title="Verdict", share=1.5),
            Column(title="Probability that it is true", numbers=True, share=1.2),
        ),
        rows=tuple(_row(result) for result in analysis.claims),
    )
    sums = Items(entries=tuple(_sum(result) for result in analysis.claims))
    return (table, Subheading(title="The sums"), sums)


MEMBERS = (
    Chapter(
        name="claims",
        title="Claims",
        place=30,
        build=_build,
        says="Each claim with its sum, its verdict and what its uncertainty consists of.",
    ),
)
