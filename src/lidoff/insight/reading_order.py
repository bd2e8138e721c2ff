"""The order in which a person tells the blocks of a circuit: from where it is fed to what it does."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.insight.block import Block
from lidoff.insight.view import ALTERNATING, SUPPLIES, View
from lidoff.insight.wording import by_number

__all__ = ["told_from_the_source"]

OUTSIDE = frozenset({"dc_supply"}) | ALTERNATING
"""Supplies that feed a device from outside; told before its own cells."""
FAR = 1000


def told_from_the_source(view: View, blocks: Sequence[Block]) -> tuple[Block, ...]:
    """Blocks in reading order.

    Parameters
    ----------
    view : View
    blocks : sequence of Block

    Returns
    -------
    tuple of Block
        What hands a supply on from one net to another first, then what keeps a supply steady or guarded, then the rest; each by
        the number of parts between it and the supplies from outside, then its cells, then by reference.
    """
    outside = [net for kind in OUTSIDE for one in view.by_kind.get(kind, ()) for net in one.nets.values()]
    cells = [one.nets["plus"] for kind in SUPPLIES - OUTSIDE for one in view.by_kind.get(kind, ())]
    steps = [_steps(view, starts) for starts in (outside, cells)]

    def place(block: Block) -> tuple[object, ...]:
        known = [view.by_reference[part] for part in block.parts if part in view.by_reference]
        nets = {net for one in known for net in one.nets.values()}
        feeding = nets & (view.supplies | view.alternating)
        stage = (
            2
            if nets - view.grounds - feeding and not _feeds_on(view, block)
            else 0
            if len(feeding) > 1
            else 1
        )
        away = tuple(min((some.get(net, FAR) for net in nets), default=FAR) for some in steps)
        return (
            stage,
            *away,
            tuple(by_number(part) for part in sorted(block.parts, key=by_number)),
            block.kind,
        )

    return tuple(sorted(blocks, key=place))


def _feeds_on(view: View, block: Block) -> bool:
    """Whether the block joins two supplies, whatever lies in between."""
    ends = {net for net in block.nets.values() if net in view.supplies or net in view.alternating}
    return len(ends) > 1


def _steps(view: View, starts: Sequence[str]) -> dict[str, int]:
    """Number of parts between some nets and every other, never through a ground."""
    found = {net: 0 for net in starts if net not in view.grounds}
    here = list(found)
    while here:
        onward = []
        for net in here:
            for one, _ in view.pins[net]:
                for far in one.nets.values():
                    if far not in found and far not in view.grounds:
                        found[far] = found[net] + 1
                        onward.append(far)
        here = onward
    return found
