"""A circuit with the blocks that a person sees in it, and how recognition is counted against them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lidoff.circuit import Circuit
from lidoff.insight import Block

__all__ = ["Count", "Labelled", "counted"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Labelled:
    """One circuit with its blocks.

    Attributes
    ----------
    name : str
        What it is.
    source : str
        Where the arrangement is published, or that it is invented.
    circuit : Circuit
        As traced.
    blocks : tuple of str
        ``kind: R1 D1`` for each block: its kind, and the parts that it cannot do without.
    """

    name: str
    source: str
    circuit: Circuit
    blocks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """How many blocks were found rightly.

    Attributes
    ----------
    found : int
        Blocks told.
    labelled : int
        Blocks labelled.
    right : int
        Blocks told that are labelled, same kind and all labelled parts in it.
    wrong : tuple of str
        Blocks told that are not labelled.
    missed : tuple of str
        Labels that no block met.
    """

    found: int
    labelled: int
    right: int
    wrong: tuple[str, ...] = ()
    missed: tuple[str, ...] = ()

    @property
    def precision(self) -> float:
        """Share of the blocks told that are right."""
        return self.right / self.found if self.found else 1.0

    @property
    def recall(self) -> float:
        """Share of the labels that were found."""
        return self.right / self.labelled if self.labelled else 1.0


def counted(blocks: Sequence[Block], labels: Iterable[str]) -> Count:
    """Hold blocks against labels.

    Parameters
    ----------
    blocks : sequence of Block
        As recognised.
    labels : iterable of str
        As in `Labelled`.

    Returns
    -------
    Count
        Each label meets one block at the most.
    """
    left = list(blocks)
    missed, right, total = [], 0, 0
    for label in labels:
        total += 1
        kind, _, parts = label.partition(":")
        met = next((one for one in left if one.kind == kind and set(parts.split()) <= set(one.parts)), None)
        if met is None:
            missed.append(label)
        else:
            left.remove(met)
            right += 1
    return Count(
        found=len(blocks),
        labelled=total,
        right=right,
        wrong=tuple(f"{one.kind}: {' '.join(one.parts)}" for one in left),
        missed=tuple(missed),
    )
