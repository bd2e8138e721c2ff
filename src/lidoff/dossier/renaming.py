"""Where in a dossier things are named, so that a new name reaches every place."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from lidoff.dossier.edits import Rename
from lidoff.dossier.plain_edits import Operation, Path, RemoveAt, RenameAt, SetAt
from lidoff.errors import ImpossibleValue, UnknownName

if TYPE_CHECKING:
    from lidoff.board import Board

__all__ = [
    "SECTIONS",
    "board_renamed",
    "check_name",
    "net_operations",
    "nets_called",
    "nets_of_document",
    "renaming",
]

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
AT_PIN, KEY_AT_PIN = "at a pin", "key at a pin"
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


def nets_called(document: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    """Plain data of a dossier in which nets have other names, outside the parts.

    Parameters
    ----------
    document : mapping
        Left as it is.
    names : mapping of str to str
        New names by those that stand in it.

    Returns
    -------
    dict
        A copy.
    """
    found = [
        (path, form, names[text])
        for pattern, form in NAMED_AT["net"]
        if pattern[0] != "parts"
        for path, value in _places(document, pattern)
        if isinstance(text := path[-1] if form == KEY else value, str) and names.get(text, text) != text
    ]
    if not found:
        return dict(document)
    called = copy.deepcopy(dict(document))
    for path, form, name in found:
        holder: Any = called
        for key in path[:-1]:
            holder = holder[key]
        if form == KEY:
            holder.setdefault(name, holder.pop(path[-1]))
        else:
            holder[path[-1]] = name
    return called


def check_name(name: str) -> None:
    """Refuse a name that is empty or has blanks around it.

    Raises
    ------
    ImpossibleValue
        It cannot be a name.
    """
    if not name.strip() or name != name.strip():
        raise ImpossibleValue(f"{name!r} cannot be a name", remedy="give a name without blanks around it")


def net_operations(document: Mapping[str, object], name: str, to: str) -> tuple[Operation, ...]:
    """Operations on a dossier's plain data that name another net wherever one is named.

    Parameters
    ----------
    document : mapping
        Plain data of ``dossier.toml``.
    name, to : str
        Of the net, before and after.

    Returns
    -------
    tuple of Operation
        In an order in which they can be done.
    """
    return _everywhere(document, NAMED_AT["net"], name, to)


def renaming(document: Mapping[str, object], edit: Rename) -> tuple[Operation, ...]:
    """Operations on a dossier's plain data that give a thing another name; nets need more than these.

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
    check_name(edit.to)
    named_at = NAMED_AT[edit.what]
    if edit.what == "part":
        from lidoff.circuit import check_reference

        check_reference(edit.to)
        # A net without a name of its own is called by a pin on it.
        named_at += tuple((at, KEY_AT_PIN if form == KEY else AT_PIN) for at, form in NAMED_AT["net"])
    section = SECTIONS[edit.what]
    rows = document.get(section, {})
    known = rows if isinstance(rows, Mapping) else {}
    if edit.name not in known:
        raise UnknownName(f"there is no {edit.what} {edit.name!r}", name=edit.name, known=known)
    rename = RenameAt(path=(section, edit.name), to=edit.to)
    return (rename, *_everywhere(document, named_at, edit.name, edit.to, within=rename))


def _everywhere(
    document: Mapping[str, object],
    named_at: Sequence[tuple[Path, str]],
    name: str,
    to: str,
    *,
    within: RenameAt | None = None,
) -> tuple[Operation, ...]:
    operations: list[Operation] = []
    for pattern, form in named_at:
        for path, value in _places(document, pattern):
            new = _renamed(form, path, value, name, to)
            if new is None:
                continue
            if within is not None and path[: len(within.path)] == within.path:
                path = (*within.path[:-1], within.to, *path[len(within.path) :])
            operations.extend(_operations(form, path, new, document))
    return tuple(operations)


def _renamed(form: str, path: Path, value: object, name: str, to: str) -> str | None:
    """New text of a place that names the thing; None where it names another."""
    text = path[-1] if form in (KEY, KEY_AT_PIN) else value
    if not isinstance(text, str):
        return None
    if text == name and form not in (AT_PIN, KEY_AT_PIN):
        return to
    if form not in (VALUE, KEY) and text.startswith(f"{name}."):
        return to + text[len(name) :]
    return None


def _operations(form: str, path: Path, new: str, document: Mapping[str, object]) -> tuple[Operation, ...]:
    if form not in (KEY, KEY_AT_PIN):
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
    """Traced board with a part or itself named anew.

    Parameters
    ----------
    board : Board
        Before.
    edit : Rename
        Of any sort but a net; most leave a board as it is.

    Returns
    -------
    Board
        After.
    """
    if edit.what == "board":
        return replace(board, name=edit.to) if board.name == edit.name else board
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
