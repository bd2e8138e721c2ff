"""The choice between overlapping readings of the same parts: the set that explains the most, found exactly."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lidoff.insight.match import Match
from lidoff.insight.pattern import BlockKind

__all__ = ["chosen"]

OPTIONAL_SHARE = 0.9
"""What an optional part counts against a needed one; our choice, so that a block which needs a part gets it."""
PER_BLOCK = 0.2
"""Taken off for each block, so that one block of four parts beats two of two; our choice."""
RANK_SHARE = 1.0 / 20.0
"""How much a step of rank adds to each part explained; our choice, tuned on the examples."""
TIE = 1e-4
"""Taken off for each place in the order, so that equal choices are always settled alike."""


def chosen(readings: Sequence[tuple[BlockKind, Match]]) -> list[tuple[BlockKind, Match, frozenset[str]]]:
    """Readings that explain the most parts without explaining one twice.

    Parameters
    ----------
    readings : sequence of (BlockKind, Match)
        Every place where a pattern fits.

    Returns
    -------
    list of (BlockKind, Match, frozenset of str)
        Those kept, each with the parts that it explains: all that it needs, and the optional ones that it was given.

    Notes
    -----
    Weighted set packing as an integer programme: one choice a reading, one for each optional part of each reading, and no part
    given twice. Each part counts 1 plus a share for the rank of the block's kind.
    """
    ordered = sorted(readings, key=_order)
    if not ordered:
        return []
    # These take long to load, and few commands need them.
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    gains: list[float] = []
    rows: list[int] = []
    columns: list[int] = []
    signs: list[float] = []
    parts: dict[str, int] = {}
    given: list[tuple[int, str]] = []

    def take(part: str, column: int) -> None:
        rows.append(parts.setdefault(part, len(parts)))
        columns.append(column)
        signs.append(1.0)

    for index, (kind, match) in enumerate(ordered):
        gains.append(len(match.required) * (1.0 + kind.rank * RANK_SHARE) - PER_BLOCK - TIE * index)
        for part in sorted(match.required):
            take(part, index)
    for index, (kind, match) in enumerate(ordered):
        for part in sorted(match.optional):
            gains.append(OPTIONAL_SHARE * (1.0 + kind.rank * RANK_SHARE))
            take(part, len(gains) - 1)
            given.append((index, part))
    limits = [1.0] * len(parts)
    for place, (index, _) in enumerate(given):
        rows += [len(limits), len(limits)]
        columns += [len(ordered) + place, index]
        signs += [1.0, -1.0]
        limits.append(0.0)
    table = coo_array((signs, (rows, columns)), shape=(len(limits), len(gains)))
    found = milp(
        -np.array(gains),
        integrality=np.ones(len(gains), dtype=np.int64),
        bounds=Bounds(0.0, 1.0),
        constraints=LinearConstraint(table.tocsr(), ub=np.array(limits)),
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None:
        raise RuntimeError(f"the choice between blocks was not found: {found.message}")
    kept = found.x > 0.5
    extra: dict[int, set[str]] = {}
    for place, (index, part) in enumerate(given):
        if kept[len(ordered) + place]:
            extra.setdefault(index, set()).add(part)
    return [
        (kind, match, match.required | frozenset(extra.get(index, ())))
        for index, (kind, match) in enumerate(ordered)
        if kept[index]
    ]


def _order(reading: tuple[BlockKind, Match]) -> tuple[float, str, tuple[str, ...]]:
    kind, match = reading
    return (-(len(match.required) * (1.0 + kind.rank * RANK_SHARE)), kind.name, tuple(sorted(match.required)))
