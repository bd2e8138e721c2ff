"""Every text of a report as a phrase that can be translated: numbers, names and quotes stand open in it, to be filled again.

A phrase such as ``{1} open: {2} falls to the ground`` is translated once and serves every report that holds it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from lidoff.dossier import Analysis
from lidoff.errors import DossierError
from lidoff.report.model import Picture, ReportPages, VerdictRow
from lidoff.report.prose import Prose
from lidoff.report.words import plain_name
from lidoff.report.worked import FormulaRun

__all__ = ["names_of", "phrase_of", "phrases_of", "reworded"]

_NUMBER = r"(?<![\w.,])[−+]?\d+(?:[.,]\d+)*(?![\w.,]*\d)"
_QUOTE = r"“[^”]*”"
_OPEN = re.compile(r"\{(\d+)\}")
_WORD = re.compile(r"[^\W\d_]{3,}")
_TEXT_NODE = re.compile(r"(<style>.*?</style>)|>([^<>]+)<", re.DOTALL)
_KEPT = frozenset(
    {
        "anchor", "target", "tone", "style", "kind", "part", "net", "name", "link", "place", "version", "language", "author",
        "licence", "printed_date", "device", "banner",
    }
)  # fmt: skip
"""Fields that are no words of lidoff: anchors, names, and what the analyst says of the device and of himself."""

_KEPT_OF: Mapping[type, frozenset[str]] = {ReportPages: frozenset({"title"}), VerdictRow: frozenset({"says"})}
"""The same for single classes: the title of a report, and what is printed on the box."""


def names_of(analysis: Analysis) -> tuple[str, ...]:
    """Names that stand open in phrases: parts, nets, readings and situations.

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    tuple of str
        The longest first.
    """
    dossier = analysis.dossier
    names = {part.reference for part in analysis.circuit.parts} | set(analysis.circuit.nets)
    names |= {plain_name(one.name) for one in analysis.readings}
    names |= {text for one in dossier.situations for text in (one.title, plain_name(one.name)) if text}
    return tuple(sorted(names, key=lambda name: (-len(name), name)))


def phrase_of(text: str, names: Iterable[str] = ()) -> tuple[str, tuple[str, ...]]:
    """Phrase of a text, and what fills its open places.

    Parameters
    ----------
    text : str
    names : iterable of str, optional
        From `names_of`.

    Returns
    -------
    phrase : str
    values : tuple of str
        For ``{1}``, ``{2}`` and so on.

    Examples
    --------
    >>> phrase_of("R3 takes 2.5 mA: “1 A” is printed", ["R3"])
    ('{1} takes {2} mA: {3} is printed', ('R3', '2.5', '“1 A”'))
    """
    values: list[str] = []

    def opened(found: re.Match[str]) -> str:
        values.append(found[0])
        return f"{{{len(values)}}}"

    return _pattern(tuple(names)).sub(opened, text), tuple(values)


def _pattern(names: tuple[str, ...]) -> re.Pattern[str]:
    told = "|".join(re.escape(name) for name in names)
    named = rf"|(?<!\w)(?:{told})(?!\w)" if told else ""
    return re.compile(rf"{_QUOTE}{named}|{_NUMBER}")


def phrases_of(pages: ReportPages, names: Iterable[str] = ()) -> tuple[str, ...]:
    """Every phrase of a report that holds a word, in the order in which it comes.

    Parameters
    ----------
    pages : ReportPages
    names : iterable of str, optional
        From `names_of`.

    Returns
    -------
    tuple of str
        Each once.
    """
    found: dict[str, None] = {}
    known = tuple(names)

    def noted(text: str) -> str:
        phrase, _ = phrase_of(text, known)
        if _WORD.search(_OPEN.sub("", phrase)):
            found.setdefault(phrase)
        return text

    _mapped(pages, noted)
    return tuple(found)


def reworded(
    pages: ReportPages, texts: Mapping[str, str], *, language: str, names: Iterable[str] = ()
) -> ReportPages:
    """Report in another language, as far as its phrases are translated.

    Parameters
    ----------
    pages : ReportPages
    texts : mapping of str to str
        Phrase → the same in the other language; what is missing or empty stays as it is.
    language : str
        As web pages write it, such as ``de``.
    names : iterable of str, optional
        From `names_of`.

    Returns
    -------
    ReportPages

    Raises
    ------
    DossierError
        A translation has an open place that its phrase has not.
    """
    known = tuple(names)
    for phrase, told in texts.items():
        alien = set(_OPEN.findall(told)) - set(_OPEN.findall(phrase))
        if alien:
            raise DossierError(
                f"the translation of {phrase!r} has the open place {{{min(alien)}}}, which the phrase has not",
                remedy="use the numbers of the phrase; they may change places, and be left out",
            )

    def said(text: str) -> str:
        phrase, values = phrase_of(text, known)
        told = texts.get(phrase, "")
        return _OPEN.sub(lambda found: values[int(found[1]) - 1], told) if told else text

    changed = _mapped(pages, said)
    assert isinstance(changed, ReportPages)
    return replace(changed, language=language)


def _mapped(value: Any, change: Any) -> Any:
    """Pages, or a part of them, with every text changed that is lidoff's own."""
    if isinstance(value, Prose | FormulaRun):
        return value
    if isinstance(value, str):
        return value if value.startswith("at-") else change(value)
    if isinstance(value, tuple):
        return tuple(_mapped(one, change) for one in value)
    if isinstance(value, Picture):
        return replace(
            value,
            wide=_drawn(value.wide, change),
            narrow=_drawn(value.narrow, change),
            paper=_drawn(value.paper, change),
        )
    if is_dataclass(value) and not isinstance(value, type):
        kept = _KEPT | _KEPT_OF.get(type(value), frozenset())
        told = {
            field.name: _mapped(getattr(value, field.name), change)
            for field in fields(value)
            if field.name not in kept
        }
        return replace(value, **told)
    return value


def _drawn(svg: str, change: Any) -> str:
    """SVG with its texts changed; it stays well formed, since only unescaped letters are looked at."""
    from xml.sax.saxutils import escape, unescape

    def told(found: re.Match[str]) -> str:
        return found[0] if found[1] else f">{escape(change(unescape(found[2])))}<"

    return _TEXT_NODE.sub(told, svg)
