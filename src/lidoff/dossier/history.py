"""The changes of a dossier in order: which of them an undo or a redo is about, and which stand against an edit."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.dossier.editing import overlap
from lidoff.dossier.edits import Own
from lidoff.dossier.journal import Entry
from lidoff.dossier.plain_edits import Path
from lidoff.errors import EditRefused

__all__ = ["History"]


class History:
    """Changes so far, with those that can be undone and redone."""

    def __init__(self) -> None:
        self._entries: list[Entry] = []
        self._done: list[Entry] = []
        self._undone: list[Entry] = []
        self._by_id: dict[str, Entry] = {}

    @property
    def revision(self) -> int:
        """Number of the state: how many changes there were, undoing included."""
        return self._entries[-1].revision if self._entries else 0

    @property
    def entries(self) -> Sequence[Entry]:
        """All changes, oldest first."""
        return tuple(self._entries)

    @property
    def next_undo(self) -> Entry | None:
        """Change that an undo would take back."""
        return self._done[-1] if self._done else None

    @property
    def next_redo(self) -> Entry | None:
        """Change that a redo would make again."""
        return self._undone[-1] if self._undone else None

    def known(self, id: str) -> Entry | None:
        """Change that a request with this id made before; None for an empty or new id."""
        return self._by_id.get(id) if id else None

    def note(self, entry: Entry) -> None:
        """Take in a change.

        Parameters
        ----------
        entry : Entry
            Of the journal, the next one in order.
        """
        self._entries.append(entry)
        if entry.id:
            self._by_id[entry.id] = entry
        if entry.kind == "undo":
            self._undone.append(self._done.pop())
        elif entry.kind == "redo":
            self._done.append(self._undone.pop())
        else:
            self._done.append(entry)
            self._undone.clear()

    def since(self, revision: int) -> Sequence[Entry]:
        """Changes after a revision, oldest first."""
        return tuple(self._entries[revision:])

    def check_base(self, base: int, touches: Sequence[Path], *, page: str = "", own: Own = "crosses") -> None:
        """Refuse an edit that rests on a state in which its places looked otherwise.

        Parameters
        ----------
        base : int
            Revision that whoever asks has seen.
        touches : sequence of tuple of str or int
            Places that the edit changes.
        page : str, optional
            Who asks.
        own : str, optional
            How the edit stands to what the page itself did since: whoever draws or types on while an answer is awaited knows
            what went before.

        Raises
        ------
        EditRefused
            One of them was changed since, or there was never such a revision.
        """
        if not 0 <= base <= self.revision:
            raise EditRefused(
                f"the edit rests on state {base}, and this dossier is at {self.revision}",
                remedy="reload the page",
            )
        for entry in self.since(base):
            mine = bool(page) and entry.page == page
            if mine and (own == "stands" or (own == "says again" and tuple(entry.touches) == tuple(touches))):
                continue
            for other in entry.touches:
                if any(overlap(one, other) for one in touches):
                    raise EditRefused(
                        f"this page changed the same just before: {entry.title}"
                        if mine
                        else f"meanwhile another page or program changed the same: {entry.title}",
                        where=".".join(map(str, other)),
                        remedy="look at what stands there now, then make your change again if it is still wanted",
                    )
