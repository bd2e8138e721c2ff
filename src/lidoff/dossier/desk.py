"""One dossier open for editing: its texts, its journal, its lock, and what other programs do to its files meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from types import MappingProxyType

from lidoff.dossier.documents import Documents, Splice, inverse, mark_of, spliced, splices_between
from lidoff.dossier.editing import EVERYTHING, apply, name_of_file
from lidoff.dossier.edits import Edit, after_own, is_of_board
from lidoff.dossier.faults import check_faults
from lidoff.dossier.folder_texts import Look, drop_unfinished, look_at, read_texts, was_changed, write_texts
from lidoff.dossier.formats import is_older
from lidoff.dossier.history import History
from lidoff.dossier.journal import JOURNAL, Entry, Journal, Kind, Replayed, begin_journal, open_journal
from lidoff.dossier.loading import FILE_NAME
from lidoff.dossier.lock import Lock, take_lock
from lidoff.dossier.migrating import Migrated, migrated_texts
from lidoff.dossier.outside import both_changed, keep_beside, put_journal_aside, why_unreadable
from lidoff.dossier.refusals import begun_already, not_taken_in, read_only
from lidoff.errors import DossierError, EditRefused, LidoffError, OutputRefused

__all__ = ["Clock", "Desk"]

Clock = Callable[[], str]
"""Gives the time of now as text; what it says is noted, never reckoned with."""


class Desk:
    """One dossier open for editing; all that changes it goes through one place at a time: the caller sees to that.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    clock : callable () → str
        For the journal.
    """

    def __init__(self, folder: Path, clock: Clock) -> None:
        self.folder = folder
        self._clock = clock
        self.on_coming: Callable[[Documents], None] | None = None
        """Told of a state that passed every check, just before it goes to the disk; it may still fail there."""
        self._lock: Lock | None = None
        self._journal: Journal | None = None
        self.history = History()
        self._on_disk: Documents = MappingProxyType({})
        self._look: Look = MappingProxyType({})
        self.documents: Documents = MappingProxyType({})
        self.why_not_writable: LidoffError | None = None
        self.outside: LidoffError | None = None
        self.unsaved: LidoffError | None = None
        self.migrated: Migrated | None = None

    # ---- what it holds

    @property
    def revision(self) -> int:
        """Number of the state: how many changes there were, undoing included."""
        return self.history.revision

    @property
    def begun(self) -> bool:
        """Whether the folder holds a dossier."""
        return FILE_NAME in self.documents

    # ---- opening and closing

    def open(self) -> None:
        """Take the lock, read the journal, and bring files and journal together."""
        try:
            self._lock = take_lock(self.folder)
        except OutputRefused as error:
            self.why_not_writable = error
            self._on_disk = self.documents = read_texts(self.folder)
            return
        drop_unfinished(self.folder)
        self._look, self._on_disk = look_at(self.folder), read_texts(self.folder)
        try:
            found = open_journal(self.folder)
        except DossierError:
            put_journal_aside(self.folder, "damaged")
            found = None
        if found is None:
            (self.folder / JOURNAL).unlink(missing_ok=True)  # at most a first line that was cut short
            self.documents = self._on_disk
            self.outside = why_unreadable(self.documents) if self.begun else None
        try:
            if found is not None:
                self._journal, replayed = found
                self._take_up(replayed)
            if self._is_older and self.outside is None and self._on_disk == self.documents:
                self._bring_forward()
        except OutputRefused as error:
            self.why_not_writable = error
        if self.begun and self._journal is None and self.why_not_writable is None:
            self._start_journal()

    @property
    def _is_older(self) -> bool:
        return self.begun and is_older(self.documents[FILE_NAME])

    def _bring_forward(self) -> None:
        """Bring a dossier of an older format to the newest; its file and its journal are kept beside as they were.

        An end at any moment leaves what the next opening does again: the originals are kept first, and the old journal is out
        of the way before a file is written that it does not tell of.
        """
        new, migrated = migrated_texts(self.folder, self._on_disk)
        if self._journal is not None:
            self._journal.close()
            self._journal, self.history = None, History()
            put_journal_aside(self.folder, f"format-{migrated.was}")
        write_texts(self.folder, self._on_disk, new)
        self._look, self._on_disk, self.documents = look_at(self.folder), new, new
        self.migrated = migrated

    def _start_journal(self) -> None:
        try:
            self._journal = begin_journal(self.folder, self.documents, self._clock())
        except OutputRefused as error:
            self.why_not_writable = error

    def _take_up(self, replayed: Replayed) -> None:
        """Go on from a journal's last state; what the files say beyond it was done by another program."""
        self.documents = MappingProxyType(dict(replayed.documents))
        for entry in replayed.entries:
            self.history.note(entry)
        if self._on_disk == self.documents:
            return
        if replayed.lags(self._on_disk):
            self._save()
            return
        found, self._on_disk = self._on_disk, self.documents
        if replayed.passed:
            # The process before ended while saving was due, so nobody knows what the other program saw.
            self.outside = both_changed()
        else:
            self._look_outside(found)

    def close(self) -> None:
        """Let the dossier go."""
        if self._journal is not None:
            self._journal.close()
        if self._lock is not None:
            self._lock.release()
        self._journal = self._lock = None

    def begin(self, texts: Documents | None) -> None:
        """Begin the dossier of an empty folder.

        Parameters
        ----------
        texts : mapping of str to str or None
            First state; None takes up what was put into the folder meanwhile.

        Raises
        ------
        EditRefused, OutputRefused
            There is a dossier already, or the folder cannot be written.
        """
        if self.begun:
            raise begun_already(self.folder)
        self.check_writable()
        if texts is not None:
            write_texts(self.folder, {}, texts)
        self._look, self._on_disk = look_at(self.folder), read_texts(self.folder)
        self.documents = self._on_disk
        self._start_journal()

    # ---- changing

    def edit(self, edit: Edit, *, base: int, id: str, page: str = "") -> Entry:
        """Make an edit; when this returns, the edit is in the journal on the disk.

        Parameters
        ----------
        edit : Edit
            What to do.
        base : int
            Revision that whoever asks has seen.
        id : str
            Of the request; the same once more changes nothing and gives the same entry.
        page : str
            Who asks.

        Returns
        -------
        Entry
            Of the journal.

        Raises
        ------
        EditRefused
            A place that it touches was changed since `base`, or a file was changed outside and cannot be taken in.
        UnknownName, ImpossibleValue, DossierError
            It cannot be done, or would bring new faults into the dossier.
        OutputRefused
            The journal cannot be written; nothing was changed.
        """
        known = self.history.known(id)
        if known is not None:
            return known
        self._ready()
        edited = apply(self.documents, edit)
        self.history.check_base(base, edited.touches, page=page, own=after_own(edit))
        splices = splices_between(self.documents, edited.documents)
        check_faults(self.documents, edited.documents, of_board=is_of_board(edit))
        return self._change(
            "edit", edited.title, splices, edited.documents, touches=edited.touches, id=id, page=page
        )

    def undo(self, *, base: int, id: str, page: str = "") -> Entry:
        """Take the last change back.

        Parameters
        ----------
        base : int
            Revision that whoever asks has seen; must be the present one.
        id, page : str
            As for `edit`.

        Returns
        -------
        Entry
            Of the journal.

        Raises
        ------
        EditRefused
            There is nothing to undo, or something was changed since `base`.
        OutputRefused
            The journal cannot be written; nothing was changed.
        """
        return self._step("undo", self.history.next_undo, base, id, page)

    def redo(self, *, base: int, id: str, page: str = "") -> Entry:
        """Make the change that was last undone again; see `undo`."""
        return self._step("redo", self.history.next_redo, base, id, page)

    def _step(self, kind: Kind, entry: Entry | None, base: int, id: str, page: str) -> Entry:
        known = self.history.known(id)
        if known is not None:
            return known
        self._ready()
        self.history.check_base(base, (EVERYTHING,))
        if entry is None:
            raise EditRefused(f"there is nothing to {kind}", remedy="the history is at its end")
        assert self._journal is not None
        splices = self._journal.splices(entry)
        if kind == "undo":
            splices = inverse(splices)
        return self._change(
            kind,
            entry.title,
            splices,
            spliced(self.documents, splices),
            touches=entry.touches,
            id=id,
            page=page,
            of=entry.revision,
        )

    def splices(self, entry: Entry) -> tuple[Splice, ...]:
        """How an entry of the history changed the texts."""
        assert self._journal is not None
        return self._journal.splices(entry)

    def _ready(self) -> None:
        self.check_writable()
        self.look_outside()
        if self.outside is not None:
            raise not_taken_in(self.outside)
        if self.unsaved is not None:
            self._save()
        if self._is_older:
            if self._on_disk != self.documents:
                raise self.unsaved or both_changed()
            self._bring_forward()
            self._start_journal()
            self.check_writable()

    def check_writable(self) -> None:
        """Refuse where the folder can be looked at alone.

        Raises
        ------
        EditRefused
            Says why.
        """
        if self.why_not_writable is not None:
            raise read_only(self.why_not_writable, self.folder)

    def _change(
        self,
        kind: Kind,
        title: str,
        splices: tuple[Splice, ...],
        new: Documents,
        *,
        touches: Sequence[tuple[str | int, ...]],
        id: str = "",
        page: str = "",
        of: int = 0,
    ) -> Entry:
        assert self._journal is not None
        if self.on_coming is not None:
            self.on_coming(new)
        entry = Entry(
            revision=self.revision + 1, kind=kind, title=title, time=self._clock(), id=id, page=page, of=of,
            touches=tuple(touches), mark=mark_of(new),
        )  # fmt: skip
        entry = self._journal.note(entry, splices)
        self.documents = MappingProxyType(dict(new))
        self.history.note(entry)
        self._save()
        return entry

    def _save(self) -> None:
        """Bring the dossier's own files to the state of the journal; a failure is told and tried again."""
        try:
            if look_at(self.folder) != self._look or was_changed(self.folder, self._on_disk, self.documents):
                self._look = MappingProxyType({})
                return  # another program wrote just now: the next look settles whose state stands
            write_texts(self.folder, self._on_disk, self.documents)
            self._on_disk, self._look, self.unsaved = self.documents, look_at(self.folder), None
            if self._journal is not None:
                self._journal.add({"kind": "saved", "revision": self.revision}, lasting=False)
        except LidoffError as error:
            self.unsaved = error

    # ---- other programs

    def look_outside(self) -> Entry | None:
        """Take in what other programs did to the dossier's files.

        Returns
        -------
        Entry or None
            The change, where there was one that could be taken in; else `outside` tells why not.
        """
        if self.why_not_writable is not None:
            return None
        look = look_at(self.folder)
        if look == self._look:
            return None
        self._look = look
        try:
            return self._look_outside(read_texts(self.folder))
        except LidoffError as error:
            self.outside, self._look = error, MappingProxyType({})  # the next look tries again
            return None

    def _look_outside(self, found: Documents) -> Entry | None:
        self.outside = None
        if found == self.documents:
            self._on_disk = found
            return None
        if found == self._on_disk:
            if self.documents != self._on_disk:
                self._save()  # only the times of the files changed; our own saving lagged
            return None
        self.outside = both_changed() if self.documents != self._on_disk else why_unreadable(found)
        if self.outside is not None:
            return None
        lying = found
        if is_older(found[FILE_NAME]):
            found, self.migrated = migrated_texts(self.folder, found)
        if self._journal is None:
            write_texts(self.folder, lying, found)
            self._look, self._on_disk, self.documents = look_at(self.folder), found, found
            self._start_journal()
            return None
        splices = splices_between(self.documents, found)
        files = tuple((name_of_file(splice.file),) for splice in splices)
        names = ", ".join(splice.file for splice in splices)
        self._on_disk = lying
        try:
            return self._change("outside", f"{names} changed outside", splices, found, touches=files)
        except OutputRefused:
            self._on_disk = self.documents
            raise

    def keep_own(self) -> None:
        """Write the workbench's own state over files that were changed outside; those are kept beside.

        Raises
        ------
        OutputRefused
            A file could not be written.
        """
        self.check_writable()
        lying = look_at(self.folder)
        for file in lying:
            keep_beside(self.folder / file)
        write_texts(self.folder, dict.fromkeys(lying, ""), self.documents)
        self._look, self._on_disk, self.outside = look_at(self.folder), self.documents, None
