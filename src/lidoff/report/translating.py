"""Translations of a report on disk: ``texts/LANGUAGE.json`` in the dossier's folder, phrase by phrase."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from pathlib import Path

from lidoff.errors import DossierError, ImpossibleValue
from lidoff.report.model import ReportPages
from lidoff.report.phrases import phrases_of, reworded

__all__ = ["texts_file", "translated", "translated_share"]

_LANGUAGE = re.compile(r"[a-z]{2,3}(?:-[A-Za-z0-9]{2,8})*")


def texts_file(folder: str | Path, language: str) -> Path:
    """File of a language's texts.

    Parameters
    ----------
    folder : str or Path
        Of the dossier, or the file in it.
    language : str
        As web pages write it, such as ``de`` or ``pt-BR``.

    Returns
    -------
    Path
        It may not be there yet.

    Raises
    ------
    ImpossibleValue
        No language is written so.
    """
    if not _LANGUAGE.fullmatch(language):
        raise ImpossibleValue(f"{language!r} is no language", remedy="write it as in de, fr or pt-BR")
    path = Path(folder)
    return (path.parent if path.is_file() else path) / "texts" / f"{language}.json"


def translated(
    pages: ReportPages, file: Path, *, names: Iterable[str] = ()
) -> tuple[ReportPages, bytes, int, int]:
    """Report with the texts of a file, and the file anew with every phrase of the report.

    Parameters
    ----------
    pages : ReportPages
    file : Path
        From `texts_file`; it need not be there.
    names : iterable of str, optional
        From `names_of`.

    Returns
    -------
    pages : ReportPages
        Translated as far as the file goes.
    data : bytes
        For the file: every phrase in the order of the report, empty where no translation is there, then those that this
        report does not hold.
    done, all : int
        Phrases translated, and phrases in the report.

    Raises
    ------
    DossierError
        The file cannot be read, or a translation does not fit its phrase.
    """
    known = tuple(names)
    texts = _read(file)
    phrases = phrases_of(pages, known)
    told = {phrase: texts.get(phrase, "") for phrase in phrases}
    told |= {phrase: text for phrase, text in texts.items() if phrase not in told and text}
    data = json.dumps(told, ensure_ascii=False, indent=1) + "\n"
    done = sum(bool(told[phrase]) for phrase in phrases)
    return reworded(pages, texts, language=file.stem, names=known), data.encode(), done, len(phrases)


def translated_share(file: Path) -> tuple[int, int]:
    """How many phrases of a file of texts are translated, and how many it holds."""
    texts = _read(file)
    return sum(bool(text) for text in texts.values()), len(texts)


def _read(file: Path) -> Mapping[str, str]:
    where = f"texts/{file.name}"
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, RecursionError) as error:
        raise DossierError(
            f"these texts cannot be read ({error})", where=where, remedy="mend the file, or move it away"
        ) from None
    if not isinstance(found, dict) or not all(isinstance(text, str) for text in found.values()):
        raise DossierError(
            "these texts are no pairs of phrase and translation",
            where=where,
            remedy='write {"phrase": "translation"}',
        )
    return found
