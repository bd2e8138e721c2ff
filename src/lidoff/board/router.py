"""Tracks for an invented board: a maze router over two sides, good enough to make boards worth photographing.

The search is Dijkstra over a square grid with eight directions (C. Y. Lee, *An Algorithm for Path Connections and Its
Applications*, IRE Trans. EC-10, 1961, generalised to costs); failed nets go first in the next round.
"""

from __future__ import annotations

import heapq
import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import BACK, FRONT, SIDES
from lidoff.board.layout import Hole, Layout, Pad, Place, Track

__all__ = ["Routed", "TrackRules", "route"]

_STEPS = tuple((dx, dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1) if dx or dy)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrackRules:
    """Rules of an invented board [mm]; `sides` lists the sides with copper, `poured` the nets joined by pours."""

    width: float = 0.4
    gap: float = 0.3
    grid: float = 0.25
    via_land: float = 0.9
    via_hole: float = 0.4
    sides: tuple[str, ...] = SIDES
    poured: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Routed:
    """The layout with its tracks, and the nets for which no way was found."""

    layout: Layout
    missed: tuple[str, ...]


def route(layout: Layout, rules: TrackRules) -> Routed:
    """Join the pads of every net by tracks and vias.

    Parameters
    ----------
    layout : Layout
        Pads, holes and outline; pads of one net name belong together.
    rules : TrackRules
        Width, gap and grid.

    Returns
    -------
    Routed
        Deterministic for equal arguments. Nets that could not be joined are listed, never left out in silence.
    """
    nets = sorted({pad.net for pad in layout.pads if pad.net} - set(rules.poured))
    spans = {net: _span([pad for pad in layout.pads if pad.net == net]) for net in nets}
    order = sorted(nets, key=lambda net: (spans[net], net))
    best: Routed | None = None
    for _ in range(6):
        routed = _one_round(layout, rules, order)
        if best is None or len(routed.missed) < len(best.missed):
            best = routed
        if not routed.missed:
            break
        order = [*routed.missed, *(net for net in order if net not in routed.missed)]
    assert best is not None
    return best


def _span(pads: list[Pad]) -> float:
    xs, ys = [pad.at[0] for pad in pads], [pad.at[1] for pad in pads]
    return max(xs) - min(xs) + max(ys) - min(ys)


class _Grid:
    """Which net may use each cell: 0 free, -1 nobody, else the number of the one net that may."""

    def __init__(self, layout: Layout, rules: TrackRules, numbers: dict[str, int]) -> None:
        self.rules = rules
        self.left = min(x for x, _ in layout.outline)
        self.top = min(y for _, y in layout.outline)
        width, height = layout.size
        self.shape = (round(height / rules.grid) + 1, round(width / rules.grid) + 1)
        rows, columns = np.indices(self.shape)
        self.x = self.left + columns * rules.grid
        self.y = self.top + rows * rules.grid
        self.owner = {side: np.zeros(self.shape, dtype=np.int32) for side in SIDES}
        self.via_owner = np.zeros(self.shape, dtype=np.int32)
        edge = self._near_edge(layout, rules.width / 2 + 0.4)
        for side in SIDES:
            self.owner[side][edge] = -1
        self.via_owner[edge | self._near_edge(layout, rules.via_land / 2 + 0.4)] = -1
        for pad in layout.pads:
            self._claim_pad(pad, numbers.get(pad.net, -1))
        for hole in layout.holes:
            reach = hole.diameter / 2 + rules.gap
            number = numbers.get(hole.net, -1) if hole.plated else -1
            for side in SIDES:
                self._claim_disc(self.owner[side], hole.at, reach + rules.width / 2, number)
            self._claim_disc(self.via_owner, hole.at, reach + rules.via_land / 2, -1)

    def _near_edge(self, layout: Layout, distance: float) -> NDArray[np.bool_]:
        import cv2

        scale = 8.0 / self.rules.grid
        board = np.zeros((self.shape[0] * 8, self.shape[1] * 8), np.uint8)

        def pixels(polygon: tuple[Place, ...]) -> NDArray[np.int32]:
            return np.array([((x - self.left) * scale, (y - self.top) * scale) for x, y in polygon], np.int32)

        cv2.fillPoly(board, [pixels(layout.outline)], 1)
        for cutout in layout.cutouts:
            cv2.fillPoly(board, [pixels(cutout)], 0)
        inside = cv2.distanceTransform(np.pad(board, 1), cv2.DIST_L2, 5)[1:-1, 1:-1][::8, ::8]
        return np.asarray(inside[: self.shape[0], : self.shape[1]] < distance * scale)

    def _claim(self, owner: NDArray[np.int32], cells: NDArray[np.bool_], number: int) -> None:
        taken = cells & (owner != 0) & (owner != number)
        owner[cells & (owner == 0)] = number
        owner[taken] = -1

    def _claim_disc(self, owner: NDArray[np.int32], at: Place, radius: float, number: int) -> None:
        self._claim(owner, (self.x - at[0]) ** 2 + (self.y - at[1]) ** 2 < radius**2, number)

    def _claim_pad(self, pad: Pad, number: int) -> None:
        cos, sin = math.cos(math.radians(pad.turn)), math.sin(math.radians(pad.turn))
        dx, dy = self.x - pad.at[0], self.y - pad.at[1]
        along, across = np.abs(cos * dx + sin * dy), np.abs(cos * dy - sin * dx)
        for owner, half in (
            (self.owner[pad.side], self.rules.width / 2),
            (self.via_owner, self.rules.via_land / 2),
        ):
            reach = self.rules.gap + half
            outside_x = np.maximum(along - pad.size[0] / 2, 0.0)
            outside_y = np.maximum(across - pad.size[1] / 2, 0.0)
            self._claim(owner, np.hypot(outside_x, outside_y) < reach, number)
        # No via inside a land: solder would run off through it.
        self._claim(self.via_owner, (along < pad.size[0] / 2 + 0.1) & (across < pad.size[1] / 2 + 0.1), -1)

    def cell(self, at: Place) -> tuple[int, int]:
        """Row and column nearest to a place."""
        row = round((at[1] - self.top) / self.rules.grid)
        column = round((at[0] - self.left) / self.rules.grid)
        return min(max(row, 0), self.shape[0] - 1), min(max(column, 0), self.shape[1] - 1)

    def place(self, row: int, column: int) -> Place:
        """Place of a cell [mm]."""
        return (self.left + column * self.rules.grid, self.top + row * self.rules.grid)

    def claim_track(self, side: str, cells: list[tuple[int, int]], number: int) -> None:
        """Keep others one gap away from a new track."""
        reach_track = self.rules.width + self.rules.gap
        reach_via = self.rules.width / 2 + self.rules.gap + self.rules.via_land / 2
        for row, column in cells:
            self._claim_disc_local(self.owner[side], row, column, reach_track, number)
            self._claim_disc_local(self.via_owner, row, column, reach_via, number)

    def claim_via(self, row: int, column: int, number: int) -> None:
        """Keep others one gap away from a new via."""
        reach = self.rules.via_land / 2 + self.rules.gap
        for side in SIDES:
            self._claim_disc_local(self.owner[side], row, column, reach + self.rules.width / 2, number)
        self._claim_disc_local(self.via_owner, row, column, reach + self.rules.via_land / 2, number)

    def _claim_disc_local(
        self, owner: NDArray[np.int32], row: int, column: int, radius: float, number: int
    ) -> None:
        reach = math.ceil(radius / self.rules.grid)
        rows = slice(max(row - reach, 0), row + reach + 1)
        columns = slice(max(column - reach, 0), column + reach + 1)
        x, y = self.place(row, column)
        window = owner[rows, columns]
        near = (self.x[rows, columns] - x) ** 2 + (self.y[rows, columns] - y) ** 2 < radius**2 - 1e-9
        self._claim(window, near, number)


def _one_round(layout: Layout, rules: TrackRules, order: list[str]) -> Routed:
    numbers = {
        net: index + 1 for index, net in enumerate(sorted({pad.net for pad in layout.pads if pad.net}))
    }
    grid = _Grid(layout, rules, numbers)
    tracks: list[Track] = list(layout.tracks)
    holes: list[Hole] = []
    pads: list[Pad] = []
    missed: list[str] = []
    for net in order:
        groups = _terminals(layout, net, grid, rules)
        joined = groups[:1]
        waiting = groups[1:]
        tree = {cell for group in joined for cell in group}
        complete = True
        while waiting:
            goals = {cell: index for index, group in enumerate(waiting) for cell in group}
            path = _shortest(grid, rules, numbers[net], tree, goals)
            if path is None:
                complete = False
                break
            reached = waiting.pop(goals[path[-1]])
            tree |= set(path) | set(reached)
            _lay(path, net, numbers[net], grid, rules, tracks, holes, pads)
        if not complete:
            missed.append(net)
    done = replace(
        layout,
        tracks=tuple(tracks),
        holes=(*layout.holes, *holes),
        pads=(*layout.pads, *pads),
    )
    return Routed(layout=done, missed=tuple(missed))


_Cell = tuple[int, int, int]


def _terminals(layout: Layout, net: str, grid: _Grid, rules: TrackRules) -> list[list[_Cell]]:
    """Cells of each pad; a through pad is one terminal on both sides."""
    by_place: dict[Place, list[_Cell]] = {}
    for pad in layout.pads:
        if pad.net != net:
            continue
        cells = by_place.setdefault(pad.at, [])
        if pad.side in rules.sides:
            cells.append((SIDES.index(pad.side), *grid.cell(pad.at)))
    return [cells for _, cells in sorted(by_place.items()) if cells]


def _shortest(
    grid: _Grid, rules: TrackRules, number: int, sources: set[_Cell], goals: dict[_Cell, int]
) -> list[_Cell] | None:
    via_cost = 6.0 / rules.grid
    open_cells = [(grid.owner[side] == 0) | (grid.owner[side] == number) for side in SIDES]
    for layer, row, column in (*sources, *goals):
        open_cells[layer][row, column] = True
    vias = (grid.via_owner == 0) | (grid.via_owner == number)
    best: dict[_Cell, float] = dict.fromkeys(sources, 0.0)
    came: dict[_Cell, _Cell] = {}
    queue: list[tuple[float, _Cell]] = [(0.0, cell) for cell in sorted(sources)]
    rows, columns = grid.shape
    layers = [SIDES.index(side) for side in rules.sides]
    while queue:
        cost, cell = heapq.heappop(queue)
        if cost > best[cell]:
            continue
        if cell in goals:
            path = [cell]
            while path[-1] in came:
                path.append(came[path[-1]])
            return path[::-1]
        layer, row, column = cell
        options: list[tuple[float, _Cell]] = []
        for dx, dy in _STEPS:
            r, c = row + dy, column + dx
            if 0 <= r < rows and 0 <= c < columns and open_cells[layer][r, c]:
                options.append((1.4142 if dx and dy else 1.0, (layer, r, c)))
        if len(layers) == 2 and vias[row, column]:
            options.append((via_cost, (1 - layer, row, column)))
        for step, after in options:
            if cost + step < best.get(after, math.inf) - 1e-9:
                best[after] = cost + step
                came[after] = cell
                heapq.heappush(queue, (cost + step, after))
    return None


def _lay(
    path: list[_Cell],
    net: str,
    number: int,
    grid: _Grid,
    rules: TrackRules,
    tracks: list[Track],
    holes: list[Hole],
    pads: list[Pad],
) -> None:
    """Turn a path of cells into tracks and vias, and claim the room round them."""
    run: list[_Cell] = [path[0]]
    runs = []
    for cell in path[1:]:
        if cell[0] != run[-1][0]:
            runs.append(run)
            at = grid.place(cell[1], cell[2])
            holes.append(Hole(at=at, diameter=rules.via_hole, plated=True, net=net))
            pads.extend(
                Pad(side=side, net=net, at=at, size=(rules.via_land, rules.via_land), round=True)
                for side in (FRONT, BACK)
            )
            grid.claim_via(cell[1], cell[2], number)
            run = [cell]
        else:
            run.append(cell)
    runs.append(run)
    for cells in runs:
        side = SIDES[cells[0][0]]
        grid.claim_track(side, [(row, column) for _, row, column in cells], number)
        if len(cells) > 1:
            places = [grid.place(row, column) for _, row, column in cells]
            tracks.append(Track(side=side, net=net, points=_corners(places), width=rules.width))


def _corners(places: list[Place]) -> tuple[Place, ...]:
    kept = [places[0]]
    for before, here, after in zip(places, places[1:], places[2:], strict=False):
        turn = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (after[0] - here[0])
        if abs(turn) > 1e-9:
            kept.append(here)
    return (*kept, places[-1])
