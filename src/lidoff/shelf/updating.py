"""Bringing an index up to date with its folders: only what changed is analysed anew."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from hashlib import blake2b
from pathlib import Path

from lidoff.dossier import FILE_NAME
from lidoff.errors import DossierError
from lidoff.shelf.bulk import each
from lidoff.shelf.entry import ShelfEntry, entry_of
from lidoff.shelf.index import Index

__all__ = ["Updated", "analysed_entry", "dossiers_under", "largest_first", "stamp_of", "update"]

Progress = Callable[[str, float], None]
PASSED_BY = frozenset({"out", "photos", "logs", "boards", "node_modules"})
"""Folders that hold no dossiers."""
WORTH = 6
"""Dossiers for which another process is worth its start."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Updated:
    """What an update did.

    Attributes
    ----------
    dossiers, read, gone : int
        How many there are, were read anew, and were taken out.
    problems : dict of str to str
        By folder: why it could not be read.
    """

    dossiers: int
    read: int
    gone: int
    problems: dict[str, str]


def dossiers_under(shelf: Path) -> Iterator[str]:
    """Folders with a dossier below a folder, relative to it and with ``/``; links are not followed.

    Parameters
    ----------
    shelf : Path
        Where to look.

    Yields
    ------
    str
        Sorted within each folder.

    Raises
    ------
    DossierError
        It is no folder, or a folder below cannot be read; then all that can be found was told before.
    """
    if not shelf.is_dir():
        raise DossierError(
            "there is no such folder",
            where=str(shelf),
            remedy="name the folder that the dossiers' folders lie in",
        )
    unreached: list[OSError] = []
    for folder, inner, files in os.walk(shelf, onerror=unreached.append):
        inner[:] = sorted(name for name in inner if not name.startswith(".") and name not in PASSED_BY)
        if FILE_NAME in files:
            yield Path(folder).relative_to(shelf).as_posix()
    if unreached:
        raise DossierError(
            f"{len(unreached)} folders cannot be looked into, such as {unreached[0].filename} ({unreached[0].strerror})",
            where=str(shelf),
            remedy="what lies in them is kept as it was; look whether the disk or share is there, and who may read it",
        )


def stamp_of(folder: Path) -> str:
    """Stamp that changes whenever a file changes that an analysis reads.

    Parameters
    ----------
    folder : Path
        Of a dossier.

    Returns
    -------
    str
        Made of the text of the dossier and its boards, and of the logs' names, sizes and times.
    """
    found = blake2b(digest_size=16)
    for file in (folder / FILE_NAME, *sorted(folder.glob("boards/*.json"))):
        found.update(file.name.encode())
        if file.exists() and not file.is_file():
            found.update(b"no ordinary file")  # a pipe would be waited for
            continue
        try:
            found.update(file.read_bytes())
        except OSError as error:
            found.update(f"unreadable: {error.strerror}".encode())
    for file in sorted(folder.glob("logs/*")):
        try:
            known = file.stat()
            found.update(f"{file.name} {known.st_size} {known.st_mtime_ns} {known.st_ino}".encode())
        except OSError as error:
            found.update(f"{file.name} unreadable: {error.strerror}".encode())
    return found.hexdigest()


def largest_first(shelf: Path, folders: Iterable[str]) -> list[str]:
    """Dossiers in the order in which several processes end together: what takes long is begun before what is quick.

    Parameters
    ----------
    shelf : Path
        The shelf's folder.
    folders : iterable of str
        Of dossiers below it.

    Returns
    -------
    list of str
        By the size of what an analysis reads, those of equal size by name.
    """

    def size(folder: str) -> int:
        texts = (shelf / folder / FILE_NAME, *(shelf / folder).glob("boards/*.json"))
        return sum(file.stat().st_size for file in texts if file.is_file())

    return sorted(folders, key=lambda folder: (-size(folder), folder))


def analysed_entry(shelf: str, folder: str) -> tuple[str, ShelfEntry]:
    """Stamp and entry of one dossier; runs wherever the work is done.

    Parameters
    ----------
    shelf, folder : str
        The shelf's folder, and the dossier's below it.

    Returns
    -------
    stamp : str
        Taken before reading, so that what changes meanwhile is read again.
    entry : ShelfEntry
        Of the analysed dossier.
    """
    from lidoff.dossier import analyse, load_dossier

    place = Path(shelf) / folder
    stamp = stamp_of(place)
    return stamp, entry_of(folder, analyse(load_dossier(place)))


def update(
    index: Index,
    shelf: Path,
    *,
    processes: int = 1,
    scheduler: str = "",
    progress: Progress | None = None,
) -> Updated:
    """Bring an index up to date.

    Parameters
    ----------
    index : Index
        Open.
    shelf : Path
        Folder that the dossiers lie below; with a scheduler, its workers must reach it by the same name.
    processes : int
        As for `each`.
    scheduler : str
        As for `each`.
    progress : callable (text, share), optional
        Told of each dossier.

    Returns
    -------
    Updated
        Each dossier is kept as soon as it is read: called off, the next update goes on from there.
    """
    shelf = shelf.resolve()
    known = index.stamps()
    there: list[str] = []
    unreached: DossierError | None = None
    try:
        for folder in dossiers_under(shelf):
            there.append(folder)  # noqa: PERF402 - what was found before an error counts
    except DossierError as error:
        if not shelf.is_dir():
            raise
        unreached = error
    gone = (
        sorted(set(known) - set(there)) if unreached is None else []
    )  # what cannot be seen now may be there
    for folder in gone:
        index.forget(folder)
    failed = index.problems()  # tried again each time: a share may have been away, or memory short
    changed = [
        folder for folder in there if folder in failed or known.get(folder) != stamp_of(shelf / folder)
    ]
    stale = largest_first(shelf, changed)
    work = partial(analysed_entry, str(shelf))
    processes = min(processes, -(-len(stale) // WORTH))
    for number, done in enumerate(each(work, stale, processes=processes, scheduler=scheduler), start=1):
        if done.result is None:
            index.keep_problem(done.about, stamp_of(shelf / done.about), done.problem)
        else:
            index.keep(done.result[1], done.result[0])
        if progress is not None:
            progress(f"reading {done.about}", number / len(stale))
    problems = index.problems() | ({str(shelf): str(unreached)} if unreached is not None else {})
    return Updated(dossiers=index.count(), read=len(stale), gone=len(gone), problems=problems)
