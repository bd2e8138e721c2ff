"""Which circuits on the shelf are like a given one, and in what."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from lidoff.shelf.entry import ShelfEntry
from lidoff.shelf.index import Index

__all__ = ["Alike", "alike"]

LEAST_WEIGHT = 0.05
"""Labels below it stand in nearly every circuit and tell none apart."""
OTHERS = 20
"""So many more dossiers, without a label, are thought on a shelf: on a small one what all share must count too; our choice."""
LOOKED_AT = 8
"""Candidates looked at closely, as a multiple of how many are wanted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """One dossier with a circuit like the one asked for.

    Attributes
    ----------
    folder, title : str
        Which.
    likeness : float
        From 0 to 1: shared surroundings of parts over all of both, the rare ones counting more.
    blocks : tuple of str
        Titles of the blocks that both have.
    markings : tuple of str
        What is printed on parts of both.
    """

    folder: str
    title: str
    likeness: float
    blocks: tuple[str, ...] = ()
    markings: tuple[str, ...] = ()


def alike(index: Index, entry: ShelfEntry, *, most: int = 10, within: bool = False) -> tuple[Alike, ...]:
    """Circuits that share surroundings of parts with one.

    Parameters
    ----------
    index : Index
        Open.
    entry : ShelfEntry
        Of the circuit; its own folder is left out.
    most : int
        How many to tell.
    within : bool
        Whether the entry is a piece of a circuit: likeness is then the share of it that occurs there too.

    Returns
    -------
    tuple of Alike
        The most alike first. Likeness is the weighted share of common labels [1]_, a label that stands in a share p of all
        dossiers and twenty thought ones weighing -log p.

    References
    ----------
    .. [1] S. Ioffe, "Improved consistent sampling, weighted minhash and L1 sketching", ICDM 2010 (weighted Jaccard measure).
    """
    labels = entry.labels
    ask = index.connection.execute
    rarity = _Rarity(index)
    shared: dict[int, float] = {}
    for label in sorted(labels):
        if rarity.of(label) > LEAST_WEIGHT:
            for number, count in ask("SELECT dossier, count FROM labels WHERE label = ?", (label,)):
                shared[number] = shared.get(number, 0.0) + rarity.of(label) * min(count, labels[label])
    first = sorted(shared, key=lambda number: (-shared[number], number))[: LOOKED_AT * most]
    own = rarity.total(labels)
    found = []
    for number in first:
        folder, title = ask("SELECT folder, title FROM dossiers WHERE id = ?", (number,)).fetchone()
        if folder != entry.folder:
            theirs = dict(ask("SELECT label, count FROM labels WHERE dossier = ?", (number,)))
            either = own if within else own + rarity.total(theirs) - shared[number]
            found.append((shared[number] / either if either > 0.0 else 0.0, folder, title, number))
    found.sort(key=lambda one: (-one[0], one[1]))
    return tuple(
        Alike(
            folder=folder,
            title=title,
            likeness=likeness,
            blocks=_common(index, "blocks", "title", number, {block.title for block in entry.blocks}),
            markings=_common(index, "parts", "marking", number, {part.marking for part in entry.parts}),
        )
        for likeness, folder, title, number in found[:most]
    )


class _Rarity:
    """Weight of labels, each looked up once."""

    def __init__(self, index: Index) -> None:
        self.index = index
        self.dossiers = index.count()
        self.known: dict[int, float] = {}

    def of(self, label: int) -> float:
        if label not in self.known:
            row = self.index.connection.execute("SELECT count(*) FROM labels WHERE label = ?", (label,))
            share = (row.fetchone()[0] + 0.5) / (self.dossiers + OTHERS)
            self.known[label] = max(-math.log(share), 0.0)
        return self.known[label]

    def total(self, labels: Mapping[int, int]) -> float:
        return sum(
            weight * count for label, count in labels.items() if (weight := self.of(label)) > LEAST_WEIGHT
        )


def _common(index: Index, table: str, column: str, number: int, own: set[str]) -> tuple[str, ...]:
    theirs = index.connection.execute(f"SELECT DISTINCT {column} FROM {table} WHERE dossier = ?", (number,))
    return tuple(sorted({value for (value,) in theirs if value} & own))
