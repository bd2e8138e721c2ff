"""What goes with a board that is removed: its hold on photos, distances on it, and parts of which only it tells the nets."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from lidoff.dossier.plain_edits import Operation, RemoveAt

__all__ = ["removed_with_board"]


def removed_with_board(
    document: Mapping[str, Any], name: str, placed: Mapping[str, Collection[str]]
) -> tuple[Operation, ...]:
    """Changes of a dossier that the removal of a board asks for, its own row last.

    Parameters
    ----------
    document : mapping
        The dossier as plain data.
    name : str
        Of the board.
    placed : mapping of str to collection of str
        References of the parts that lie on each traced board, by its name.

    Returns
    -------
    tuple of operations
        In the order in which they can be done.
    """
    return (*_let_go(document, name, placed), RemoveAt(path=("boards", name)))


def _let_go(
    document: Mapping[str, Any], name: str, placed: Mapping[str, Collection[str]]
) -> Iterator[Operation]:
    elsewhere = {part for board, parts in placed.items() if board != name for part in parts}
    for number, row in enumerate(document.get("photos", ())):
        if row.get("board") == name:
            yield RemoveAt(path=("photos", number, "board"))
    for distance, row in document.get("distances", {}).items():
        if row.get("board") == name:
            yield RemoveAt(path=("distances", distance))
    for part, row in document.get("parts", {}).items():
        # Without its board a part that was typed without pins would be connected to nothing.
        if (
            part not in elsewhere
            and not row.get("pins")
            and (row.get("board") == name or part in placed.get(name, ()))
        ):
            yield RemoveAt(path=("parts", part))
        elif row.get("board") == name:
            yield RemoveAt(path=("parts", part, "board"))
