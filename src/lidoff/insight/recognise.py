"""Blocks of a circuit: every pattern laid on it, and of overlapping readings the ones that explain the most parts."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from lidoff.circuit import Circuit, Solution, Spreading, Waveforms
from lidoff.evidence import Comparison
from lidoff.insight.block import Block, Missing, Sum
from lidoff.insight.choose import chosen
from lidoff.insight.known import Known
from lidoff.insight.match import Match
from lidoff.insight.pattern import BlockKind, all_blocks
from lidoff.insight.reading_order import told_from_the_source
from lidoff.insight.search import matches_of
from lidoff.insight.view import view_of
from lidoff.insight.wording import by_number, told_parts

__all__ = ["recognise"]

ONE = re.compile(r" one (?=(open|shorted|stuck|dead)\b)")
"""Failures of one part among several of the same role."""


def recognise(
    circuit: Circuit,
    solution: Solution | None = None,
    *,
    comparisons: Sequence[Comparison] = (),
    spreading: Spreading | None = None,
    waveforms: Mapping[str, Waveforms] | None = None,
    alternating: Collection[str] = (),
) -> tuple[Block, ...]:
    """Blocks that a circuit is made of.

    Parameters
    ----------
    circuit : Circuit
        As traced; its wires and board tracks count as joints.
    solution : Solution, optional
        Its operating points, labelled by their situations: for conditions on solved quantities and for the sums.
    comparisons : sequence of Comparison, optional
        Readings, to stand beside the sums.
    spreading : Spreading, optional
        The solution's situations with every uncertain parameter moved; without it solved numbers count as exact.
    waveforms : mapping of str to Waveforms, optional
        One period of each situation in which something changes with time, for sums that the circuit at rest says nothing of.
    alternating : collection of str, optional
        Situations of which the operating point shows one instant only: their numbers come from the waveform, or from nowhere.

    Returns
    -------
    tuple of Block
        No part is explained by two of them; in the order of `told_from_the_source`.

    Notes
    -----
    A pattern is laid by a join over pins with early refusal. Where matches overlap, the selection that explains the most
    parts is taken.
    """
    view = view_of(circuit, together=True)
    known = Known(
        solution=solution,
        comparisons=comparisons,
        spreading=spreading,
        waveforms=waveforms or {},
        alternating=frozenset(alternating),
    )
    readings = [
        (kind, match)
        for kind in all_blocks().values()
        for match in matches_of(view, kind, known)
        if match.required
    ]
    blocks = [_block(kind, match, parts) for kind, match, parts in chosen(readings)]
    return told_from_the_source(view, blocks)


class _Filled(dict[str, str]):
    """Words for the templates: a role that is not played shows its name."""

    def __missing__(self, key: str) -> str:
        return key.replace("_", " ")


def _words(match: Match) -> _Filled:
    names = _Filled(match.nets)
    for name, parts in match.roles.items():
        if parts:
            names[name] = told_parts([name for part in parts for name in part.references])
    return names


def _with_twins(match: Match, explained: frozenset[str]) -> set[str]:
    """The parts that a block explains, with the resistors beside them."""
    return {name for one in explained for name in match.view.by_reference[one].references}


def _block(kind: BlockKind, match: Match, explained: frozenset[str]) -> Block:
    words = _words(match)
    fails = []
    for line in kind.fails:
        role, _, _ = line.partition(" ")
        if match.has(role):
            rest = line[len(role) :].format_map(words)
            alone = ONE.match(rest)
            if alone is None:
                fails.append(words[role] + rest)
            else:
                several = match.count(role) > 1
                fails.append(f"{'one of ' if several else ''}{words[role]} {rest[alone.end() :]}")
    sums = kind.sums(match)
    return Block(
        kind=kind.name,
        title=kind.title,
        roles={
            name: tuple(reference for part in parts for reference in part.references)
            for name, parts in match.roles.items()
            if parts
        },
        nets=dict(match.nets),
        parts=tuple(sorted(_with_twins(match, explained), key=by_number)),
        purpose=kind.purpose.format_map(words),
        sums=tuple(one for one in sums if isinstance(one, Sum)),
        missing=_missing([one for one in sums if isinstance(one, Missing)]),
        unusual=kind.unusual(match),
        if_it_fails=tuple(fails),
        source=kind.source,
    )


def _missing(sums: Sequence[Missing]) -> tuple[str, ...]:
    """Lines on the sums that have no result, those left out for one reason in one."""
    alike: dict[str, list[Missing]] = {}
    for place, one in enumerate(sums):
        alike.setdefault(one.why or str(place), []).append(one)
    return tuple(str(replace(ones[0], says="; ".join(one.says for one in ones))) for ones in alike.values())
