"""What runs in the process beside the server: the full analysis, and what is made of it."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from ctypes import c_longlong
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from lidoff.errors import LidoffError

if TYPE_CHECKING:
    from lidoff.dossier import Analysis, Dossier

_STEP_BACK = 5
"""By how much this process steps back behind what a hand waits for: the drawing, and the classes of a stroke."""

__all__ = ["analysis_of", "begin", "dossier_of", "full_analysis", "marks_of_logs"]


class _Stale(Exception):
    """The state that is worked on is no longer the newest."""


class _Held:
    """What this process keeps between two pieces of work."""

    newest: c_longlong | None = None
    mark = ""
    analysis: Analysis | None = None


def begin(newest: c_longlong) -> None:
    """Take the number of the newest state, which the server keeps writing.

    Parameters
    ----------
    newest : shared number
        Generation of the newest state.
    """
    if hasattr(os, "nice"):
        os.nice(_STEP_BACK)
    _Held.newest = newest


def dossier_of(texts: Mapping[str, str], folder: Path | None = None) -> Dossier:
    """Dossier of a folder's texts.

    Parameters
    ----------
    texts : mapping of str to str
        ``dossier.toml`` and the boards.
    folder : Path, optional
        Where its logs and photos lie; without it readings from logs are not looked for, nor are photos.

    Returns
    -------
    Dossier
        As loaded.

    Raises
    ------
    DossierError
        It says something impossible, or is not there.
    """
    from lidoff.dossier import FILE_NAME, dossier_from_text
    from lidoff.dossier.logs import log_contents
    from lidoff.dossier.photo_files import unusable_photos
    from lidoff.errors import DossierError

    if FILE_NAME not in texts:
        raise DossierError(f"there is no {FILE_NAME} yet", remedy="begin the dossier first")
    boards = {file: text for file, text in texts.items() if file != FILE_NAME}
    logs = None if folder is None else log_contents(folder, texts[FILE_NAME])
    dossier = dossier_from_text(texts[FILE_NAME], boards=boards, logs=logs)
    if folder is None:
        return dossier
    return replace(dossier, unusable_photos=unusable_photos(folder, dossier.photos))


def analysis_of(texts: Mapping[str, str], folder: Path, generation: int = 0) -> Analysis:
    """Analysis of a state; the last one is kept.

    Parameters
    ----------
    texts : mapping of str to str
        The state.
    folder : Path
        Of the dossier, for its logs.
    generation : int
        Its number; with one, the work ends as soon as there is a newer state.

    Returns
    -------
    Analysis
        Of `lidoff.dossier`.
    """
    from lidoff.dossier import analyse
    from lidoff.dossier.documents import mark_of

    mark = mark_of(texts) + marks_of_logs(folder)
    if _Held.analysis is not None and _Held.mark == mark:
        return _Held.analysis

    def heed(_text: str, _share: float) -> None:
        if generation and _Held.newest is not None and _Held.newest.value != generation:
            raise _Stale

    heed("", 0.0)
    analysis = analyse(dossier_of(texts, folder), progress=heed)
    _Held.mark, _Held.analysis = mark, analysis
    return analysis


def marks_of_logs(folder: Path) -> str:
    """Sizes and times of the logs: what tells cheaply that one was written anew.

    Parameters
    ----------
    folder : Path
        Of the dossier.

    Returns
    -------
    str
        Equal for the same logs.
    """
    told = []
    for file in sorted((folder / "logs").glob("*.csv")):
        with suppress(OSError):
            status = file.stat()
            told.append(f"{file.name} {status.st_size} {status.st_mtime_ns}")
    return "\n".join(told)


def full_analysis(
    texts: Mapping[str, str], folder: Path, generation: int
) -> dict[str, object] | LidoffError | None:
    """Full analysis as plain data; the error that stands in its way; None where it went stale.

    Parameters
    ----------
    texts : mapping of str to str
        The state.
    folder : Path
        Of the dossier.
    generation : int
        Its number.

    Returns
    -------
    dict, LidoffError or None
        As `analysis_json` tells it.
    """
    from lidoff.dossier import analysis_json

    try:
        return dict(analysis_json(analysis_of(texts, folder, generation)))
    except _Stale:
        return None
    except LidoffError as error:
        return error
