"""Nets named anew: by their name or at a pin, typed or traced, so that what was told of a net stays told of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from lidoff.dossier.edits import NameNet, Rename
from lidoff.dossier.entries import PartEntry, Wire
from lidoff.dossier.net_names import (
    TracedNet,
    lands_told,
    names_by_pin,
    traced_nets,
    typed_nets,
)
from lidoff.dossier.plain_edits import AddAt, Operation, SetAt
from lidoff.dossier.renaming import check_name, net_operations, nets_of_document
from lidoff.dossier.wiring import joined_nets
from lidoff.errors import ImpossibleValue, UnknownName

if TYPE_CHECKING:
    from lidoff.board import Board

__all__ = ["Naming", "net_named", "net_renamed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Naming:
    """What a net's new name changes.

    Attributes
    ----------
    operations : tuple of Operation
        On the plain data of ``dossier.toml``.
    boards : mapping of str to Board
        Traced boards that are not as they were, by their names.
    """

    operations: tuple[Operation, ...] = ()
    boards: Mapping[str, Board] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Nets:
    """All nets that a dossier knows: those of boards, their names by pin, and the names that are taken."""

    document: Mapping[str, object]
    boards: Mapping[str, Board]
    entries: Mapping[str, PartEntry]
    traced: tuple[TracedNet, ...]
    by_pin: Mapping[str, str]
    wires: tuple[Wire, ...]

    @property
    def ground(self) -> str:
        """Net that voltages are told against."""
        return str(self.document.get("ground", "gnd"))

    @property
    def taken(self) -> frozenset[str]:
        """Names of nets that something lies on."""
        typed = {net for entry in self.entries.values() for net in entry.pins.values()}
        wired = {net for wire in self.wires for net in wire.joins}
        return frozenset(typed | wired | {net.name for net in self.traced})

    def called(self, name: str) -> str:
        """Name of the net that a text names, which may be a pin on it."""
        return self.by_pin.get(name, name)

    def copper(self, name: str) -> tuple[TracedNet, ...]:
        """Traced nets of that name: several where copper that lies apart was given one name."""
        return tuple(net for net in self.traced if net.name == name)

    def lies_on(self, net: TracedNet, pin: str) -> bool:
        """Whether a land or pin is on a net."""
        return pin in net.nodes or tuple(pin.rpartition(".")[::2]) in net.pins

    def at(self, board: str, pin: str) -> TracedNet:
        """Traced net at a land or pin of a board."""
        mine = [net for net in self.traced if net.board == board]
        for net in mine:
            if self.lies_on(net, pin):
                return net
        raise UnknownName(
            f"there is no pin {pin!r} on the board {board!r}",
            name=pin,
            known=[node for net in mine for node in net.nodes],
        )


def net_renamed(document: Mapping[str, object], boards: Sequence[Board], edit: Rename) -> Naming:
    """What is to be done when a net gets another name.

    Parameters
    ----------
    document : mapping
        Plain data of ``dossier.toml``.
    boards : sequence of Board
        All traced ones.
    edit : Rename
        Of a net.

    Returns
    -------
    Naming
        Reaches typed pins, copper, and all that names the net.

    Raises
    ------
    UnknownName, ImpossibleValue
        There is no such net, or the name is another's and the two were not said to be one.
    """
    nets = _nets_of(document, boards)
    name = nets.called(edit.name)
    known = nets.taken | nets_of_document(document)
    if name not in known:
        raise UnknownName(f"there is no net {edit.name!r}", name=edit.name, known=known)
    to = _free(nets, name, edit.to, join=edit.join)
    if to not in nets.taken:
        return _renamed(nets, name, to)
    return _made_one(nets, nets.copper(name), name, to)


def net_named(document: Mapping[str, object], boards: Sequence[Board], edit: NameNet) -> Naming:
    """What is to be done when the copper at a pin gets a name.

    Parameters
    ----------
    document : mapping
        Plain data of ``dossier.toml``.
    boards : sequence of Board
        All traced ones.
    edit : NameNet
        An empty name takes away the one that was given.

    Returns
    -------
    Naming
        The whole net is called so wherever it is named; only this copper with `alone`, and then what was told of the net
        stays with the other copper of its name.

    Raises
    ------
    UnknownName, ImpossibleValue
        The pin is not on the board, or the name is another's and the two were not said to be one.
    """
    nets = _nets_of(document, boards)
    if not edit.net:
        return _unnamed(nets, edit.board, edit.pin)
    here = nets.at(edit.board, edit.pin)
    apart = len(nets.copper(here.name)) > 1
    node = edit.pin if edit.pin in here.nodes else here.nodes[0]
    if edit.alone and apart:
        to = _free(nets, here.name, edit.net, join=edit.join)
        theirs = [net for net in nets.copper(to) if net.board == here.board]
        operations = tuple(
            SetAt(path=("parts", reference, "pins", pin), value=to)
            for reference, pin in typed_nets(here.pins, nets.entries).get(here.name, [])
        )
        board = nets.boards[here.board]
        bare = {at: net for at, net in board.net_names.items() if at not in here.nodes}
        after = (
            _joined(replace(board, net_names=MappingProxyType(bare)), node, theirs[0].nodes[0])
            if theirs
            else replace(board, net_names=MappingProxyType({**bare, node: to}))
        )
        return Naming(operations=operations, boards={board.name: after})
    name = joined_nets(nets.wires, nets.ground).get(here.name, here.name)
    to = _free(nets, name, edit.net, join=edit.join)
    if to in nets.taken:
        return _made_one(nets, (here,), name, to, node)
    naming = _renamed(nets, name, to)
    return naming if here.name != name else _given(nets, naming, here, node, to)


def _free(nets: _Nets, name: str, to: str, *, join: bool) -> str:
    """Name that a net is to have; refused where it is another's and the two are not said to be one."""
    check_name(to)
    known = nets.called(to)
    if known == name:
        raise ImpossibleValue(f"the net is called {name!r} already", remedy="choose another name")
    if known in nets.taken and not join:
        raise ImpossibleValue(
            f"there is a net {to!r} already",
            remedy="choose another name, or say that the two are one net",
        )
    return known


def _renamed(nets: _Nets, name: str, to: str) -> Naming:
    """All that is called by one name is called by the other."""
    operations = list(net_operations(nets.document, name, to))
    if name == nets.ground and "ground" not in nets.document:
        operations.append(SetAt(path=("ground",), value=to))
    boards = {}
    for board in nets.boards.values():
        names = {pin: to if net == name else net for pin, net in board.net_names.items()}
        for net in nets.copper(name):
            if net.board == board.name and not (
                typed_nets(net.pins, nets.entries) or names.keys() & {*net.nodes}
            ):
                names[net.nodes[0]] = to
        holes = tuple(replace(hole, net=to) if hole.net == name else hole for hole in board.holes)
        after = replace(board, net_names=MappingProxyType(names), holes=holes)
        if after != board:
            boards[board.name] = after
    return Naming(operations=tuple(operations), boards=boards)


def _given(nets: _Nets, naming: Naming, here: TracedNet, node: str, to: str) -> Naming:
    """Write the one name of a piece of copper at the pin where it was given."""
    board = naming.boards.get(here.board, nets.boards[here.board])
    names = {pin: net for pin, net in board.net_names.items() if pin not in here.nodes}
    after = replace(board, net_names=MappingProxyType({**names, node: to}))
    return replace(naming, boards={**naming.boards, here.board: after})


def _made_one(nets: _Nets, mine: Sequence[TracedNet], name: str, to: str, node: str = "") -> Naming:
    """Two nets are one: by a stated join on their board, by a wire between two boards, else under one name."""
    theirs = nets.copper(to)
    pair = next(((one, other) for one in mine for other in theirs if one.board == other.board), None)
    if pair is None and mine and theirs:
        rows = nets.document.get("wires", {})
        assert isinstance(rows, Mapping)
        row = next(f"wire_{n}" for n in range(1, len(rows) + 2) if f"wire_{n}" not in rows)
        return Naming(operations=(AddAt(path=("wires", row), value={"joins": [to, name]}),))
    naming = _renamed(nets, name, to)
    if pair is None:
        return _given(nets, naming, mine[0], node, to) if mine and node else naming
    one, other = pair
    board = naming.boards.get(one.board, nets.boards[one.board])
    # The join holds them together, so that they part again where it is taken away.
    names = {pin: net for pin, net in board.net_names.items() if pin not in one.nodes}
    bare = replace(board, net_names=MappingProxyType(names))
    after = _joined(bare, node or one.nodes[0], other.nodes[0])
    return replace(naming, boards={**naming.boards, one.board: after})


def _joined(board: Board, first: str, second: str) -> Board:
    from lidoff.board import Wire as Join

    return replace(board, wires=(*board.wires, Join(first=first, second=second, kind="stated")))


def _unnamed(nets: _Nets, name: str, pin: str) -> Naming:
    """Take away the name at a pin, also where its part has left the board and the name stayed."""
    board = nets.boards[name]
    here = next((net for net in nets.traced if net.board == name and nets.lies_on(net, pin)), None)
    nodes = {pin} if here is None else {pin, *here.nodes}
    names = {node: net for node, net in board.net_names.items() if node not in nodes}
    if len(names) == len(board.net_names):
        raise UnknownName(f"the net at {pin} has no name", name=pin, known=board.net_names)
    bare = replace(board, net_names=MappingProxyType(names))
    if here is None:
        return Naming(boards={name: bare})
    after = _nets_of(nets.document, [bare if one.name == name else one for one in nets.boards.values()])
    now = after.at(name, here.nodes[0]).name
    operations = () if here.name in after.taken else net_operations(nets.document, here.name, now)
    return Naming(operations=operations, boards={name: bare})


def _nets_of(document: Mapping[str, object], boards: Sequence[Board]) -> _Nets:
    parts, wires = _parts_of(document), _wires_of(document)
    traced = traced_nets(parts, boards)
    return _Nets(
        document=document,
        boards={board.name: board for board in boards},
        entries={part.reference: part for part in parts},
        traced=traced,
        by_pin=names_by_pin(traced, boards),
        wires=wires,
    )


def _parts_of(document: Mapping[str, object]) -> tuple[PartEntry, ...]:
    """Parts as far as their nets go, of data that may have faults elsewhere."""
    rows = document.get("parts", {})
    found = []
    for reference, row in rows.items() if isinstance(rows, Mapping) else ():
        if not isinstance(row, Mapping) or not isinstance(row.get("kind"), str):
            continue
        pins, lands = row.get("pins", {}), row.get("lands", {})
        told = {pin: str(net) for pin, net in pins.items()} if isinstance(pins, Mapping) else {}
        known = lands_told(lands) if isinstance(lands, Mapping) else {}
        found.append(PartEntry(reference=reference, kind=row["kind"], pins=told, lands=known))
    return tuple(found)


def _wires_of(document: Mapping[str, object]) -> tuple[Wire, ...]:
    rows = document.get("wires", {})
    found = []
    for name, row in rows.items() if isinstance(rows, Mapping) else ():
        joins = row.get("joins") if isinstance(row, Mapping) else None
        if isinstance(joins, list):
            found.append(Wire(name=name, joins=tuple(map(str, joins))))
    return tuple(found)
