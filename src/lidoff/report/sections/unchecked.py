"""The last chapter: what was not checked."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Item, Items

__all__ = ["MEMBERS", "not_checked"]

ALWAYS = (
    "Whether the sample is typical: one device was opened.",
    "Whether a standard or a law is met: no test by a standard was made, and no approval mark was verified.",
    "Anything not named above. That a check found nothing says only what was checked, against what.",
)


def not_checked(analysis: Analysis) -> tuple[str, ...]:
    """What the checks left out, then what no check here covers; each told once."""
    told = [check.left_out for check in analysis.checks if check.left_out]
    return tuple(dict.fromkeys((*told, *ALWAYS)))


def _build(analysis: Analysis) -> tuple[Block, ...]:
    return (Items(entries=tuple(Item(lines=(line,)) for line in not_checked(analysis))),)


MEMBERS = (
    Chapter(
        name="unchecked",
        title="What was not checked",
        place=120,
        build=_build,
        says="What the checks left out, and what no check covers.",
    ),
)
