"""The page while units are being placed: what is covered, where wires run roughly, what a new place would cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lidoff.schematic.shapes import Rect
from lidoff.schematic.units import Unit, Variant

__all__ = ["BEND", "CROSSING", "GroundPlan", "Spot"]

Whole = NDArray[np.int64]
Real = NDArray[np.float64]

BEND = 2.5
"""What a bend costs, in steps of wire."""
CROSSING = 5.0
"""What a crossing costs, in steps of wire."""
THROUGH = 8.0
"""What each step of a wire through a symbol costs."""
OVER_TEXT = 0.5
"""What each step of a wire over the room for text costs."""
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
    spots : dict of int to Spot
        Placed units.
    """

    width: int
    height: int
    units: Sequence[Unit]
    flow: Mapping[int, Sequence[tuple[int, float, bool]]]
    mates: Mapping[int, Sequence[int]]
    spots: dict[int, Spot] = field(default_factory=dict)
    body: Whole = field(init=False)
    room: Whole = field(init=False)
    across: Whole = field(init=False)
    along: Whole = field(init=False)
    trees: dict[str, list[End]] = field(default_factory=dict)
    _sums: tuple[Real, Real, Real, Real] | None = None

    def __post_init__(self) -> None:
        shape = (self.height, self.width)
        self.body = np.zeros(shape, dtype=np.int64)
        self.room = np.zeros(shape, dtype=np.int64)
        self.across = np.zeros(shape, dtype=np.int64)
        self.along = np.zeros(shape, dtype=np.int64)

    def put(self, number: int, spot: Spot) -> None:
        """Place a unit and run rough wires to it."""
        self.spots[number] = spot
        self._stamp(number, 1)
        self._rewire(number)

    def lift(self, number: int) -> Spot:
        """Take a unit up again."""
        self._stamp(number, -1)
        spot = self.spots.pop(number)
        self._rewire(number, self.units[number].variants[spot.variant])
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
        self._sums = None

    def _rewire(self, number: int, variant: Variant | None = None) -> None:
        variant = variant or self.variant(number)
        for net in dict.fromkeys(lead.net for lead in variant.wires):
            self._draw(net, -1)
            self.trees[net] = self._tree(net)
            self._draw(net, 1)

    def _draw(self, net: str, sign: int) -> None:
        for end in self.trees.get(net, ()):
            if end.y0 == end.y1 and end.x0 != end.x1:
                self.across[end.y0, min(end.x0, end.x1) : max(end.x0, end.x1) + 1] += sign
            elif end.x0 == end.x1 and end.y0 != end.y1:
                self.along[min(end.y0, end.y1) : max(end.y0, end.y1) + 1, end.x0] += sign
        self._sums = None

    def pins_of(self, net: str) -> list[End]:
        """Pins of a net that are placed."""
        found = []
        for number, spot in self.spots.items():
            for lead in self.units[number].variants[spot.variant].wires:
                if lead.net == net:
                    x, y = spot.x + lead.x, spot.y + lead.y
                    found.append(End(x, y, x, y, lead.dx, lead.dy))
        return found

    def _tree(self, net: str) -> list[End]:
        """Rough tree: each further pin joins what is there by its cheapest path of at most one corner."""
        pins = self.pins_of(net)
        if not pins:
            return []
        tree = [pins[0]]
        left = pins[1:]
        while left:
            distance = [(min(_gap(pin, end) for end in tree), number) for number, pin in enumerate(left)]
            pin = left.pop(min(distance)[1])
            near = sorted(range(len(tree)), key=lambda k: _gap(pin, tree[k]))[:4]
            ends = [tree[k] for k in near]
            px = np.full(1, pin.x0)
            py = np.full(1, pin.y0)
            options = [
                (float(self.path_cost(px, py, pin.dx, pin.dy, end)[0]), k) for k, end in enumerate(ends)
            ]
            end = ends[min(options)[1]]
            tree.extend(self._path(pin, end))
            tree.append(pin)
        return tree  # fmt: skip

    def _path(self, pin: End, end: End) -> list[End]:
        tx = min(max(pin.x0, min(end.x0, end.x1)), max(end.x0, end.x1))
        ty = min(max(pin.y0, min(end.y0, end.y1)), max(end.y0, end.y1))
        if pin.x0 == tx or pin.y0 == ty:
            return [End(pin.x0, pin.y0, tx, ty)] if (pin.x0, pin.y0) != (tx, ty) else []
        px, py = np.full(1, pin.x0), np.full(1, pin.y0)
        first, second = self._ways(px, py, pin.dx, pin.dy, end)
        if first[0] <= second[0]:
            return [End(pin.x0, pin.y0, tx, pin.y0), End(tx, pin.y0, tx, ty)]
        return [End(pin.x0, pin.y0, pin.x0, ty), End(pin.x0, ty, tx, ty)]

    def sums(self) -> tuple[Real, Real, Real, Real]:
        """Running sums: of obstacles along rows and columns, of rooms and of wires over areas."""
        if self._sums is None:
            common = THROUGH * np.minimum(self.body, 1) + OVER_TEXT * np.minimum(self.room, 1)
            rows = common + CROSSING * np.minimum(self.along, 1) + 1.6 * CROSSING * np.minimum(self.across, 1)
            columns = (
                common + CROSSING * np.minimum(self.across, 1) + 1.6 * CROSSING * np.minimum(self.along, 1)
            )
            by_row = np.zeros((self.height, self.width + 1))
            np.cumsum(rows, axis=1, out=by_row[:, 1:])
            by_column = np.zeros((self.height + 1, self.width))
            np.cumsum(columns, axis=0, out=by_column[1:])
            self._sums = (
                by_row,
                by_column,
                _area_sum(np.minimum(self.room, 1)),
                _area_sum(self.across + self.along),
            )
        return self._sums  # fmt: skip

    def path_cost(self, px: Whole, py: Whole, dx: int, dy: int, end: End) -> Real:
        """Cost of a wire from candidate pins to a target, by the better of its two one-corner paths."""
        first, second = self._ways(px, py, dx, dy, end)
        return np.minimum(first, second)

    def _ways(self, px: Whole, py: Whole, dx: int, dy: int, end: End) -> tuple[Real, Real]:
        by_row, by_column, _, _ = self.sums()
        x_low, x_high = min(end.x0, end.x1), max(end.x0, end.x1)
        y_low, y_high = min(end.y0, end.y1), max(end.y0, end.y1)
        tx = np.clip(px, x_low, x_high)
        ty = np.clip(py, y_low, y_high)
        over, down = tx - px, ty - py
        length = np.abs(over) + np.abs(down)
        sx, sy = np.sign(over), np.sign(down)
        pin_end = end.dx != 0 or end.dy != 0
        x0, x1 = np.minimum(px, tx), np.maximum(px, tx)
        y0, y1 = np.minimum(py, ty), np.maximum(py, ty)

        def turns(ax: Whole, ay: Whole, bx: Whole, by: Whole) -> Real:
            """Bends at both ends when the wire sets out along a and arrives along b."""
            start = _turn(dx, dy, ax, ay)
            return start + (_turn(end.dx, end.dy, -bx, -by) if pin_end else 0.0)

        corner = (over != 0) & (down != 0)
        still = length == 0
        hx, hy = np.where(over != 0, sx, 0), np.where(over != 0, 0, sy)
        vx, vy = np.where(down != 0, 0, sx), np.where(down != 0, sy, 0)
        first = turns(hx, hy, vx, vy) + corner
        second = turns(vx, vy, hx, hy) + corner
        if pin_end and (dx or dy):
            meet = 0.0 if (dx == -end.dx and dy == -end.dy) else 1.0
        else:
            meet = 0.0
        first = np.where(still, meet, first)
        second = np.where(still, meet, second)
        own = end.x0 != end.x1 or end.y0 != end.y1  # the last step onto the net's own wire is not a crossing
        row_1 = by_row[py, x1 + 1] - by_row[py, x0]
        column_1 = by_column[y1 + 1, tx] - by_column[y0, tx]
        column_2 = by_column[y1 + 1, px] - by_column[y0, px]
        row_2 = by_row[ty, x1 + 1] - by_row[ty, x0]
        allowance = CROSSING * own
        cost_1 = np.maximum(
            np.where(over != 0, row_1, 0.0) + np.where(down != 0, column_1, 0.0) - allowance, 0.0
        )
        cost_2 = np.maximum(
            np.where(down != 0, column_2, 0.0) + np.where(over != 0, row_2, 0.0) - allowance, 0.0
        )
        return length + BEND * first + cost_1, length + BEND * second + cost_2


def _turn(dx: int, dy: int, mx: Whole, my: Whole) -> Real:
    """Bends between a pin's way out and the first move: none ahead, one aside, three back."""
    if dx == 0 and dy == 0:
        return np.zeros(mx.shape)
    ahead = dx * mx + dy * my
    result: Real = np.where(ahead > 0, 0.0, np.where(ahead < 0, 3.0, 1.0))
    return result


def _gap(a: End, b: End) -> int:
    over = max(min(b.x0, b.x1) - a.x0, a.x0 - max(b.x0, b.x1), 0)
    down = max(min(b.y0, b.y1) - a.y0, a.y0 - max(b.y0, b.y1), 0)
    return over + down


def _area_sum(page: Whole) -> Real:
    total = np.zeros((page.shape[0] + 1, page.shape[1] + 1))
    np.cumsum(np.cumsum(page, axis=0), axis=1, out=total[1:, 1:])
    return total


def area(total: Real, rect: Rect, x: Whole, y: Whole) -> Real:
    """Sum over a rectangle shifted to each candidate."""
    x0, y0, x1, y1 = rect
    result: Real = (
        total[y + y1 + 1, x + x1 + 1] - total[y + y0, x + x1 + 1] - total[y + y1 + 1, x + x0] + total[y + y0, x + x0]
    )  # fmt: skip
    return result
