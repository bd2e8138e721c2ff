"""Parts that were placed on a traced board and of which the dossier does not tell yet what they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lidoff.board import Board as TracedBoard
from lidoff.dossier.entries import PartEntry
from lidoff.dossier.net_names import traced_nets

__all__ = ["UntoldPart", "untold_parts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class UntoldPart:
    """A placed part without an entry.

    Attributes
    ----------
    board : str
        Name of the board that it lies on.
    reference, package, side : str
        As it was placed.
    lands : mapping of str to str
        Net of each land by the name that it has in the circuit; empty where the land is on no net.
    """

    board: str
    reference: str
    package: str
    side: str
    lands: Mapping[str, str]


def untold_parts(parts: Sequence[PartEntry], boards: Sequence[TracedBoard]) -> tuple[UntoldPart, ...]:
    """Parts on boards that have no entry, board by board in the order in which they were placed.

    Parameters
    ----------
    parts : sequence of PartEntry
        Of the dossier, merged with what its boards tell or not.
    boards : sequence of TracedBoard
        Of the same dossier.

    Returns
    -------
    tuple of UntoldPart
        Empty where every placed part is told.
    """
    entries = {part.reference: part for part in parts}
    found: list[UntoldPart] = []
    named = traced_nets(parts, boards)
    for board in boards:
        untold = [placed for placed in board.parts if placed.reference not in entries]
        if not untold:
            continue
        nets = {node: net.name for net in named if net.board == board.name for node in net.nodes}
        for placed in untold:
            lands = dict.fromkeys(pad.pin.rpartition(".")[2] for pad in placed.pads if pad.pin)
            found.append(
                UntoldPart(
                    board=board.name,
                    reference=placed.reference,
                    package=placed.package,
                    side=placed.side,
                    lands={land: nets.get(f"{placed.reference}.{land}", "") for land in lands},
                )
            )
    return tuple(found)
