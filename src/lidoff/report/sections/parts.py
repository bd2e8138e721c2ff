"""Every part: what it is, what it does here, and how near it comes to its ratings."""

from __future__ import annotations

from collections.abc import Callable

from lidoff.circuit import Part, kind_of
from lidoff.dossier import Analysis, PartEntry
from lidoff.hazards import Stress
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Cell, Column, Row, Table, Tone
from lidoff.report.subject import part_value, rating_name, situation_short, title_of_kind
from lidoff.report.words import amount, anchor, loading

__all__ = ["MEMBERS", "highest_stresses", "is_near"]

NEAR = 0.8
"""Share of a rating from which a load is marked; common practice, no source."""
NOTHING = 0.0005
"""Share of a rating below which the load is not worth a number."""


def highest_stresses(analysis: Analysis) -> dict[str, Stress]:
    """Load of each part that comes nearest to its limit, by reference."""
    found: dict[str, Stress] = {}
    for stress in analysis.stresses:
        if stress.reference not in found or stress.share > found[stress.reference].share:
            found[stress.reference] = stress
    return found


def is_near(stress: Stress) -> bool:
    """Whether it is near its rating: a part that is usually run right up to it, such as a contact for 250 V~, never is."""
    return stress.share >= max(NEAR, stress.usual)


def _stress_cell(analysis: Analysis, stress: Stress | None) -> Cell:
    if stress is None:
        return Cell(text="–", note="no rating shows at rest")
    tone: Tone = "fault" if stress.share > 1.0 and stress.told else "caution" if is_near(stress) else ""
    basis = "" if stress.told else " (typical)"
    if stress.share < NOTHING:
        return Cell(text=f"next to none of {rating_name(stress)}", note=f"{amount(stress.limit)}{basis}")
    return Cell(
        text=f"{loading(stress.share)} of {rating_name(stress)}",
        note=f"{amount(stress.load, with_uncertainty=False)} of {amount(stress.limit)}{basis}, "
        f"{situation_short(analysis, stress.situation)}",
        tone=tone,
    )


def _cost_cell(entry: PartEntry | None) -> Cell:
    if entry is None or not (entry.stock_line or entry.unit_cost or entry.reel_cost):
        return Cell(text="–")
    costs = [
        f"{entry.unit_cost} each" if entry.unit_cost else "",
        f"{entry.reel_cost} a reel" if entry.reel_cost else "",
    ]
    told = "; ".join(text for text in costs if text)
    return Cell(text=told or "–", note=entry.stock_line)


def _row(
    analysis: Analysis, part: Part, stress: Stress | None, cost: Callable[[str], PartEntry | None] | None
) -> Row:
    printed = [text for text in (part.marking and f"marked {part.marking}", part.package) if text]
    return Row(
        cells=(
            Cell(text=part.reference, part=part.reference),
            Cell(text=part.does or kind_of(part).says, note=title_of_kind(part)),
            Cell(text=part_value(analysis, part) or "–", note=", ".join(printed)),
            _stress_cell(analysis, stress),
            *(() if cost is None else (_cost_cell(cost(part.reference)),)),
        ),
        anchor=anchor("part", part.reference),
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.circuit.parts:
        return ()
    stresses = highest_stresses(analysis)
    entries = {entry.reference: entry for entry in analysis.dossier.parts}
    priced = any(entry.stock_line or entry.unit_cost or entry.reel_cost for entry in entries.values())
    cost = entries.get if priced else None
    return (
        Table(
            caption="Parts, what each does here, and the highest load at rest on the rating that it comes nearest to. "
            "“Typical” is what such parts usually carry, where the part's own rating is not known.",
            columns=(
                Column(title="Part", share=0.7),
                Column(title="What it does", share=2.6),
                Column(title="Value and print", share=1.9),
                Column(title="Highest load seen", share=2.2),
                *((Column(title="Cost and stock line", share=1.5),) if priced else ()),
            ),
            rows=tuple(
                _row(analysis, part, stresses.get(part.reference), cost) for part in analysis.circuit.parts
            ),
        ),
    )


MEMBERS = (
    Chapter(
        name="parts",
        title="Parts",
        place=60,
        build=_build,
        says="The part list with what each part does and how hard it works.",
    ),
)
