"""The voltage budget of each situation's main loop, as a chart."""

from __future__ import annotations

from functools import partial

from lidoff.dossier import Analysis
from lidoff.insight import Budget
from lidoff.report.budgetchart import budget_alt, budget_svg
from lidoff.report.paint import lines_of, text
from lidoff.report.scene import Scene, Still, Story
from lidoff.report.sections.limits import charted_budgets_of, limits_of
from lidoff.report.stage import BODY, Room, Stage, nested
from lidoff.report.subject import situation_short
from lidoff.report.words import amount

__all__ = ["MEMBERS"]


def _build(story: Story) -> tuple[Still, ...]:
    return tuple(_still(story.analysis, budget) for budget in charted_budgets_of(story.analysis))


def _still(analysis: Analysis, budget: Budget) -> Still:
    where = situation_short(analysis, budget.situation)
    return Still(
        name=f"budget-{budget.situation}",
        caption=f"Where the volts go: {budget.about} at {amount(budget.amperes)}, {where}",
        alt=" ".join((budget_alt(budget), *limits_of(budget))),
        paint=partial(_paint, budget),
        aside="± is the expanded uncertainty, k = 2",
    )


def _paint(budget: Budget, stage: Stage, caption: str) -> str:
    room, paint = stage.room(caption), stage.paint
    said = [one for told in limits_of(budget)[:1] for one in lines_of(told, room.width, BODY, most=2)]
    svg, width, height = budget_svg(budget, paint, narrow=stage.shape == "tall")
    space = 64.0 * len(said)
    inner = Room(left=room.left, top=room.top, right=room.right, bottom=room.bottom - space)
    words = [
        text(one, room.left, room.bottom - space + 56.0 + 54.0 * number, colour=paint.ink, size=BODY)
        for number, one in enumerate(said)
    ]
    return nested(svg, inner, width, height) + "".join(words)


MEMBERS = (
    Scene(
        name="budget",
        place=75,
        build=_build,
        says="The voltage budget of the main loop in each situation.",
        needs="no situation with a current was solved",
    ),
)
