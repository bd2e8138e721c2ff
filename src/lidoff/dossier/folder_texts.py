"""The texts of a dossier's folder: read with care, written whole, watched for changes by other programs."""

from __future__ import annotations

import errno
import os
import stat
from contextlib import suppress
from pathlib import Path
from types import MappingProxyType

from lidoff.dossier.board_files import FOLDER, board_name
from lidoff.dossier.documents import Documents
from lidoff.dossier.inside import lies_inside
from lidoff.dossier.loading import FILE_NAME, LARGEST_FILE
from lidoff.dossier.saving import write_whole
from lidoff.dossier.traced import LARGEST_BOARD
from lidoff.errors import DossierError, OutputRefused

__all__ = [
    "Look",
    "drop_unfinished",
    "look_at",
    "may_hold_text",
    "read_texts",
    "was_changed",
    "write_texts",
]

Look = MappingProxyType[str, tuple[int, int, int]]
"""File → size, time of change and number on the disk: what tells cheaply that a file was written."""


def look_at(folder: Path) -> Look:
    """How the files of a folder look from outside.

    Parameters
    ----------
    folder : Path
        Of the dossier.

    Returns
    -------
    mapping of str to tuple of int
        Equal for two looks between which nothing was written.

    Raises
    ------
    OutputRefused
        The folder cannot be reached now, such as one on a share that is away.
    """
    found = {}
    try:
        if not folder.is_dir():
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))
        for file, path in _files(folder):
            status = path.stat()
            found[file] = (status.st_size, status.st_mtime_ns, status.st_ino)
    except OSError as error:
        raise OutputRefused(
            f"the dossier's folder cannot be reached ({error.strerror or error})",
            where=str(folder),
            remedy="nothing was changed; look whether the disk or share is there, then try again",
        ) from None
    return MappingProxyType(found)


def read_texts(folder: Path) -> Documents:
    """Texts of ``dossier.toml`` and of the boards.

    Parameters
    ----------
    folder : Path
        Of the dossier.

    Returns
    -------
    mapping of str to str
        Empty where there is no dossier yet.

    Raises
    ------
    DossierError
        A file is too large, is not UTF-8, or lies outside the folder by way of a link.
    """
    found = {}
    for file, path in _files(folder):
        _check_inside(folder, file)
        limit = LARGEST_FILE if file == FILE_NAME else LARGEST_BOARD
        if path.stat().st_size > limit:
            raise DossierError(
                f"{file} has {path.stat().st_size / 1e6:.0f} MB, more than {limit / 1e6:.0f} MB",
                where=str(folder),
                remedy="check that this is the right file",
            )
        try:
            found[file] = path.read_bytes().decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise DossierError(
                f"byte {error.start + 1} of {file} is not UTF-8 text",
                where=str(folder),
                remedy="save it as UTF-8",
            ) from None
        except OSError as error:
            raise DossierError(
                f"{file} cannot be read ({error.strerror})", where=str(folder), remedy="check its permissions"
            ) from None
    return MappingProxyType(found)


def was_changed(folder: Path, old: Documents, new: Documents) -> bool:
    """Whether a file that is to be written over holds something else than is known of it.

    A look tells most changes, but not one of equal size within the time that the clock of a share counts as one.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    old, new : mapping of str to str
        What the folder is known to hold, and what it is to hold.

    Returns
    -------
    bool
        Only files that differ between the two are read.

    Raises
    ------
    OutputRefused
        They cannot be read now.
    """
    try:
        return any(
            (folder / file).read_bytes().decode("utf-8-sig", "surrogateescape") != text
            for file, text in old.items()
            if new.get(file) != text
        )
    except OSError as error:
        raise OutputRefused(
            f"what lies in the dossier's folder cannot be read ({error.strerror or error})",
            where=str(folder),
            remedy="nothing was changed; look whether the disk or share is there, then try again",
        ) from None


def drop_unfinished(folder: Path) -> None:
    """Take away what saving left beside the files when its process was ended in the middle of it.

    Parameters
    ----------
    folder : Path
        Of the dossier, whose lock is held: nobody else is writing now.
    """
    for inside in (folder, folder / FOLDER):
        if inside.is_dir():
            for left in inside.glob(".*.part"):
                with suppress(OSError):
                    left.unlink()


def write_texts(folder: Path, old: Documents, new: Documents) -> None:
    """Write what differs between two states; files that are no more are removed.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    old, new : mapping of str to str
        What the folder holds, and what it is to hold.

    Raises
    ------
    DossierError
        A file lies outside the folder by way of a link.
    OutputRefused
        Something could not be written; each file is either as it was or as it is to be.
    """
    for file, text in new.items():
        if old.get(file) != text:
            _check_inside(folder, file)
            write_whole(folder / file, text)
    for file in old.keys() - new.keys():
        try:
            (folder / file).unlink(missing_ok=True)
        except OSError as error:
            raise OutputRefused(
                f"{file} cannot be removed ({error.strerror})",
                where=str(folder),
                remedy="check the folder's permissions",
            ) from None


def may_hold_text(file: str) -> bool:
    """Whether a file of this name is one of the texts of a dossier.

    Parameters
    ----------
    file : str
        Inside the folder, with ``/``.

    Returns
    -------
    bool
        For ``dossier.toml`` and files of boards alone.
    """
    return file == FILE_NAME or bool(board_name(file))


def _check_inside(folder: Path, file: str) -> None:
    """Refuse a file that a link leads out of the folder, whether or not there is something at its end."""
    if not lies_inside(folder, folder / file):
        raise DossierError(
            f"{file} is a link that leads out of the dossier",
            where=str(folder),
            remedy="put the file itself into the folder",
        )


def _files(folder: Path) -> list[tuple[str, Path]]:
    """Files that hold texts, with where they lie."""
    found = [(FILE_NAME, folder / FILE_NAME)]
    boards = folder / FOLDER
    with suppress(FileNotFoundError, NotADirectoryError), os.scandir(boards) as entries:
        names = sorted(entry.name for entry in entries)
        found.extend(
            (f"{FOLDER}/{name}", boards / name) for name in names if may_hold_text(f"{FOLDER}/{name}")
        )
    return [(file, path) for file, path in found if _is_file(path)]


def _is_file(path: Path) -> bool:
    """Whether a file is there; that a share does not answer is no "no", as it is for `Path.is_file` from Python 3.13 on."""
    try:
        return stat.S_ISREG(path.stat().st_mode)
    except (FileNotFoundError, NotADirectoryError):
        return False
