"""What is printed beside what was found, as a chart."""

from __future__ import annotations

from functools import partial

from lidoff.evidence import ClaimResult
from lidoff.report.charts import claims_svg, shown_claims
from lidoff.report.scene import Scene, Still, Story
from lidoff.report.stage import Stage, nested
from lidoff.report.words import sentence, verdict_words

__all__ = ["MEMBERS"]

EACH = 5
"""Claims on one still: more would be too small for a phone."""


def _build(story: Story) -> tuple[Still, ...]:
    shown = shown_claims(story.analysis.claims)
    count = -(-len(shown) // EACH)
    each = -(-len(shown) // max(count, 1))  # shared out evenly, so that no still holds one claim alone
    groups = [shown[start : start + each] for start in range(0, len(shown), each)] if shown else []
    return tuple(_still(group, number, len(groups)) for number, group in enumerate(groups, start=1))


def _still(group: tuple[ClaimResult, ...], number: int, of: int) -> Still:
    told = " ".join(
        f"“{one.claim.says}”: "
        + sentence(f"printed {one.printed}, found {one.shown}, {verdict_words(one.verdict)}")
        for one in group
    )
    return Still(
        name="claims" if of == 1 else f"claims-{number}",
        caption="What is printed, and what we found" + (f" ({number} of {of})" if of > 1 else ""),
        alt=told,
        paint=partial(_paint, group),
        aside="bar: ± (k = 2) · tinted: claim holds",
    )


def _paint(group: tuple[ClaimResult, ...], stage: Stage, caption: str) -> str:
    svg, width, height = claims_svg(group, stage.paint, narrow=stage.shape == "tall")
    return nested(svg, stage.room(caption), width, height)


MEMBERS = (
    Scene(
        name="claims",
        place=10,
        build=_build,
        says="Printed values beside what was found, with uncertainty.",
        needs="no claim with a found value",
    ),
)
