"""What limits the current: the voltage budget round each main loop, and what moves its current most."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.dossier import Analysis
from lidoff.insight import Budget
from lidoff.report.budgetchart import budget_alt, budget_chart
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Cell, Column, Figure, Item, Items, Paragraph, Row, Table
from lidoff.report.subject import part_cell, situation_short
from lidoff.report.words import amount, anchor, joined, sentence

__all__ = ["MEMBERS", "charted_budgets_of", "limits_of"]

WORTH_A_CHART = 0.02
"""Share of the largest loop's power from which a loop gets a chart; our choice."""
OPENING = (
    "What the supplies raise, the other parts of a loop drop (Kirchhoff's voltage law). The part that takes the largest share, "
    "and the value that moves the current most, tell what limits it."
)

NARROWED = (
    "These numbers are narrowed by the readings: each part is taken at the value that all readings together make likeliest. "
    "The operating points, waveforms and loads of the other chapters take the parts as told, whatever was read, so they differ "
    "from these where a reading does."
)


def limits_of(budget: Budget) -> tuple[str, ...]:
    """What moves a loop's current, in sentences, the strongest first."""
    return tuple(sentence(one) for one in budget.limits().split("; ") if one)


def _main_budgets_of(analysis: Analysis) -> tuple[Budget, ...]:
    """The loop that takes the most power in each solved situation."""
    first: dict[str, Budget] = {}
    for budget in analysis.budgets:
        first.setdefault(budget.situation, budget)
    return tuple(first.values())


def _figure(analysis: Analysis, budget: Budget) -> Figure:
    where = situation_short(analysis, budget.situation)
    told = "; narrowed by the readings" if budget.after_readings else ""
    return Figure(
        name=f"budget-{anchor('of', budget.situation)}",
        caption=f"Voltage budget of the loop through {budget.about}, {amount(budget.amperes)}: {where}{told}. "
        "± is the expanded uncertainty (k = 2).",
        alt=budget_alt(budget),
        picture=budget_chart(budget),
    )


def _others(analysis: Analysis, budgets: Sequence[Budget]) -> Table:
    rows = tuple(
        Row(
            cells=(
                part_cell(budget.about, note=f"and alike {joined(budget.alike)}" if budget.alike else ""),
                Cell(text=situation_short(analysis, budget.situation)),
                Cell(text=amount(budget.amperes)),
                Cell(text=" ".join(limits_of(budget)[:1]) or "–"),
            )
        )
        for budget in budgets
    )
    return Table(
        caption="Further loops: the current, and the value that moves it most. ± is the expanded uncertainty (k = 2).",
        columns=(
            Column(title="Loop through", share=1.2),
            Column(title="Situation", share=1.5),
            Column(title="Current", numbers=True, share=1.2),
            Column(title="What moves it most", share=3.4),
        ),
        rows=rows,
    )


def _power(budget: Budget) -> float:
    """What the loop's supplies deliver [W]."""
    return budget.raised * abs(budget.amperes.value)


def charted_budgets_of(analysis: Analysis) -> tuple[Budget, ...]:
    """Those of the main loops whose power is worth a chart."""
    mains = _main_budgets_of(analysis)
    largest = max((_power(budget) for budget in mains), default=0.0)
    return tuple(budget for budget in mains if _power(budget) >= WORTH_A_CHART * largest)


def _build(analysis: Analysis) -> tuple[Block, ...]:
    shown = charted_budgets_of(analysis)
    if not shown:
        return ()
    narrowed = (Paragraph(text=NARROWED),) if any(budget.after_readings for budget in shown) else ()
    blocks: list[Block] = [Paragraph(text=OPENING), *narrowed]
    for budget in shown:
        blocks.append(_figure(analysis, budget))
        limits = limits_of(budget)
        if limits:
            blocks.append(Items(entries=tuple(Item(lines=(line,)) for line in limits)))
    others = [budget for budget in analysis.budgets if all(budget is not one for one in shown)]
    if others:
        blocks.append(_others(analysis, others))
    return tuple(blocks)


MEMBERS = (
    Chapter(
        name="limits",
        title="What limits the current",
        place=40,
        build=_build,
        says="The voltage budget of the main loop in each situation, and what moves its current most.",
    ),
)
