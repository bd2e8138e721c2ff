"""Every claim: what is printed, what was found, the verdict, and what the sum is made of."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.evidence import CannotTell, ClaimResult, Noted, claim_kind_of
from lidoff.report.chapter import Chapter
from lidoff.report.charts import claims_chart
from lidoff.report.model import Block, Cell, Column, Figure, Item, Items, Paragraph, Row, Table
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
    probability = result.verdict.probability
    return Row(
        cells=(
            Cell(text=f"“{result.claim.says}”", note=result.claim.where),
            Cell(text=result.printed, note=_read_as(result)),
            Cell(text=result.shown),
            Cell(text=verdict_words(result.verdict), tone=verdict_tone(result.verdict)),
            Cell(text="–" if probability is None else percent(probability)),
        ),
    )


def _read_as(result: ClaimResult) -> str:
    claim = result.claim
    granted = f", with {claim.tolerance} granted" if claim.tolerance else ""
    return f"{claim.read_as}{granted}"


def _inputs(result: ClaimResult) -> str:
    """What went into the sum, and how much of the uncertainty each brings."""
    if len(result.shares) == 1:
        return f"From the {plain_name(result.shares[0].source)}"
    uncertain = any(share.fraction > 0.0 for share in result.shares)
    told = "; ".join(
        f"{plain_name(share.role)} {amount(share.quantity)} ({plain_name(share.source)}"
        + (f", {percent(share.fraction)} of the variance)" if uncertain else ")")
        for share in result.shares
    )
    return f"From {told}" if told else ""


def _item(result: ClaimResult) -> Item:
    kind = claim_kind_of(result.claim)
    lines = [result.sum]
    if not isinstance(result.verdict, Noted):
        lines.append(f"Tested: {kind.says}, read as “{_read_as(result)}”")
    lines.append(_inputs(result))
    if isinstance(result.verdict, CannotTell):
        lines.append(f"Why it stays open: {result.verdict.why}")
        if result.verdict.needs:
            lines.append(f"What would tell: {result.verdict.needs}")
    lines.extend(result.notes)
    lines.extend(f"Tried: {trial.what}. Seen: {trial.seen}" for trial in result.trials)
    if result.claim.note:
        lines.append(f"The analyst notes: {result.claim.note}")
    return Item(
        title=f"“{result.claim.says}”",
        lines=tuple(sentence(line) for line in lines if line),
        tone=verdict_tone(result.verdict),
        label=verdict_words(result.verdict),
        anchor=anchor("claim", result.claim.name),
    )


def _spoken(result: ClaimResult) -> str:
    found = result.shown if result.found is not None else "nothing that could be compared"
    return f"“{result.claim.says}”: printed {result.printed}, found {found}, {verdict_words(result.verdict)}."


def _figure(analysis: Analysis) -> tuple[Figure, ...]:
    chart = claims_chart(analysis.claims)
    if chart is None:
        return ()
    return (
        Figure(
            name="claims-chart",
            caption="What is printed beside what was found. Each claim has its own scale from zero, drawn so that the printed "
            "value stands at the same place. The bar is the expanded uncertainty (k = 2, more after few "
            "repeats), left out where the mark hides it; "
            "the tinted ground is where the claim would hold.",
            alt="Chart of claims. " + " ".join(_spoken(result) for result in analysis.claims),
            picture=chart,
        ),
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.claims:
        return (Paragraph(text="The dossier holds no claims, so nothing printed was tested."),)
    table = Table(
        caption="Claims as printed, what the readings say, and the verdict. ± is the expanded uncertainty (k = 2, more "
        "after few repeats).",
        columns=(
            Column(title="Claim", share=2.3),
            Column(title="Printed", numbers=True, share=1.2),
            Column(title="Found", numbers=True, share=1.5),
            Column(title="Verdict", share=1.5),
            Column(title="Probability that it is true", numbers=True, share=1.2),
        ),
        rows=tuple(_row(result) for result in analysis.claims),
        folded="Show all claims as a table",
    )
    sums = Items(entries=tuple(_item(result) for result in analysis.claims))
    return (*_figure(analysis), sums, table)


MEMBERS = (
    Chapter(
        name="claims",
        title="Claims",
        place=20,
        build=_build,
        says="The claims as a chart, then each with its sum, its verdict and what its uncertainty consists of.",
    ),
)
