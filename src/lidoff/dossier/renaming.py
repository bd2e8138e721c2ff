"""Where in a dossier things are named, so that a new name reaches every place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from lidoff.dossier.edits import Rename
from lidoff.dossier.plain_edits import Operation, Path, RemoveAt, RenameAt, SetAt
from lidoff.errors import ImpossibleValue, UnknownName

if TYPE_CHECKING:
    from lidoff.board import Board

__all__ = ["SECTIONS", "board_renamed", "nets_of_document", "renaming"]

SECTIONS: Mapping[str, str] = MappingProxyType(
    {
        "board": "boards",
        "claim": "claims",
        "distance": "distances",
        "instrument": "instruments",
        "laser": "lasers",
        "light": "lights",
        "log": "logs",
        "part": "parts",
        "reading": "readings",
        "situation": "situations",
        "surface": "surfaces",
        "trial": "trials",
        "wire": "wires",
    }
)
"""Table whose rows are the things of a sort; nets have none, they are what names them."""

VALUE, KEY, PIN = "value", "key", "pin"
_TARGETS = (("readings", "*"), ("claims", "*", "from", "*"))

NAMED_AT: Mapping[str, tuple[tuple[Path, str], ...]] = MappingProxyType(
    {
        "board": (
            (("parts", "*", "board"), VALUE),
            (("photos", "*", "board"), VALUE),
            (("distances", "*", "board"), VALUE),
        ),
        "claim": ((("decisions", "*", "claims", "*"), VALUE),),
        "distance": (),
        "instrument": (
            (("readings", "*", "instrument"), VALUE),
            (("logs", "*", "instrument"), VALUE),
            (("logs", "*", "instruments", "*"), VALUE),
        ),
        "laser": (),
        "light": (),
        "log": ((("readings", "*", "from_log", "log"), VALUE),),
        "net": (
            (("ground",), VALUE),
            (("parts", "*", "pins", "*"), VALUE),
            *(((*at, key), VALUE) for at in _TARGETS for key in ("voltage", "against")),
            (("readings", "*", "resistance"), VALUE),
            (("readings", "*", "diode"), VALUE),
            (("rails", "*"), KEY),
            (("wires", "*", "joins", "*"), VALUE),
            (("distances", "*", "between", "*"), VALUE),
            (("accessible", "*"), VALUE),
            (("decisions", "*", "nets", "*"), VALUE),
        ),
        "part": (
            *(((*at, key), PIN) for at in _TARGETS for key in ("across", "current", "power")),
            (("situations", "*", "set", "*"), KEY),
            (("drawing", "pinned", "*"), KEY),
            (("drawing", "keep_apart", "*"), VALUE),
            (("cells", "*"), KEY),
            (("parts", "*", "stands_for", "*"), VALUE),
            *(((group, "*", "parts", "*"), VALUE) for group in ("lights", "lasers", "surfaces", "decisions")),
        ),
        "reading": (
            (("claims", "*", "from", "*"), VALUE),
            (("surfaces", "*", "reading"), VALUE),
            (("decisions", "*", "readings", "*"), VALUE),
        ),
        "situation": (
            (("readings", "*", "situation"), VALUE),
            (("trials", "*", "situation"), VALUE),
            (("claims", "*", "from", "*", "situation"), VALUE),
            (("surfaces", "*", "situation"), VALUE),
            (("decisions", "*", "situations", "*"), VALUE),
        ),
        "surface": (),
        "trial": (
            (("claims", "*", "trials", "*"), VALUE),
            (("claims", "*", "from", "*", "trial"), VALUE),
        ),
        "wire": (),
    }
)
"""Paths at which a thing of a sort is named: as a value, as a key, or as a value that may go on with a pin."""


def nets_of_document(document: Mapping[str, object]) -> frozenset[str]:
    """Names of all nets that a dossier's plain data names."""
    found: set[str] = {"gnd"}
    for pattern, form in NAMED_AT["net"]:
        if pattern[0] == "decisions":
            continue
        for path, value in _places(document, pattern):
            found.add(str(path[-1]) if form == KEY else str(value))
    return frozenset(found)


def renaming(document: Mapping[str, object], edit: Rename) -> tuple[Operation, ...]:
    """Operations on a dossier's plain data that give a thing another name.

    Parameters
    ----------
    document : mapping
        Plain data of ``dossier.toml``.
    edit : Rename
        What is to be called how.

    Returns
    -------
    tuple of Operation
        In an order in which they can be done.

    Raises
    ------
    UnknownName, ImpossibleValue
        There is no such thing, or the name is taken.
    """
    if not edit.to.strip() or edit.to != edit.to.strip():
        raise ImpossibleValue(f"{edit.to!r} cannot be a name", remedy="give a name without blanks around it")
    if edit.what == "part":
        from lidoff.circuit import check_reference

        check_reference(edit.to)
    operations: list[Operation] = []
    if edit.what == "net":
        _check_net(nets_of_document(document), edit)
    else:
        section = SECTIONS[edit.what]
        rows = document.get(section, {})
        known = rows if isinstance(rows, Mapping) else {}
        if edit.name not in known:
            raise UnknownName(f"there is no {edit.what} {edit.name!r}", name=edit.name, known=known)
        operations.append(RenameAt(path=(section, edit.name), to=edit.to))
    for pattern, form in NAMED_AT[edit.what]:
        for path, value in _places(document, pattern):
            # A rename before may have changed the key on the way, but never one of another table than its own.
            new = _renamed(form, path, value, edit)
            if new is not None:
                operations.extend(_operations(form, path, new, document))
    return tuple(operations)


def _check_net(known: frozenset[str], edit: Rename) -> None:
    if edit.name not in known:
        raise UnknownName(f"there is no net {edit.name!r}", name=edit.name, known=known)
    if edit.to in known and not edit.join:
        raise ImpossibleValue(
            f"there is a net {edit.to!r} already",
            remedy="choose another name, or say that the two are one net",
        )


def _renamed(form: str, path: Path, value: object, edit: Rename) -> str | None:
    """New text of a place that names the thing; None where it names another."""
    text = path[-1] if form == KEY else value
    if not isinstance(text, str):
        return None
    if text == edit.name:
        return edit.to
    if form == PIN and text.startswith(f"{edit.name}."):
        return edit.to + text[len(edit.name) :]
    return None


def _operations(form: str, path: Path, new: str, document: Mapping[str, object]) -> tuple[Operation, ...]:
    if form != KEY:
        return (SetAt(path=path, value=new),)
    siblings: object = document
    for key in path[:-1]:
        siblings = siblings[key]  # type: ignore[index]
    if isinstance(siblings, Mapping) and new in siblings:
        return (RemoveAt(path=path),)  # two nets become one: the other's role stands
    return (RenameAt(path=path, to=new),)


def _places(data: object, pattern: Path, path: Path = ()) -> Iterator[tuple[Path, object]]:
    """Paths that fit a pattern, with what stands there."""
    if not pattern:
        yield path, data
        return
    head, rest = pattern[0], pattern[1:]
    if isinstance(data, Mapping):
        for key in list(data) if head == "*" else [head] if head in data else []:
            yield from _places(data[key], rest, (*path, str(key)))
    elif isinstance(data, (list, tuple)) and head == "*":
        for number, entry in enumerate(data):
            yield from _places(entry, rest, (*path, number))


def board_renamed(board: Board, edit: Rename) -> Board:
    """Traced board with a part, a net or itself named anew.

    Parameters
    ----------
    board : Board
        Before.
    edit : Rename
        Of any sort; most leave a board as it is.

    Returns
    -------
    Board
        After.
    """
    if edit.what == "board":
        return replace(board, name=edit.to) if board.name == edit.name else board
    if edit.what == "net":
        names = {pin: edit.to if net == edit.name else net for pin, net in board.net_names.items()}
        holes = tuple(replace(hole, net=edit.to) if hole.net == edit.name else hole for hole in board.holes)
        return replace(board, net_names=MappingProxyType(names), holes=holes)
    if edit.what != "part":
        return board

    def node(text: str) -> str:
        return edit.to + text[len(edit.name) :] if text.startswith(f"{edit.name}.") else text

    parts = tuple(
        replace(part, reference=edit.to, pads=tuple(replace(pad, pin=node(pad.pin)) for pad in part.pads))
        if part.reference == edit.name
        else part
        for part in board.parts
    )
    return replace(
        board,
        parts=parts,
        wires=tuple(replace(one, first=node(one.first), second=node(one.second)) for one in board.wires),
        beeps=tuple(replace(one, first=node(one.first), second=node(one.second)) for one in board.beeps),
        net_names=MappingProxyType({node(pin): net for pin, net in board.net_names.items()}),
    )
