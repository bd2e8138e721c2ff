"""The dangers that the dossier names, each with the usual caution."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.evidence import CAUTIONS
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Notice, Paragraph
from lidoff.report.words import heading

__all__ = ["DEFERENCE", "MEMBERS", "NONE_NAMED", "caution_texts"]

DEFERENCE = (
    "These are the usual cautions of the trade, not a complete list. Local codes, the makers' own instructions and those "
    "licensed for the work where you live go before anything printed here."
)
NONE_NAMED = (
    "The dossier names no danger. That is not a finding that there is none: look for mains voltage, stored charge, cells, "
    "strong light, heat and moving parts before you open or power a device like this."
)


def caution_texts(analysis: Analysis) -> tuple[tuple[str, str], ...]:
    """Each danger that the dossier names, as a title, with its usual caution."""
    return tuple(
        ("UV light" if word == "uv" else heading(word), CAUTIONS[word]) for word in analysis.dossier.cautions
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    texts = caution_texts(analysis)
    notices = tuple(Notice(title=title, text=text, tone="caution") for title, text in texts)
    if not notices:
        notices = (Notice(title="No danger named", text=NONE_NAMED, tone="caution"),)
    return (*notices, Paragraph(text=DEFERENCE, style="quiet"))


MEMBERS = (
    Chapter(
        name="cautions",
        title="Cautions",
        place=50,
        build=_build,
        says="The usual cautions for each danger that the dossier names.",
    ),
)
