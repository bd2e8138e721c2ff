"""Files of a dossier that another program changed: whether they can be taken in, and where they are kept if not."""

from __future__ import annotations

from itertools import count
from pathlib import Path

from lidoff.dossier.documents import Documents
from lidoff.dossier.formats import forward
from lidoff.dossier.journal import JOURNAL
from lidoff.dossier.loading import FILE_NAME
from lidoff.errors import DossierError

__all__ = ["both_changed", "keep_beside", "put_journal_aside", "why_unreadable"]


def both_changed() -> DossierError:
    """Error for files that were changed outside before changes made here were written into them."""
    return DossierError(
        "another program changed the dossier's files while changes made here were not in them yet",
        where=FILE_NAME,
        remedy="keep the workbench's own state (the other is kept beside), or close it and merge the two by hand",
    )


def why_unreadable(found: Documents) -> DossierError | None:
    """Why no edit can be made on some texts.

    Parameters
    ----------
    found : mapping of str to str
        As they lie in the folder.

    Returns
    -------
    DossierError or None
        ``dossier.toml`` is gone, is not TOML or is of a newer format; None where it can be read.
    """
    if FILE_NAME not in found:
        return DossierError(f"{FILE_NAME} is gone", remedy="put it back, or keep the workbench's own state")
    try:
        forward(found[FILE_NAME], FILE_NAME)
    except DossierError as error:
        return error
    return None


def keep_beside(path: Path) -> Path:
    """Copy a file under a name of its own beside it.

    Parameters
    ----------
    path : Path
        Of the file.

    Returns
    -------
    Path
        Such as ``dossier.outside-1.toml``.
    """
    aside = _free(path, "outside")
    aside.write_bytes(path.read_bytes())
    return aside


def put_journal_aside(folder: Path, word: str) -> Path:
    """Give a journal that no longer counts another name, so that a new one can be begun and nothing is thrown away.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    word : str
        Why it no longer counts.

    Returns
    -------
    Path
        Such as ``journal.damaged-1.jsonl``.
    """
    return (folder / JOURNAL).rename(_free(folder / JOURNAL, word))


def _free(path: Path, word: str) -> Path:
    for number in count(1):
        aside = path.with_name(f"{path.stem}.{word}-{number}{path.suffix}")
        try:
            aside.lstat()  # a share that does not answer is an error, not a free name
        except FileNotFoundError:
            break
    return aside
