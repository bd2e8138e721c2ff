"""`ReportPages` → PDF, set by the typesetter from data alone, tagged for screen readers (PDF/UA-1)."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from importlib import resources
from typing import Any

from lidoff.fonts import FAMILY, font_folder
from lidoff.report.model import ReportPages
from lidoff.report.words import typeset

__all__ = ["pdf_of"]

PLACEHOLDER = "□"
"""Printed for a character that the shipped typefaces lack."""
NOT_IN_TYPEFACE = "could not be displayed"


def pdf_of(pages: ReportPages) -> bytes:
    """Report as PDF.

    Parameters
    ----------
    pages : ReportPages

    Returns
    -------
    bytes
        Equal for equal pages. Characters that the shipped typefaces lack are printed as □, and the last page says so.
    """
    import typst

    try:
        return _typeset(pages, {})
    except typst.TypstError as error:
        if NOT_IN_TYPEFACE not in error.message:
            raise
    lacking = _lacking(_letters(pages))
    return _typeset(pages, dict.fromkeys(lacking, PLACEHOLDER))


def _typeset(pages: ReportPages, replaced: Mapping[str, str]) -> bytes:
    table = str.maketrans(dict(replaced))
    data = _plain(pages, lambda text: typeset(text).translate(table))
    assert isinstance(data, dict)
    data["family"] = FAMILY
    data["dated"] = None if pages.dated is None else list(pages.dated.timetuple()[:3])
    data["missing"] = (
        f"{len(replaced)} characters that the typeface lacks are printed as {PLACEHOLDER}; report.html shows them."
        if replaced
        else ""
    )
    return _compiled("paper.typ", {"pages": json.dumps(data)})


def _compiled(template: str, inputs: dict[str, str]) -> bytes:
    import typst

    # The template writes the dossier's date, or none, so that no clock is asked and equal pages give equal bytes.
    with resources.as_file(resources.files("lidoff.report") / "templates" / template) as source:
        return typst.compile(
            str(source),
            format="pdf",
            font_paths=[str(font_folder())],
            ignore_system_fonts=True,
            sys_inputs=inputs,
            pdf_standards=["ua-1"],
        )


def _plain(value: Any, shown: Callable[[str], str]) -> Any:
    """Data of the pages for JSON: each block with the name of its class, every text made fit to be shown."""
    if isinstance(value, str):
        return shown(value)
    if is_dataclass(value) and not isinstance(value, type):
        named = {field.name: _plain(getattr(value, field.name), shown) for field in fields(value)}
        return {"is": type(value).__name__.lower(), **named}
    if isinstance(value, tuple):
        return [_plain(one, shown) for one in value]
    if isinstance(value, bool | int | float):
        return value
    return None


def _letters(pages: ReportPages) -> tuple[str, ...]:
    """Every character beyond ASCII that the pages hold, sorted."""
    found: set[str] = set()

    def noted(text: str) -> str:
        found.update(typeset(text))
        return text

    _plain(pages, noted)
    return tuple(sorted(letter for letter in found if letter > "~"))


def _lacking(letters: tuple[str, ...]) -> tuple[str, ...]:
    """Those that no shipped typeface has, found by halving."""
    if not letters or _can_set("".join(letters)):
        return ()
    if len(letters) == 1:
        return letters
    middle = len(letters) // 2
    return (*_lacking(letters[:middle]), *_lacking(letters[middle:]))


def _can_set(text: str) -> bool:
    import typst

    try:
        _compiled("letters.typ", {"letters": " ".join(text), "family": FAMILY})
    except typst.TypstError as error:
        if NOT_IN_TYPEFACE not in error.message:
            raise
        return False
    return True
