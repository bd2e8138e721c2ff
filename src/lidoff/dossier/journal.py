"""The journal of a dossier: every change, in order, each on one checked line that is on the disk before it counts.

The first line holds the texts from which all others lead on, so that the journal alone tells every state. A last line
that was cut short (power gone, disk full) never counted and is dropped; a line damaged before the end is told, and the
file is put aside, never thrown away.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO

from lidoff.dossier.documents import Documents, Splice, mark_of, spliced
from lidoff.dossier.journal_lines import (
    Entry,
    Kind,
    checked,
    entry_of,
    line_of,
    lines_of,
    splices_of,
    texts_of,
)
from lidoff.dossier.saving import flush_folder
from lidoff.errors import DossierError, OutputRefused

__all__ = ["JOURNAL", "Entry", "Journal", "Kind", "Replayed", "begin_journal", "open_journal"]

JOURNAL = "journal.jsonl"
"""File of the journal inside the dossier's folder."""
_TOLD = ("kind", "revision", "title", "time", "id", "page", "of", "mark")


@dataclass(frozen=True, slots=True, kw_only=True)
class Replayed:
    """What a journal tells on opening.

    Attributes
    ----------
    documents : mapping of str to str
        Last state.
    entries : tuple of Entry
    passed : mapping of str to frozenset of (str or None)
        Texts of each file in the states from the last one that was saved on: what the dossier's own files may hold if the
        process ended before it saved; None where the file did not exist. Files that did not change are not in it.
    """

    documents: Documents
    entries: tuple[Entry, ...]
    passed: Mapping[str, frozenset[str | None]]

    def lags(self, on_disk: Documents) -> bool:
        """Whether the files hold nothing but earlier states of the journal: the process ended while saving was due.

        Parameters
        ----------
        on_disk : mapping of str to str
            Texts of the files.

        Returns
        -------
        bool
            False where another program wrote something of its own.
        """
        files = on_disk.keys() | self.documents.keys() | self.passed.keys()
        return all(
            on_disk.get(file) in self.passed.get(file, frozenset({self.documents.get(file)}))
            for file in files
        )


class Journal:
    """An open journal, at whose end lines are added.

    Parameters
    ----------
    file : Path
        Where it lies.
    stream : binary file
        Open for reading and adding, unbuffered.
    length : int
        Bytes of it that count.
    """

    def __init__(self, file: Path, stream: BinaryIO, length: int) -> None:
        self._file = file
        self._stream = stream
        self._length = length

    def note(self, entry: Entry, splices: tuple[Splice, ...]) -> Entry:
        """Add a change; when this returns, it is on the disk.

        Parameters
        ----------
        entry : Entry
            What was changed; its place in the file is not known yet.
        splices : tuple of Splice
            How.

        Returns
        -------
        Entry
            With its place.

        Raises
        ------
        OutputRefused
            It could not be written; nothing of it counts.
        """
        at, length = self.add(
            {
                **{name: getattr(entry, name) for name in _TOLD},
                "touches": [list(path) for path in entry.touches],
                "splices": [[s.file, s.at, s.removed, s.put, s.before, s.after] for s in splices],
            }
        )
        return replace(entry, at=at, length=length)

    def add(self, entry: Mapping[str, object], *, lasting: bool = True) -> tuple[int, int]:
        """Add one line.

        Parameters
        ----------
        entry : mapping
            Plain data.
        lasting : bool
            Whether the line must be on the disk before this returns.

        Returns
        -------
        tuple of int
            Place and length of the line, in bytes.

        Raises
        ------
        OutputRefused
            It could not be written; nothing of it counts.
        """
        line = line_of(entry)
        at = self._length
        try:
            # A line that an earlier failure left half-written goes first.
            if os.fstat(self._stream.fileno()).st_size != at:
                os.ftruncate(self._stream.fileno(), at)
            self._stream.seek(at)
            rest = memoryview(line)
            while rest:  # unbuffered: what was refused must not come back with a later line
                rest = rest[self._stream.write(rest) :]
            if lasting:
                os.fsync(self._stream.fileno())
        except (OSError, ValueError) as error:
            self._take_back(at)
            raise OutputRefused(
                f"the change cannot be noted in {JOURNAL} ({getattr(error, 'strerror', None) or error})",
                where=str(self._file.parent),
                remedy="nothing was changed; make room on the disk or check the permissions, then try again",
            ) from None
        self._length = at + len(line)
        return at, len(line)

    def _take_back(self, at: int) -> None:
        """Drop a half-written line, now if the disk lets us, else before the next one or on opening."""
        with suppress(OSError):
            os.ftruncate(self._stream.fileno(), at)

    def splices(self, entry: Entry) -> tuple[Splice, ...]:
        """Splices of an entry, read from its line.

        Parameters
        ----------
        entry : Entry
            Of this journal.

        Returns
        -------
        tuple of Splice
            In order.

        Raises
        ------
        DossierError
            The line is damaged by now.
        """
        line = os.pread(self._stream.fileno(), entry.length, entry.at)
        data = checked(line)
        if data is None:
            raise DossierError(
                f"the line of change {entry.revision} in {JOURNAL} is damaged",
                where=str(self._file),
                remedy="this change can no longer be undone; copy the dossier's folder to a sound disk",
            )
        return splices_of(data)

    def close(self) -> None:
        """Close the file; all that counts is on the disk already."""
        with suppress(OSError):
            self._stream.close()


def begin_journal(folder: Path, documents: Documents, time: str) -> Journal:
    """New journal that leads on from some texts.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    documents : mapping of str to str
        Texts now.
    time : str
        As the clock stands.

    Returns
    -------
    Journal
        Open.

    Raises
    ------
    OutputRefused
        It cannot be written.
    """
    file = folder / JOURNAL
    try:
        stream = file.open("x+b", buffering=0)
    except OSError as error:
        raise OutputRefused(
            f"{JOURNAL} cannot be made ({error.strerror})",
            where=str(folder),
            remedy="check the folder's permissions",
        ) from None
    try:
        journal = Journal(file, stream, 0)
        journal.add({"kind": "base", "revision": 0, "time": time, "texts": dict(documents)})
        flush_folder(folder)
    except (OutputRefused, OSError) as error:
        with suppress(OSError):
            stream.close()
            file.unlink(missing_ok=True)
        if isinstance(error, OutputRefused):
            raise
        raise OutputRefused(
            f"{JOURNAL} cannot be made to last ({error.strerror or error})",
            where=str(folder),
            remedy="look whether the disk or share is there, then try again",
        ) from None
    return journal


def open_journal(folder: Path) -> tuple[Journal, Replayed] | None:
    """Journal of a dossier with the last state that it tells.

    Parameters
    ----------
    folder : Path
        Of the dossier.

    Returns
    -------
    tuple of Journal, Replayed; or None
        None where there is no journal, or none whose first line counts.

    Raises
    ------
    DossierError
        A line before the end is damaged or does not lead on from the one before, or the file is none.
    OutputRefused
        The file cannot be read, or opened for writing.
    """
    file = folder / JOURNAL
    try:
        if not stat.S_ISREG(file.stat().st_mode):
            raise DossierError(
                f"{JOURNAL} is no ordinary file", where=str(folder)
            )  # a pipe would be waited for
        content = file.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:  # it may be whole all the same: it is neither damaged nor to be begun anew
        raise OutputRefused(
            f"{JOURNAL} cannot be read ({error.strerror or error})",
            where=str(folder),
            remedy="nothing was changed; check its permissions, and whether the disk or share is there",
        ) from None
    replayed, length = _replayed(content, str(file))
    if replayed is None:
        return None
    try:
        stream = file.open("r+b", buffering=0)
    except OSError as error:
        raise OutputRefused(
            f"{JOURNAL} cannot be written ({error.strerror})",
            where=str(folder),
            remedy="check its permissions",
        ) from None
    return Journal(file, stream, length), replayed  # a last line that was cut short goes with the next one


def _replayed(content: bytes, where: str) -> tuple[Replayed | None, int]:
    """State that a journal's bytes tell, and how many bytes of it count."""
    documents: Documents | None = None
    entries: list[Entry] = []
    passed: dict[str, set[str | None]] = {}
    done = undone = length = 0
    for at, line, last in lines_of(content):
        data = checked(line)
        if data is None:
            if last:
                break
            raise _damaged(where, content, at)
        try:
            if data["kind"] == "base":
                documents = texts_of(data)
            elif data["kind"] == "saved":
                passed = {}
            else:
                entry, splices = entry_of(data, at, len(line)), splices_of(data)
                if documents is None or entry.revision != (entries[-1].revision if entries else 0) + 1:
                    raise _damaged(where, content, at)
                done, undone = _counted(entry.kind, done, undone)
                before, documents = documents, spliced(documents, splices)
                for one in splices:
                    passed.setdefault(one.file, {before.get(one.file)}).add(documents.get(one.file))
                entries.append(entry)
        except (KeyError, TypeError, ValueError) as error:
            raise _damaged(where, content, at) from error
        length = at + len(line)
    if documents is None:
        return None, 0
    if entries and entries[-1].mark != mark_of(documents):
        raise _damaged(where, content, entries[-1].at)
    told = {file: frozenset(texts) for file, texts in passed.items()}
    return Replayed(documents=documents, entries=tuple(entries), passed=told), length


def _counted(kind: Kind, done: int, undone: int) -> tuple[int, int]:
    """Changes that stand and that were undone after one more; an undo or redo of nothing is a `ValueError`."""
    if kind == "undo":
        done, undone = done - 1, undone + 1
    elif kind == "redo":
        done, undone = done + 1, undone - 1
    else:
        done, undone = done + 1, 0
    if done < 0 or undone < 0:
        raise ValueError(f"there is nothing to {kind}")
    return done, undone


def _damaged(where: str, content: bytes, at: int) -> DossierError:
    line = content.count(b"\n", 0, at) + 1
    return DossierError(
        "the journal is damaged before its end",
        where=f"{where}, line {line}",
        remedy="the dossier's own files hold its last saved state; the journal is kept aside",
    )
