"""The dangers that were found and those that the dossier names, each with the usual caution."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.evidence import CAUTIONS
from lidoff.hazards import Danger, dangers_of
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Notice, Paragraph
from lidoff.report.words import heading, sentence

__all__ = ["DEFERENCE", "MEMBERS", "NONE_NAMED", "caution_texts", "caution_title", "found_dangers"]

DEFERENCE = (
    "These are the usual cautions of the trade, not a complete list. Local codes, the makers' own instructions and those "
    "licensed for the work where you live go before anything printed here."
)
NONE_NAMED = (
    "The dossier names no danger, and of those that are looked for (mains supplies, charge that stays, lithium cells, "
    "ultraviolet light, lasers, heat) none showed in what it tells. That is not a finding that there is none: look for mains "
    "voltage, stored charge, cells, strong light, heat and moving parts before you open or power a device like this."
)


def found_dangers(analysis: Analysis) -> tuple[Danger, ...]:
    """Dangers that circuit, lights, lasers and hazards show, whatever the dossier says of them."""
    dossier = analysis.dossier
    return dangers_of(
        analysis.circuit, lights=dossier.lights, lasers=dossier.lasers, hazards=analysis.hazards
    )


def caution_title(word: str) -> str:
    """Title of a caution."""
    return "UV light" if word == "uv" else heading(word)


def caution_texts(analysis: Analysis) -> tuple[tuple[str, str], ...]:
    """Each danger as a title, with its usual caution: those found, told from what, then those that the dossier alone names."""
    found = found_dangers(analysis)
    named = analysis.dossier.cautions
    texts = [
        (
            caution_title(one.word),
            f"{CAUTIONS[one.word]} {sentence(f'Found by lidoff {one.why}')}"
            + (" The dossier names it too." if one.word in named else ""),
        )
        for one in found
    ]
    words = {one.word for one in found}
    texts += [
        (caution_title(word), f"{CAUTIONS[word]} Named in the dossier.")
        for word in named
        if word not in words
    ]
    return tuple(texts)


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
        says="The usual cautions for each danger that was found, with from what, and for each that the dossier names.",
    ),
)
