"""Dangers of opening and handling it, from what the dossier says: resin, solvent, mercury, dust and the like."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lidoff.evidence import CAUTIONS
from lidoff.hazards.check import Hazard, HazardCheck
from lidoff.hazards.dangers import dangers_of
from lidoff.hazards.limits import limit_table
from lidoff.hazards.subject import Subject

__all__ = ["MEMBERS"]


def _look(subject: Subject) -> tuple[Hazard, ...]:
    found: dict[str, str] = {}
    shown = dangers_of(subject.circuit, lights=subject.lights, lasers=subject.lasers)
    printed = {*subject.words, *(one.word for one in shown)}
    for caution, why in _from_words(subject):
        # Neither told among the cautions nor shown by what the dossier tells of the device.
        if caution not in printed:
            found.setdefault(caution, why)
    return tuple(_answer(caution, why) for caution, why in sorted(found.items()))


def _from_words(subject: Subject) -> Iterator[tuple[str, str]]:
    table: dict[str, list[str]] = limit_table("handling").entries["words"]
    for caution, words in table.items():
        for text in subject.words:
            hit = next((word for word in words if re.search(rf"\b{re.escape(word)}s?\b", text.lower())), None)
            if hit is not None and caution in CAUTIONS:
                yield caution, f"the dossier says “{_excerpt(text, hit)}”"
                break


def _excerpt(text: str, word: str) -> str:
    """The words around a hit, cut at word ends."""
    start = text.lower().index(word)
    cut = text[max(0, start - 30) : start + len(word) + 30]
    words = cut.split()
    begins = words[1:] if start > 30 and len(words) > 1 else words
    ends = begins[:-1] if start + len(word) + 30 < len(text) and len(begins) > 1 else begins
    return f"{'… ' if begins is not words else ''}{' '.join(ends)}{' …' if ends is not begins else ''}"


def _answer(caution: str, why: str) -> Hazard:
    return Hazard(
        check="handling",
        title=f"whether care is taken with {caution}",
        outcome="cannot tell",
        severity="note",
        what=f"As {why}: {CAUTIONS[caution]}",
        source=limit_table("handling").words,
        from_memory=True,
        remedy=f'add "{caution}" to the cautions, so that readers are told as well',
    )


MEMBERS = (
    HazardCheck(
        name="handling",
        title="Handling",
        look=_look,
        says="Cautions for opening and handling it, where the dossier speaks of resin, solvent, mercury, dust and the like.",
        source="usual care; common practice, no source",
        not_checked=("what the dossier does not say, and what is in a part without a word on it",),
    ),
)
