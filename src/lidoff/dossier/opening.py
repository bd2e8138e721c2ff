"""Opening a dossier for editing, and bringing one of an older format to the newest."""

from __future__ import annotations

from pathlib import Path

from lidoff.dossier.desk import Clock, Desk
from lidoff.dossier.folder_texts import read_texts, write_texts
from lidoff.dossier.formats import forward, is_older
from lidoff.dossier.journal import JOURNAL
from lidoff.dossier.loading import FILE_NAME
from lidoff.dossier.lock import take_lock
from lidoff.dossier.migrating import Migrated, migrated_texts
from lidoff.dossier.refusals import not_taken_in, read_only
from lidoff.errors import DossierError, OutputRefused

__all__ = ["migrate_folder", "open_desk"]


def open_desk(folder: Path, clock: Clock) -> Desk:
    """Desk with a dossier open on it, which is brought to the newest format if it is in an older one.

    Parameters
    ----------
    folder : Path
        Of the dossier; need not hold one yet.
    clock : callable () → str
        For the journal.

    Returns
    -------
    Desk
        Without the right to write, it can be looked at alone.

    Raises
    ------
    EditRefused
        Another process has it open.
    DossierError
        Its files cannot be read.
    OutputRefused
        The disk or share does not answer.
    """
    desk = Desk(folder, clock)
    try:
        desk.open()
    except OSError as error:
        desk.close()
        raise OutputRefused(
            f"the dossier cannot be opened now ({error.strerror or error})",
            where=str(folder),
            remedy="nothing was changed; look whether the disk or share is there, then try again",
        ) from None
    except BaseException:
        desk.close()
        raise
    return desk


def migrate_folder(folder: Path, clock: Clock) -> Migrated | None:
    """Bring a dossier on disk to the newest format; the original is kept beside.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    clock : callable () → str
        For the journal, where the dossier has one.

    Returns
    -------
    Migrated or None
        None where it is in the newest format already.

    Raises
    ------
    EditRefused
        Another process has it open, or its files were changed in a way that cannot be taken in.
    DossierError
        Its file cannot be read, or is of a newer format.
    OutputRefused
        It cannot be written; the dossier is as it was.
    """
    if (folder / JOURNAL).exists():
        desk = open_desk(folder, clock)
        try:
            if desk.outside is not None:
                raise not_taken_in(desk.outside)
            if desk.why_not_writable is not None:
                raise read_only(desk.why_not_writable, folder)
            return desk.migrated
        finally:
            desk.close()
    lock = take_lock(folder)
    try:
        old = read_texts(folder)
        if FILE_NAME not in old:
            raise DossierError(
                f"there is no {FILE_NAME} here", where=str(folder), remedy="name a dossier's folder"
            )
        forward(old[FILE_NAME], FILE_NAME)  # a newer format, or no TOML at all, is told
        if not is_older(old[FILE_NAME]):
            return None
        new, migrated = migrated_texts(folder, old)
        write_texts(folder, old, new)
    finally:
        lock.release()
    return migrated
