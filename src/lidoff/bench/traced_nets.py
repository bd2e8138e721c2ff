"""A board's nets as its file has them, worked out once for each state, and what the circuit calls them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from lidoff.board import Board, Link, Nets
    from lidoff.dossier import Dossier

__all__ = ["TracedNets", "copper_by_name", "nets_on", "traced_nets"]


class TracedNets(NamedTuple):
    """A board with its links and nets: what costs most, worked out once for each state of its file."""

    board: Board
    links: tuple[Link, ...]
    nets: Nets


@lru_cache(maxsize=6)
def traced_nets(text: str, name: str) -> TracedNets:
    """Board of a file's text, with its nets.

    Parameters
    ----------
    text : str
        Of ``boards/NAME.json``.
    name : str
        That path.

    Returns
    -------
    TracedNets
        Not to be changed.

    Raises
    ------
    DossierError
        The text is no board.
    """
    from lidoff.board import links_of_board, nets_from_links
    from lidoff.dossier import board_from_text

    board = board_from_text(text, name)
    if not board.outline:
        return TracedNets(board, (), nets_from_links((), names=board.net_names, pins=()))
    links = links_of_board(board)
    pins = [pad.pin for part in board.parts for pad in part.pads]
    return TracedNets(board, links, nets_from_links(links, names=board.net_names, pins=pins))


def nets_on(dossier: Dossier | None, traced: TracedNets) -> Mapping[str, str]:
    """Name in the circuit of each net of a board; its own where the circuit has none.

    Parameters
    ----------
    dossier : Dossier or None
        With its parts, as far as it can be read.
    traced : TracedNets
        The board.

    Returns
    -------
    mapping of str to str
        By the board's name of the net.
    """
    names = _names_on(dossier, traced)
    if dossier is None:
        return names
    from lidoff.dossier.wiring import joined_nets

    standing = joined_nets(dossier.wires, dossier.ground)
    return {own: standing.get(name, name) for own, name in names.items()}


def _names_on(dossier: Dossier | None, traced: TracedNets) -> dict[str, str]:
    """Names of a board's nets, those that a wire joins to others each by its own."""
    from lidoff.dossier.net_names import circuit_pins

    entries = {} if dossier is None else {entry.reference: entry for entry in dossier.parts}
    names = {}
    for net in traced.nets.nets:
        votes = Counter(
            entries[reference].pins[pin]
            for reference, pin in circuit_pins(net, entries)
            if pin in entries[reference].pins
        )
        names[net.name] = max(sorted(votes), key=lambda name: votes[name]) if votes else net.name
    return names


def copper_by_name(dossier: Dossier | None, traced: TracedNets) -> Mapping[str, int]:
    """How many pieces of copper, apart from each other, have each name.

    Parameters
    ----------
    dossier : Dossier or None
        With its parts and its other boards, as far as it can be read.
    traced : TracedNets
        The board.

    Returns
    -------
    mapping of str to int
        By name, on all boards.
    """
    own = _names_on(dossier, traced)
    found = Counter(own[net.name] for net in traced.nets.nets if net.pins)
    if dossier is not None:
        from lidoff.dossier.net_names import traced_nets as nets_of_boards

        others = [board for board in dossier.traced if board.name != traced.board.name]
        found += Counter(net.name for net in nets_of_boards(dossier.parts, others))
    return found
