"""The page while units are being placed: what is covered, where wires run roughly, what a new place would cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lidoff.schematic.mirror import MirrorMate
from lidoff.schematic.unit import Unit, Variant

__all__ = ["AROUND", "BEND", "CROSSING", "OVERLAP", "End", "GroundPlan", "Real", "Spot", "Whole"]

Whole = NDArray[np.int64]
Real = NDArray[np.float64]

BEND = 2.5
"""What a bend costs, in steps of wire."""
CROSSING = 6.0
"""What a crossing costs, in steps of wire."""
ALONG = 10.0
"""What each step of a wire along another costs."""
THROUGH = 10.0
"""What each step of a wire through a symbol costs."""
OVER_TEXT = 1.2
"""What each step of a wire over the room for text costs."""
AROUND = 24.0
"""The most that what is in a wire's way costs: a way around it."""
OVERLAP = 12.0
"""What each shared grid point of two rooms costs."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a unit stands and in which variant."""

    variant: int
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class End:
    """One target of a wire: a pin, or a stretch of wire already there."""

    x0: int
    y0: int
    x1: int
    y1: int
    dx: int = 0
    dy: int = 0


@dataclass(slots=True)
class GroundPlan:
    """Mutable page of one placement run.

    Attributes
    ----------
    width, height : int
        Size of the page in grid points.
    edge : int
        Margin within which no unit's origin is put.
    limit : float
        Width above which the page should grow downwards.
    units : sequence of Unit
        What is to be placed.
    flow : mapping
        For each unit: others, weight, and whether the other should stand to its left.
    mates : mapping
        For each unit: units of the same group.
    mirror : mapping
        For each unit that has one: its mirror image.
    beside : mapping of int to sequence of int
        For each unit: others that lead from and to the same nets.
    evenness : float
        How much mirror images count, 1 for the usual.
    tall : bool
        Whether the page is to be higher than wide.
    origin : (int, int)
        Where on the plan the origin of the drawing lies.
    spots : dict of int to Spot
        Placed units.
    trees : dict of str to list of End
        Rough wires of each net.
    wire_cost : dict of str to float
        What they cost.
    drops : dict
        For each rail and unit: column and level of its drops.
    """

    width: int
    height: int
    edge: int
    limit: float
    units: Sequence[Unit]
    flow: Mapping[int, Sequence[tuple[int, float, bool]]]
    mates: Mapping[int, Sequence[int]]
    mirror: Mapping[int, MirrorMate]
    beside: Mapping[int, Sequence[int]] = field(default_factory=dict)
    evenness: float = 1.0
    tall: bool = False
    origin: tuple[int, int] = (0, 0)
    spots: dict[int, Spot] = field(default_factory=dict)
    trees: dict[str, list[End]] = field(default_factory=dict)
    wire_cost: dict[str, float] = field(default_factory=dict)
    body: Whole = field(init=False)
    room: Whole = field(init=False)
    across: Whole = field(init=False)
    along: Whole = field(init=False)
    homes: dict[str, list[int]] = field(init=False)
    drops: dict[str, dict[int, list[tuple[int, int]]]] = field(default_factory=dict)
    by_row: Real = field(init=False)
    by_column: Real = field(init=False)
    _stale: list[int] = field(init=False)
    _areas: tuple[Real, Real] | None = None
    _heights: Real | None = None
    _lying: Real | None = None

    def __post_init__(self) -> None:
        shape = (self.height, self.width)
        self.body = np.zeros(shape, dtype=np.int64)
        self.room = np.zeros(shape, dtype=np.int64)
        self.across = np.zeros(shape, dtype=np.int64)
        self.along = np.zeros(shape, dtype=np.int64)
        self.by_row = np.zeros((self.height, self.width + 1))
        self.by_column = np.zeros((self.height + 1, self.width))
        self._stale = [self.width, self.height, -1, -1]
        self.homes = {}
        for number, unit in enumerate(self.units):
            for net in dict.fromkeys(lead.net for lead in unit.variants[0].wires):
                self.homes.setdefault(net, []).append(number)

    def put(self, number: int, spot: Spot) -> None:
        """Place a unit and run rough wires to it."""
        self.spots[number] = spot
        for flag in self.units[number].variants[spot.variant].flags:
            there = self.drops.setdefault(flag.net, {}).setdefault(number, [])
            there.append((spot.x + flag.column, spot.y + flag.level))
        self._stamp(number, 1)
        self._rewire(self.units[number].variants[spot.variant])

    def lift(self, number: int) -> Spot:
        """Take a unit up again."""
        self._stamp(number, -1)
        spot = self.spots.pop(number)
        for flag in self.units[number].variants[spot.variant].flags:
            self.drops[flag.net].pop(number, None)
        self._rewire(self.units[number].variants[spot.variant])
        return spot

    def variant(self, number: int) -> Variant:
        """Variant in which a placed unit stands."""
        return self.units[number].variants[self.spots[number].variant]

    def _stamp(self, number: int, sign: int) -> None:
        spot = self.spots[number]
        variant = self.units[number].variants[spot.variant]
        for rects, page in ((variant.bodies, self.body), (variant.rooms, self.room)):
            for x0, y0, x1, y1 in rects:
                page[spot.y + y0 : spot.y + y1 + 1, spot.x + x0 : spot.x + x1 + 1] += sign
                self._touch(spot.x + x0, spot.y + y0, spot.x + x1, spot.y + y1)

    def _touch(self, x0: int, y0: int, x1: int, y1: int) -> None:
        stale = self._stale
        self._stale = [min(stale[0], x0), min(stale[1], y0), max(stale[2], x1), max(stale[3], y1)]
        self._areas = self._heights = self._lying = None

    def _rewire(self, variant: Variant) -> None:
        nets = list(dict.fromkeys(lead.net for lead in variant.wires))
        for net in nets:
            self._draw(net, -1)
            self.trees[net] = []
        for net in nets:
            self.trees[net], self.wire_cost[net] = self._tree(net)
            self._draw(net, 1)

    def _draw(self, net: str, sign: int) -> None:
        for end in self.trees.get(net, ()):
            if end.y0 == end.y1 and end.x0 != end.x1:
                self.across[end.y0, min(end.x0, end.x1) : max(end.x0, end.x1) + 1] += sign
            elif end.x0 == end.x1 and end.y0 != end.y1:
                self.along[min(end.y0, end.y1) : max(end.y0, end.y1) + 1, end.x0] += sign
            else:
                continue
            self._touch(min(end.x0, end.x1), min(end.y0, end.y1), max(end.x0, end.x1), max(end.y0, end.y1))

    def pins_of(self, net: str) -> list[End]:
        """Pins of a net that are placed."""
        found = []
        for number in self.homes.get(net, ()):
            spot = self.spots.get(number)
            if spot is None:
                continue
            for lead in self.units[number].variants[spot.variant].wires:
                if lead.net == net:
                    x, y = spot.x + lead.x, spot.y + lead.y
                    found.append(End(x, y, x, y, lead.dx, lead.dy))
        return found

    def _tree(self, net: str) -> tuple[list[End], float]:
        """Rough tree: each further pin joins what is there by its cheapest path of at most one corner."""
        pins = self.pins_of(net)
        if len(pins) < 2:
            return pins, 0.0
        tree = [pins[0]]
        left = pins[1:]
        total = 0.0
        by_row, by_column = self.lines()
        while left:
            pin = min(left, key=lambda pin: min(_gap(pin, end) for end in tree))
            left.remove(pin)
            near = sorted(tree, key=lambda end: _gap(pin, end))[:4]
            options = [(*self._one_way(pin, end, by_row, by_column), end) for end in near]
            cost, across_first, end = min(options, key=lambda option: option[0])
            total += cost
            tree.extend(_path(pin, end, across_first))
            tree.append(pin)
        return tree, total

    def _one_way(self, pin: End, end: End, by_row: Real, by_column: Real) -> tuple[float, bool]:
        """Cost of the cheaper one-corner path, and whether it sets out across."""
        px, py = pin.x0, pin.y0
        tx = min(max(px, min(end.x0, end.x1)), max(end.x0, end.x1))
        ty = min(max(py, min(end.y0, end.y1)), max(end.y0, end.y1))
        over, down = tx - px, ty - py
        pin_end = end.dx != 0 or end.dy != 0
        if not over and not down:
            meets = not pin_end or (pin.dx == 0 and pin.dy == 0) or (pin.dx == -end.dx and pin.dy == -end.dy)
            return (0.0 if meets else BEND), True
        sx, sy = (over > 0) - (over < 0), (down > 0) - (down < 0)
        own = CROSSING if (end.x0 != end.x1 or end.y0 != end.y1) else 0.0
        x0, x1 = (px, tx) if px < tx else (tx, px)
        y0, y1 = (py, ty) if py < ty else (ty, py)
        length = abs(over) + abs(down)
        h = (sx, 0) if over else (0, sy)
        v = (0, sy) if down else (sx, 0)
        corner = 1 if over and down else 0

        def bends(first: tuple[int, int], last: tuple[int, int]) -> float:
            start = _bend(pin.dx, pin.dy, *first)
            return start + corner + (_bend(end.dx, end.dy, -last[0], -last[1]) if pin_end else 0.0)

        row_1 = by_row[py, x1 + 1] - by_row[py, x0] if over else 0.0
        column_1 = by_column[y1 + 1, tx] - by_column[y0, tx] if down else 0.0
        first = length + BEND * bends(h, v) + min(max(float(row_1 + column_1) - own, 0.0), AROUND)
        if not corner:
            return first, True
        column_2 = by_column[y1 + 1, px] - by_column[y0, px]
        row_2 = by_row[ty, x1 + 1] - by_row[ty, x0]
        second = length + BEND * bends(v, h) + min(max(float(row_2 + column_2) - own, 0.0), AROUND)
        return (first, True) if first <= second else (second, False)

    def lines(self) -> tuple[Real, Real]:
        """Running sums of what a wire minds, along rows of shape (H, W + 1) and columns of shape (H + 1, W)."""
        x0, y0, x1, y1 = self._stale
        if x1 >= x0:
            rows, columns = slice(y0, y1 + 1), slice(x0, x1 + 1)
            along, across = self.along[rows] > 0, self.across[rows] > 0
            common = THROUGH * (self.body[rows] > 0) + OVER_TEXT * (self.room[rows] > 0)
            np.cumsum(common + CROSSING * along + ALONG * across, axis=1, out=self.by_row[rows, 1:])
            along, across = self.along[:, columns] > 0, self.across[:, columns] > 0
            common = THROUGH * (self.body[:, columns] > 0) + OVER_TEXT * (self.room[:, columns] > 0)
            np.cumsum(common + CROSSING * across + ALONG * along, axis=0, out=self.by_column[1:, columns])
            self._stale = [self.width, self.height, -1, -1]
        return self.by_row, self.by_column

    def heights(self) -> Real:
        """Running sum of rooms down each column, of shape (H + 1, W)."""
        if self._heights is None:
            self._heights = np.zeros((self.height + 1, self.width))
            np.cumsum(self.room > 0, axis=0, out=self._heights[1:])
        return self._heights

    def lying(self) -> Real:
        """Running sum of lying wires down each column, of shape (H + 1, W)."""
        if self._lying is None:
            self._lying = np.zeros((self.height + 1, self.width))
            np.cumsum(self.across > 0, axis=0, out=self._lying[1:])
        return self._lying

    def areas(self) -> tuple[Real, Real]:
        """Running sums of rooms and of wires over areas, each of shape (H + 1, W + 1)."""
        if self._areas is None:
            wires = (self.across > 0).astype(np.float32) + (self.along > 0)
            self._areas = (_area_sum(self.room > 0), _area_sum(wires))
        return self._areas


def _bend(dx: int, dy: int, mx: int, my: int) -> float:
    ahead = dx * mx + dy * my
    return 0.0 if ahead > 0 or (dx == 0 and dy == 0) else 3.0 if ahead < 0 else 1.0


def _path(pin: End, end: End, across_first: bool) -> list[End]:
    tx = min(max(pin.x0, min(end.x0, end.x1)), max(end.x0, end.x1))
    ty = min(max(pin.y0, min(end.y0, end.y1)), max(end.y0, end.y1))
    if pin.x0 == tx or pin.y0 == ty:
        return [End(pin.x0, pin.y0, tx, ty)] if (pin.x0, pin.y0) != (tx, ty) else []
    if across_first:
        return [End(pin.x0, pin.y0, tx, pin.y0), End(tx, pin.y0, tx, ty)]
    return [End(pin.x0, pin.y0, pin.x0, ty), End(pin.x0, ty, tx, ty)]


def _gap(a: End, b: End) -> int:
    over = max(min(b.x0, b.x1) - a.x0, a.x0 - max(b.x0, b.x1), 0)
    down = max(min(b.y0, b.y1) - a.y0, a.y0 - max(b.y0, b.y1), 0)
    return over + down


def _area_sum(page: NDArray[np.bool_] | NDArray[np.float32]) -> Real:
    total = np.zeros((page.shape[0] + 1, page.shape[1] + 1))
    np.cumsum(page, axis=0, out=total[1:, 1:])
    np.cumsum(total, axis=1, out=total)
    return total
