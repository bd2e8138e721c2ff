"""What lies beyond a limit for danger, each with what was found and the limit."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from lidoff.hazards import Hazard
from lidoff.report.paint import lines_of, text
from lidoff.report.scene import Scene, Still, Story
from lidoff.report.stage import BODY, SMALL, Stage
from lidoff.report.subject import dangers_found
from lidoff.report.words import amount, counted, heading, sentence

__all__ = ["MEMBERS"]

EACH_CARD = 4
"""Hazards on one card."""
ASIDE = "Assumptions and what was not checked stand in the report"


def _build(story: Story) -> tuple[Still, ...]:
    beyond = dangers_found(story.analysis)
    if not beyond:
        return ()
    cards = -(-len(beyond) // EACH_CARD)
    each = -(-len(beyond) // cards)  # shared out evenly over as few cards as hold them
    return tuple(
        Still(
            name="hazards" if cards == 1 else f"hazards-{number + 1}",
            caption=heading(f"{counted(len(beyond), 'answer')} beyond a limit for danger"),
            alt=" ".join(sentence(one.title) for one in beyond[number * each : (number + 1) * each]),
            paint=partial(_paint, tuple(beyond[number * each : (number + 1) * each])),
            aside=ASIDE,
        )
        for number in range(cards)
    )


def _held(hazard: Hazard) -> str:
    """What was found beside its limit; what was done or seen where no number applies."""
    if hazard.value is None or hazard.limit is None:
        return sentence(hazard.what)
    return sentence(f"Found {amount(hazard.value)}; limit {amount(hazard.limit)}, {hazard.limit_says}")


def _paint(group: Sequence[Hazard], stage: Stage, caption: str) -> str:
    room, paint = stage.room(caption), stage.paint
    step = min(room.height / len(group), 232.0 if stage.shape == "wide" else 300.0)
    left, width = room.left + 44, room.width - 44
    parts = []
    for number, hazard in enumerate(group):
        top = room.top + step * number
        if number:
            parts.append(
                f'<rect x="{room.left:g}" y="{top:.1f}" width="{room.width:g}" height="1.6" style="fill:{paint.hairline}"/>'
            )
        titles = lines_of(
            heading(hazard.title), width, BODY, most=1 if stage.shape == "wide" else 2, strong=True
        )
        y = top + 60
        parts.append(
            f'<rect x="{room.left:g}" y="{top + 22:.1f}" width="12" height="{step - 44:.1f}" rx="3" '
            f'style="fill:{paint.not_borne_out}"/>'
        )
        for said in titles:
            parts.append(text(said, left, y, colour=paint.ink, size=BODY, strong=True))
            y += 50
        free = max(int((top + step - y + 30) // 44), 1)
        for said in lines_of(_held(hazard), width, SMALL, most=free):
            parts.append(text(said, left, y, colour=paint.quiet, size=SMALL))
            y += 44
    return "".join(parts)


MEMBERS = (
    Scene(
        name="hazards",
        place=95,
        build=_build,
        says="What lies beyond a limit for danger, with what was found and the limit.",
        needs="no hazard check found anything beyond its limit",
    ),
)
