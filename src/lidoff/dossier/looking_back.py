"""Earlier states of a dossier, told by its journal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidoff.dossier.documents import Documents, inverse, spliced
from lidoff.errors import UnknownName

if TYPE_CHECKING:
    from lidoff.dossier.desk import Desk

__all__ = ["texts_at"]


def texts_at(desk: Desk, revision: int) -> Documents:
    """Texts of a dossier as they were.

    Parameters
    ----------
    desk : Desk
        The dossier, open.
    revision : int
        Number of the state.

    Returns
    -------
    mapping of str to str
        Read-only.

    Raises
    ------
    UnknownName
        There was no such state since the journal began.
    DossierError
        A line of the journal is damaged by now.
    """
    if not 0 <= revision <= desk.revision:
        raise UnknownName(
            f"there was no state {revision} of this dossier", remedy=f"choose one from 0 to {desk.revision}"
        )
    texts = desk.documents
    for entry in reversed(desk.history.since(revision)):
        texts = spliced(texts, inverse(desk.splices(entry)))
    return texts
