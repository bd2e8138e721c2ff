"""A rigid piece of a drawing: what it covers, where its wires and rails leave it, in each way it may be drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from lidoff.fonts import text_width
from lidoff.schematic.options import Pinned
from lidoff.schematic.shapes import Lead, Rect, Shape

__all__ = ["Flag", "Unit", "Variant", "flag_room", "flags_apart"]


FARTHEST_OUT = 8
"""Steps to the side beyond which a rail symbol is not moved for another."""
NAME_SIZE, NAME_REACH, GROUND_REACH = 0.85, 2.0, 1.2
"""Size of a rail's name, what bar and name reach up from the wire's end, and what a ground reaches down, in grid steps."""


@dataclass(frozen=True, slots=True)
class Flag:
    """A drop to a rail at a pin: supply bar, ground or named label, with its stub.

    Attributes
    ----------
    net, role : str
        ``supply``, ``ground`` or ``label``.
    x, y : int
        The pin.
    dx, dy : int
        Its way out.
    out : int
        Steps that a pin's wire goes to the side before the rail symbol.
    stub : tuple of points
        Corners from the pin to where the symbol or the drop to a bus begins.
    level : int
        Height at which a bus would run without a detour.
    column : int
        Where the drop runs up or down.
    """

    net: str
    role: str
    x: int
    y: int
    dx: int
    dy: int
    out: int = 1
    stub: tuple[tuple[int, int], ...] = field(init=False)
    level: int = field(init=False)
    column: int = field(init=False)

    def __post_init__(self) -> None:
        stub = self._stub()
        object.__setattr__(self, "stub", stub)
        object.__setattr__(self, "level", stub[-1][1] + (self.dy if len(stub) == 1 else 0))
        object.__setattr__(self, "column", stub[-1][0])

    @property
    def upward(self) -> bool:
        """Whether the rail lies above."""
        return self.role == "supply"

    def _stub(self) -> tuple[tuple[int, int], ...]:
        pin = (self.x, self.y)
        if self.role == "label" or (self.dy < 0 if self.upward else self.dy > 0):
            return (pin,)
        if self.dx:
            return (pin, (self.x + self.out * self.dx, self.y))
        return (pin, (self.x, self.y + self.dy), (self.x - 2, self.y + self.dy))

    def moved(self, dx: int, dy: int) -> Flag:
        """Return the same drop elsewhere."""
        return Flag(self.net, self.role, self.x + dx, self.y + dy, self.dx, self.dy, self.out)


def flags_apart(flags: Sequence[Flag]) -> list[Flag]:
    """Drops of one unit, those to the side so far out that a supply bar and a ground above it do not lie on each other."""
    apart: list[Flag] = []
    for flag in flags:
        moved = flag
        while flag.dx and moved.out < FARTHEST_OUT and any(_meet(moved, other) for other in apart):
            moved = replace(moved, out=moved.out + 1)
        apart.append(moved)
    return apart


def _meet(a: Flag, b: Flag) -> bool:
    """Whether a supply bar with its name and a ground symbol overlap."""
    supply, ground = (a, b) if a.role == "supply" else (b, a)
    if supply.role != "supply" or ground.role != "ground":
        return False
    (x, y), (other_x, other_y) = supply.stub[-1], ground.stub[-1]
    wide = max(0.8, text_width(supply.net, NAME_SIZE) / 2) + 0.8
    return abs(x - other_x) < wide and y - NAME_REACH < other_y + GROUND_REACH and other_y < y


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One way to draw a unit, round its own origin.

    Attributes
    ----------
    shapes : tuple of (Shape, int, int)
        Parts with the origin of each.
    wires : tuple of Lead
        Pins that need wires.
    flags : tuple of Flag
        Pins that end in a rail symbol.
    bodies, rooms : tuple of rectangles
        What is covered, and what must be kept free of other symbols.
    bias : float
        What this way costs against the best one.
    """

    shapes: tuple[tuple[Shape, int, int], ...]
    wires: tuple[Lead, ...]
    flags: tuple[Flag, ...]
    bodies: tuple[Rect, ...]
    rooms: tuple[Rect, ...]
    bias: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """Parts that move together, in the ways that they may be drawn; `alike` tells their kinds."""

    references: tuple[str, ...]
    variants: tuple[Variant, ...]
    pinned: Pinned | None = None
    alike: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """First reference."""
        return self.references[0]


def flag_room(flag: Flag) -> Rect:
    """Room that a rail symbol takes, its stub included."""
    x, y = flag.x, flag.y
    if flag.role == "label":
        wide = math.ceil(text_width(flag.net)) + 1
        half = wide // 2 if flag.dy else 0
        far = (x + wide * flag.dx, y + 2 * flag.dy)
        return (min(x - half, far[0]), min(y, far[1]), max(x + half, far[0]), max(y, far[1]))
    reach = -2 if flag.upward else 2
    xs = [x for x, _ in flag.stub]
    ys = [y for _, y in flag.stub]
    x, y = flag.stub[-1]
    return (min(*xs, x - 1), min(*ys, y + reach), max(*xs, x + 1), max(*ys, y + reach))
