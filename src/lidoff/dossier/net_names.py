"""Names that the nets of traced boards have in the circuit: given, typed, or else that of a pin on them."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from lidoff.board import Board as TracedBoard
from lidoff.board import Net as BoardNet
from lidoff.board import Nets as BoardNets
from lidoff.board import board_nets
from lidoff.circuit import all_kinds
from lidoff.dossier.entries import PartEntry

__all__ = [
    "ABBREVIATED_LANDS",
    "TracedNet",
    "circuit_pins",
    "lands_told",
    "name_in_circuit",
    "names_by_pin",
    "nets_of_board",
    "pin_on_land",
    "placed_twice",
    "traced_nets",
    "typed_nets",
]

# A board is a value without a hash, so it is known again by identity; the pair keeps it alive.
_known_nets: deque[tuple[TracedBoard, BoardNets]] = deque(maxlen=8)
_guard = threading.Lock()

ABBREVIATED_LANDS = {"K": "cathode", "A": "anode", "+": "plus", "-": "minus"}
"""What the trade prints on packages, and the names that kinds of part give to the same pins."""


def nets_of_board(board: TracedBoard) -> BoardNets:
    """Nets of a board, worked out once for each value of it while it is among the last few looked at.

    Parameters
    ----------
    board : TracedBoard
        As traced.

    Returns
    -------
    Nets
        As `board_nets` gives them.
    """
    with _guard:
        for known, nets in _known_nets:
            if known is board:
                return nets
    nets = board_nets(board)
    with _guard:
        _known_nets.append((board, nets))
    return nets


def lands_told(told: Mapping[str, object]) -> dict[str, tuple[str, ...]]:
    """Lands of each pin, where a file may name one alone or a list.

    Parameters
    ----------
    told : mapping
        As the file has it.

    Returns
    -------
    dict of str to tuple of str
        By pin.
    """
    return {
        pin: tuple(map(str, lands)) if isinstance(lands, (list, tuple)) else (str(lands),)
        for pin, lands in told.items()
    }


def pin_on_land(entry: PartEntry, land: str) -> str | None:
    """Pin of a part that lies on a land of its package; None where the dossier does not tell.

    Parameters
    ----------
    entry : PartEntry
        The part.
    land : str
        Name of the land, such as "1", "K" or "tab".

    Returns
    -------
    str or None
        As the part's ``lands`` say; else the pin of the same name, or of the name that the trade abbreviates so.
    """
    for pin, lands in entry.lands.items():
        if land in lands:
            return pin
    kind = all_kinds().get(entry.kind)
    known = tuple(kind.pins) if kind is not None else ()
    if land in known or not known:
        return land
    written_out = ABBREVIATED_LANDS.get(land, "")
    return written_out if written_out in known else None


def circuit_pins(net: BoardNet, entries: Mapping[str, PartEntry]) -> tuple[tuple[str, str], ...]:
    """Reference and pin of what lies on a board's net, as far as the dossier tells of it.

    Parameters
    ----------
    net : Net
        Of the board; its pins are lands.
    entries : mapping of str to PartEntry
        Parts by their references.

    Returns
    -------
    tuple of (str, str)
        In the order of the net's pins.
    """
    found = []
    for node in net.pins:
        reference, _, land = node.rpartition(".")
        entry = entries.get(reference)
        pin = None if entry is None else pin_on_land(entry, land)
        if pin is not None:
            found.append((reference, pin))
    return tuple(found)


def placed_twice(boards: Sequence[TracedBoard]) -> frozenset[str]:
    """References that lie on more than one board, so that their pins alone do not tell a net."""
    placed = [reference for board in boards for reference in {part.reference for part in board.parts}]
    return frozenset(reference for reference in placed if placed.count(reference) > 1)


def name_in_circuit(
    board: TracedBoard,
    net: BoardNet,
    pins: Sequence[tuple[str, str]],
    entries: Mapping[str, PartEntry],
    twice: Collection[str] = (),
) -> str:
    """Name of a board's net in the circuit.

    A number would move to another net with the next part or stroke, and with it every reading that names it; a pin stays.

    Parameters
    ----------
    board : Board
        The board.
    net : Net
        On the board.
    pins : sequence of (str, str)
        Reference and pin of what lies on the net, of told parts.
    entries : mapping of str to PartEntry
        Parts by their references.
    twice : collection of str, optional
        References that lie on several boards.

    Returns
    -------
    str
        The name given on the board, else the one that most typed pins have, else that of its first pin.
    """
    given = sorted({board.net_names[node] for node in net.pins if node in board.net_names})
    if given:
        return given[0]
    typed = typed_nets(pins, entries)
    if typed:
        return max(sorted(typed), key=lambda name: len(typed[name]))
    return f"{board.name} {net.name}" if net.name.rpartition(".")[0] in twice else net.name


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedNet:
    """One net of one traced board.

    Attributes
    ----------
    board : str
        Name of the board.
    name : str
        In the circuit.
    nodes : tuple of str
        What lies on it, each as reference, dot, land.
    pins : tuple of (str, str)
        Reference and pin of those of told parts.
    """

    board: str
    name: str
    nodes: tuple[str, ...]
    pins: tuple[tuple[str, str], ...]


def traced_nets(parts: Sequence[PartEntry], boards: Sequence[TracedBoard]) -> tuple[TracedNet, ...]:
    """Nets of traced boards that have a pin, by the names that they have in the circuit.

    Parameters
    ----------
    parts : sequence of PartEntry
        Of the dossier, merged with what its boards tell or not.
    boards : sequence of TracedBoard
        Of the same dossier.

    Returns
    -------
    tuple of TracedNet
        Board by board.
    """
    entries = {part.reference: part for part in parts}
    twice = placed_twice(boards)
    found = []
    for board in boards:
        for net in nets_of_board(board).nets:
            if net.pins:
                pins = circuit_pins(net, entries)
                name = name_in_circuit(board, net, pins, entries, twice)
                found.append(TracedNet(board=board.name, name=name, nodes=net.pins, pins=pins))
    return tuple(found)


def names_by_pin(nets: Sequence[TracedNet], boards: Sequence[TracedBoard]) -> Mapping[str, str]:
    """Name in the circuit of the traced net at each pin, by which a net may be named as well.

    Parameters
    ----------
    nets : sequence of TracedNet
        Of all boards.
    boards : sequence of TracedBoard
        Those boards; what they gave a net for a name is not to be read as a pin.

    Returns
    -------
    mapping of str to str
        By land and by pin, such as ``LED1.K`` and ``LED1.cathode``; without pins that lie on several nets.
    """
    given = {name for board in boards for name in board.net_names.values()}
    found: dict[str, set[str]] = {}
    for net in nets:
        for pin in (*net.nodes, *(f"{reference}.{pin}" for reference, pin in net.pins)):
            found.setdefault(pin, set()).add(net.name)
    return {pin: min(names) for pin, names in found.items() if len(names) == 1 and pin not in given}


def typed_nets(
    pins: Sequence[tuple[str, str]], entries: Mapping[str, PartEntry]
) -> dict[str, list[tuple[str, str]]]:
    """Pins by the net that was typed for them.

    Parameters
    ----------
    pins : sequence of (str, str)
        References and pins of told parts.
    entries : mapping of str to PartEntry
        Those parts by their references.

    Returns
    -------
    mapping of str to list of (str, str)
        Without the pins that a board told.
    """
    found: dict[str, list[tuple[str, str]]] = {}
    for reference, pin in pins:
        entry = entries[reference]
        if pin in entry.pins and pin not in entry.from_board:
            found.setdefault(entry.pins[pin], []).append((reference, pin))
    return found
