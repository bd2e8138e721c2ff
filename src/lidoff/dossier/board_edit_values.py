"""The edits of a traced board, each a value that says what it does; lengths are millimetres in the board's frame."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Literal

__all__ = [
    "CLOSED",
    "Beep",
    "BeginBoard",
    "DropHole",
    "NameNet",
    "OnBoard",
    "OutlineBoard",
    "Place",
    "PointPair",
    "PutHole",
    "Register",
    "ShowSide",
    "Side",
    "Spot",
    "Stroke",
    "Traced",
    "Unbeep",
    "Unplace",
    "Unstroke",
    "Unwire",
    "Wire",
]

Spot = tuple[float, float]
Side = Literal["front", "back"]
CLOSED: Mapping[str, str] = {"extra": "forbid"}
"""Makes a reader of edits refuse one with a key that it does not know."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginBoard:
    """A board is begun: its row in the dossier and its file, with the outline's corners or its width and height."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["board"] = "board"
    board: str
    caption: str = ""
    size_mm: Spot | None = None
    outline_mm: tuple[Spot, ...] = ()
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowSide:
    """A photo of the folder is to show one side of a board; what was traced on that side stays."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["side"] = "side"
    board: str
    side: Side
    photo: str
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PointPair:
    """One place, on the photo [pixels] and on the board."""

    __pydantic_config__: ClassVar = CLOSED
    photo_px: Spot
    board_mm: Spot


@dataclass(frozen=True, slots=True, kw_only=True)
class Register:
    """How a side's photo shows the board, by four or more places known on both.

    `photo_shape` (rows, columns) and `sha256` of the photo are filled in by whoever can read the photo.
    """

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["register"] = "register"
    board: str
    side: Side
    points: tuple[PointPair, ...]
    photo: str = ""
    photo_shape: tuple[int, int] | None = None
    sha256: str = ""
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineBoard:
    """The board's outline, by its corners."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["outline"] = "outline"
    board: str
    outline_mm: tuple[Spot, ...]
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Traced:
    """What was traced on a board takes the place of what stood in its file, as plain data."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["traced"] = "traced"
    board: str
    value: object
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A stroke over a side that says what the photo shows there."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["stroke"] = "stroke"
    board: str
    side: Side
    says: str
    points_mm: tuple[Spot, ...]
    width_mm: float = 0.3
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unstroke:
    """A stroke goes, by its number on the side."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["unstroke"] = "unstroke"
    board: str
    side: Side
    number: int
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A part's package is placed by the centres of two of its pads."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["place"] = "place"
    board: str
    reference: str
    package: str
    side: Side
    first_mm: Spot
    second_mm: Spot
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unplace:
    """A part leaves its place on the board."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["unplace"] = "unplace"
    board: str
    reference: str
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PutHole:
    """A hole through the board."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["hole"] = "hole"
    board: str
    at_mm: Spot
    diameter_mm: float
    plated: bool
    filled: bool = False
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DropHole:
    """A hole goes, by its number."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["unhole"] = "unhole"
    board: str
    number: int
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Beep:
    """What the continuity beeper said between two pins or places."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["beep"] = "beep"
    board: str
    first: str
    second: str
    joined: bool
    source: str = ""
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unbeep:
    """A beep goes, by its number."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["unbeep"] = "unbeep"
    board: str
    number: int
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """A wire or a stated join between two pins, or places written as ``side:x,y``."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["wire"] = "wire"
    board: str
    first: str
    second: str
    why: str = "wire"
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unwire:
    """A wire goes, by its number."""

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["unwire"] = "unwire"
    board: str
    number: int
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NameNet:
    """The net of the copper at a pin gets a name wherever it is named; an empty one takes away what was given.

    With `join` it is one net with another that has the name: stated on the board, or as a wire between two boards. With
    `alone` only this copper is called so, where other copper has the same name.
    """

    __pydantic_config__: ClassVar = CLOSED
    kind: Literal["name_net"] = "name_net"
    board: str
    pin: str
    net: str
    join: bool = False
    alone: bool = False
    title: str = ""


OnBoard = (
    BeginBoard
    | ShowSide
    | Register
    | OutlineBoard
    | Traced
    | Stroke
    | Unstroke
    | Place
    | Unplace
    | PutHole
    | DropHole
    | Beep
    | Unbeep
    | Wire
    | Unwire
    | NameNet
)  # fmt: skip
