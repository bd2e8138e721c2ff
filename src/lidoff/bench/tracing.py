"""Longer work on boards, done in processes of their own: tracing a board from its photos."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from lidoff.bench.analyst import dossier_of
from lidoff.bench.jobs import Teller
from lidoff.bench.models import Plain

__all__ = ["trace"]


def trace(tell: Teller, texts: Mapping[str, str], folder: Path, name: str, afresh: bool) -> Plain:
    """Trace one board; nothing is written.

    Parameters
    ----------
    tell : callable (text, share)
        Told of progress.
    texts : mapping of str to str
        State of the dossier.
    folder : Path
        Of the dossier, for its photos.
    name : str
        The board.
    afresh : bool
        Whether registrations, outline and found holes are made anew.

    Returns
    -------
    dict
        ``board`` as plain data.

    Raises
    ------
    DossierError, UnknownName, ImpossibleValue, PhotoRefused
        As for `lidoff.dossier.board_work.traced_of`.
    """
    from lidoff.board import board_to_dict
    from lidoff.dossier.board_work import traced_of

    tracing = traced_of(dossier_of(texts), folder, name, afresh=afresh, progress=tell)
    return {"board": board_to_dict(tracing.board)}
