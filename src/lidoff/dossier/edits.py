"""The small changes that a dossier is edited by, each a value that says what it does.

A `file` is ``dossier`` for ``dossier.toml``, ``boards/NAME`` for a traced board.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from lidoff.dossier.board_edit_values import (
    CLOSED,
    Beep,
    BeginBoard,
    DropHole,
    NameNet,
    OnBoard,
    OutlineBoard,
    Place,
    PointPair,
    PutHole,
    Register,
    ShowSide,
    Side,
    Stroke,
    Traced,
    Unbeep,
    Unplace,
    Unstroke,
    Unwire,
    Wire,
)
from lidoff.dossier.plain_edits import Path

__all__ = [
    "Add",
    "Attach",
    "Beep",
    "BeginBoard",
    "Decide",
    "Detach",
    "DropHole",
    "Edit",
    "Move",
    "NameNet",
    "OnBoard",
    "OutlineBoard",
    "Own",
    "Pin",
    "Place",
    "PointPair",
    "PutHole",
    "Register",
    "Remove",
    "Rename",
    "Set",
    "Several",
    "ShowSide",
    "Side",
    "Stroke",
    "Traced",
    "Unbeep",
    "Unpin",
    "Unplace",
    "Unstroke",
    "Unwire",
    "Wire",
    "after_own",
    "is_of_board",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Set:
    """A value is put at a path, tables on the way are made; None takes it away."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["set"] = "set"
    path: Path
    value: object
    file: str = "dossier"
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Add:
    """A new row, named by the last key of the path, or a new list entry at a position (-1 for the end)."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["add"] = "add"
    path: Path
    value: object
    before: str = ""
    file: str = "dossier"
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remove:
    """What stands at a path goes; a part takes its place in the drawing along, a board what was traced on it."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["remove"] = "remove"
    path: Path
    file: str = "dossier"
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A row or list entry takes another place among its siblings, counted without itself."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["move"] = "move"
    path: Path
    to: int
    file: str = "dossier"
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rename:
    """A thing gets another name everywhere that it is named; two nets become one with `join`."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["rename"] = "rename"
    what: Literal[
        "board",
        "claim",
        "distance",
        "instrument",
        "laser",
        "light",
        "log",
        "net",
        "part",
        "reading",
        "situation",
        "surface",
        "trial",
        "wire",
    ]
    name: str
    to: str
    join: bool = False
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """A part gets a fixed place in the drawing, in steps of its grid and quarter turns."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["pin"] = "pin"
    part: str
    x: int
    y: int
    turn: int = 0
    mirrored: bool = False
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unpin:
    """A part gets its place in the drawing from the drawing again."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["unpin"] = "unpin"
    part: str
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decide:
    """What the analyst says of a finding, named by its name and what it is about; ``open`` takes it back.

    `about` is its title as it was read, for the history.
    """

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["decide"] = "decide"
    finding: str
    says: Literal["accepted", "dismissed", "open"]
    reason: str = ""
    about: str = ""
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    claims: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    situations: tuple[str, ...] = ()
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attach:
    """A photo in the folder is told to the dossier."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["attach"] = "attach"
    file_path: str
    board: str = ""
    side: Literal["front", "back", ""] = ""
    caption: str = ""
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Detach:
    """A photo is no longer told to the dossier; its file stays in the folder."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["detach"] = "detach"
    file_path: str
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Several:
    """Edits that are one step of the history."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["several"] = "several"
    edits: tuple[Edit, ...]
    title: str = ""


Edit = (
    Set | Add | Remove | Move | Rename | Pin | Unpin | Decide | Attach | Detach | OnBoard | Several
)  # fmt: skip


Own = Literal["stands", "says again", "crosses"]
"""How an edit stands to changes of its own page that it did not wait for.

It stands after any of them; it says again what one of just the same places said; or it crosses them as another page's.
"""


def after_own(edit: Edit) -> Own:
    """How an edit stands to changes that its own page made since the state that it rests on.

    It means the same after them where it names what it is about, or only adds. Where it counts in a list, entries may have
    moved; a value that is set would bring back a row that was renamed or removed.
    """
    match edit:
        case Set():
            return "says again"
        case Several(edits=edits):
            return "stands" if all(after_own(one) == "stands" for one in edits) else "crosses"
        case Move() | Traced() | Unstroke() | DropHole() | Unbeep() | Unwire():
            return "crosses"
        case Add(path=path) | Remove(path=path) if any(isinstance(key, int) and key != -1 for key in path):
            return "crosses"
        case _:
            return "stands"


def is_of_board(edit: Edit) -> bool:
    """Whether an edit is of traced boards alone."""
    if isinstance(edit, Several):
        return all(map(is_of_board, edit.edits))
    return isinstance(edit, OnBoard)
