"""Right-angled wires: each net a tree that avoids symbols, bends little and crosses little.

Each pin joins the tree of its net by a cheapest-path search over grid points and directions (A*, Hart, Nilsson,
Raphael 1968); then nets that crossed or wandered are taken up and run again while that makes the page better.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from lidoff.schematic.shapes import Rect

__all__ = ["Page", "PinEnd", "route_all"]

BEND = 3.0
CROSSING = 6.0
OVER_TEXT = 0.6
BESIDE = 0.35
"""For each step right beside another wire: wires want air."""
CROSSROADS = 14.0
"""For a join that makes four arms, which reads like a crossing."""
NEVER = 1e9

Point = tuple[int, int]
STEPS = ((1, 0), (0, 1), (-1, 0), (0, -1))


@dataclass(frozen=True, slots=True)
class PinEnd:
    """A pin to be wired: its place and the way out; zero for any way."""

    net: str
    x: int
    y: int
    dx: int
    dy: int


@dataclass(slots=True)
class Page:
    """What wires have to heed.

    Attributes
    ----------
    left, top, right, bottom : int
        Where wires may run.
    blocked : set of points
        Symbols.
    dear : mapping of points to float
        Extra cost, such as room for text.
    """

    left: int
    top: int
    right: int
    bottom: int
    blocked: set[Point]
    dear: dict[Point, float]
    pins: dict[Point, str] = field(default_factory=dict)
    ways: dict[Point, set[tuple[int, int]]] = field(default_factory=dict)
    steps: dict[Point, dict[tuple[int, int], str]] = field(default_factory=dict)

    def arms(self, at: Point) -> dict[tuple[int, int], str]:
        """Directions in which wires leave a point, with their net."""
        return self.steps.get(at, {})

    def lay(self, net: str, path: Sequence[Point]) -> None:
        """Put a wire down."""
        for a, b in pairwise(path):
            step = (b[0] - a[0], b[1] - a[1])
            self.steps.setdefault(a, {})[step] = net
            self.steps.setdefault(b, {})[(-step[0], -step[1])] = net

    def take_up(self, net: str, edges: Iterable[tuple[Point, Point]]) -> None:
        """Take the wires of a net up."""
        for a, b in edges:
            for p, q in ((a, b), (b, a)):
                arms = self.steps.get(p, {})
                step = (q[0] - p[0], q[1] - p[1])
                if arms.get(step) == net:
                    del arms[step]
                if not arms:
                    self.steps.pop(p, None)


def room_of(rects: Iterable[Rect]) -> set[Point]:
    """Grid points of rectangles."""
    return {(x, y) for x0, y0, x1, y1 in rects for x in range(x0, x1 + 1) for y in range(y0, y1 + 1)}


def route_all(
    page: Page, nets: Mapping[str, Sequence[PinEnd]], fixed: Mapping[str, Sequence[Sequence[Point]]]
) -> tuple[dict[str, list[tuple[Point, Point]]], list[str]]:
    """Wire every net.

    Parameters
    ----------
    page : Page
        Filled with symbols; receives the wires.
    nets : mapping of str to sequence of PinEnd
        Pins of each net.
    fixed : mapping of str to sequence of paths
        Wires that lie already, such as buses.

    Returns
    -------
    edges : dict of str to list of (point, point)
        Unit steps of each net.
    failed : list of str
        Nets for which no way was found.
    """  # fmt: skip
    for pins in nets.values():
        for pin in pins:
            page.pins[(pin.x, pin.y)] = pin.net
    edges: dict[str, list[tuple[Point, Point]]] = {}
    for net, paths in fixed.items():
        for path in paths:
            page.lay(net, path)
            edges.setdefault(net, []).extend(pairwise(path))
    order = sorted(nets, key=lambda net: (_span(nets[net]), net))
    failed: list[str] = []
    cost: dict[str, float] = {}
    for net in order:
        laid = _route_net(page, nets[net])
        if laid is None:
            failed.append(net)
            continue
        edges[net], cost[net] = laid
    for _ in range(2):
        better = False
        for net in sorted(cost, key=lambda n: (-(cost[n] - _span(nets[n])), n)):
            if cost[net] - _span(nets[net]) <= BEND:
                continue
            page.take_up(net, edges[net])
            again = _route_net(page, nets[net])
            if again is not None and again[1] < cost[net] - 1e-6:
                edges[net], cost[net] = again
                better = True
            else:
                if again is not None:
                    page.take_up(net, again[0])
                for a, b in edges[net]:
                    page.lay(net, (a, b))
        if not better:
            break
    return edges, failed


def _span(pins: Sequence[PinEnd]) -> int:
    xs, ys = [p.x for p in pins], [p.y for p in pins]
    return max(xs) - min(xs) + max(ys) - min(ys) if pins else 0


def _route_net(page: Page, pins: Sequence[PinEnd]) -> tuple[list[tuple[Point, Point]], float] | None:
    """Join pins one by one, nearest first; the wires are laid on the page."""
    net = pins[0].net
    spots = sorted({(p.x, p.y) for p in pins})
    ways: dict[Point, set[tuple[int, int]]] = {}
    for pin in pins:
        ways.setdefault((pin.x, pin.y), set()).add((pin.dx, pin.dy))
    if len(spots) < 2:
        return [], 0.0
    middle = (sum(x for x, _ in spots) / len(spots), sum(y for _, y in spots) / len(spots))
    first = min(
        spots,
        key=lambda s: (
            _nearest(s, [o for o in spots if o != s]),
            abs(s[0] - middle[0]) + abs(s[1] - middle[1]),
            s,
        ),
    )
    tree: set[Point] = {first}
    left = [s for s in spots if s != first]
    laid: list[tuple[Point, Point]] = []
    total = 0.0
    while left:
        left.sort(key=lambda s: (_nearest(s, tree), s))
        start = left.pop(0)
        if start in tree:
            continue
        found = _search(page, net, start, tree, ways)
        if found is None:
            page.take_up(net, laid)
            return None
        path, cost = found
        total += cost
        page.lay(net, path)
        laid.extend(pairwise(path))
        tree.update(path)
    return laid, total


def _nearest(spot: Point, others: Iterable[Point]) -> int:
    return min((abs(spot[0] - x) + abs(spot[1] - y) for x, y in others), default=0)


def _search(
    page: Page, net: str, start: Point, goals: set[Point], ways: Mapping[Point, set[tuple[int, int]]]
) -> tuple[list[Point], float] | None:
    """Cheapest path from a pin to any point of the tree."""
    left = min(x for x, _ in goals)
    right = max(x for x, _ in goals)
    top = min(y for _, y in goals)
    bottom = max(y for _, y in goals)

    def guess(x: int, y: int) -> int:
        return max(left - x, 0, x - right) + max(top - y, 0, y - bottom)

    best: dict[tuple[Point, int], float] = {}
    come: dict[tuple[Point, int], tuple[Point, int]] = {}
    heap: list[tuple[float, float, int, Point, int]] = []
    count = 0
    out = ways.get(start, set())
    for number, (dx, dy) in enumerate(STEPS):
        free = not out or (0, 0) in out
        cost = 0.0 if free or (dx, dy) in out else (BEND if (-dx, -dy) not in out else 3 * BEND)
        heapq.heappush(heap, (cost + guess(*start), cost, count, start, number))
        best[(start, number)] = cost
        count += 1
    steps, blocked, dear, pins = page.steps, page.blocked, page.dear, page.pins
    while heap:
        _, cost, _, at, way = heapq.heappop(heap)
        if cost > best.get((at, way), NEVER):
            continue
        if at in goals and at != start:
            path = [at]
            state = (at, way)
            while state in come:
                state = come[state]
                path.append(state[0])
            trimmed = [p for k, p in enumerate(path) if k == 0 or p != path[k - 1]]
            return trimmed[::-1], cost
        for turn in (way, (way + 1) % 4, (way + 3) % 4):
            if at == start and turn != way:
                continue
            dx, dy = STEPS[turn]
            new = (at[0] + dx, at[1] + dy)
            price = cost + 1.0 + (BEND if turn != way else 0.0)
            if not (page.left <= new[0] <= page.right and page.top <= new[1] <= page.bottom):
                continue
            arms_here = steps.get(at)
            if arms_here and turn != way and any(n != net for n in arms_here.values()):
                continue  # no bend on top of another net's wire
            arms = steps.get(new)
            goal = new in goals
            if not goal:
                if new in blocked or pins.get(new, net) != net:
                    continue
                if arms:
                    if arms.get((dx, dy), net) != net or arms.get((-dx, -dy), net) != net:
                        continue  # never along another wire
                    others = [n for n in arms.values() if n != net]
                    if others:
                        if len(others) != 2:
                            continue  # not across its corner, end or join
                        price += CROSSING
                price += dear.get(new, 0.0)
                for side in ((dy, dx), (-dy, -dx)):
                    beside = steps.get((new[0] + side[0], new[1] + side[1]))
                    if beside and beside.get((dx, dy), net) != net:
                        price += BESIDE
            else:
                if arms and any(n != net for n in arms.values()):
                    continue
                exits = ways.get(new)
                if exits and not (arms or (0, 0) in exits):
                    if (-dx, -dy) not in exits:
                        price += BEND if (dx, dy) not in exits else 3 * BEND
                elif arms and len(arms) >= 3:
                    price += CROSSROADS
            state = (new, turn)
            if price < best.get(state, NEVER) - 1e-9:
                best[state] = price
                come[state] = (at, way)
                heapq.heappush(heap, (price + guess(*new), price, count, new, turn))
                count += 1
    return None
