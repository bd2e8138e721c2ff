"""Drops to one rail that stand side by side are joined by a drawn bus; each other drop keeps a symbol of its own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lidoff.schematic.route import room_of
from lidoff.schematic.unit import Flag, flag_room

__all__ = ["Bus", "join_buses", "mark_spot", "unit_steps"]

REACH = 16
"""Widest gap between neighbours on a bus, in grid steps."""
STRETCH = 16
"""Longest way from a pin up or down to the bus."""

Point = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Bus:
    """Drops joined at one height."""

    net: str
    role: str
    level: int
    flags: tuple[Flag, ...]

    def paths(self) -> list[list[Point]]:
        """Unit-step paths of its wires."""
        xs = [flag.column for flag in self.flags]
        paths = [[(x, self.level) for x in range(min(xs), max(xs) + 1)]]
        for flag in self.flags:
            corners = [*flag.stub, (flag.column, self.level)]
            paths.append(unit_steps(corners))
        return paths


def unit_steps(corners: Sequence[Point]) -> list[Point]:
    """Every grid point along a right-angled path."""
    path = [corners[0]]
    for x, y in corners[1:]:
        while path[-1] != (x, y):
            px, py = path[-1]
            path.append((px + (x > px) - (x < px), py + (y > py) - (y < py)))
    return path


def join_buses(
    flags: Sequence[Flag], taken: set[Point], pins: Iterable[Point]
) -> tuple[list[Bus], list[Flag]]:
    """Gather drops into buses.

    Parameters
    ----------
    flags : sequence of Flag
        Drops on the page.
    taken : set of points
        Symbols and their text.
    pins : iterable of points
        Ends of all pins that are wired.

    Returns
    -------
    buses : list of Bus
        With two drops or more.
    alone : list of Flag
        Drops that keep their own symbol.
    """
    buses: list[Bus] = []
    alone = [flag for flag in flags if flag.role == "label"]
    rest = [flag for flag in flags if flag.role != "label"]
    ends = {(flag.x, flag.y) for flag in flags} | set(pins)
    rooms = {flag: room_of([flag_room(flag)]) for flag in flags}
    busy: set[Point] = set()
    for net, role in sorted({(f.net, f.role) for f in rest}):
        row = sorted((f for f in rest if (f.net, f.role) == (net, role)), key=lambda f: (f.column, f.y))
        while row:
            members = [row.pop(0)]
            for flag in list(row):
                if flag.column - members[-1].column > REACH:
                    continue
                bus = _bus([*members, flag])
                if max(abs(f.stub[-1][1] - bus.level) for f in bus.flags) > STRETCH:
                    continue
                cells = {p for path in bus.paths() for p in path} - {(f.x, f.y) for f in bus.flags}
                others = {p for f in flags if f.net != net for p in rooms[f]}
                if not cells & (taken | ends | busy | others):
                    members.append(flag)
                    row.remove(flag)
            if len(members) > 1:
                buses.append(_bus(members))
                busy |= {p for path in buses[-1].paths() for p in path}
            else:
                alone.extend(members)
    return buses, alone


def _bus(flags: Sequence[Flag]) -> Bus:
    levels = [flag.level for flag in flags]
    level = min(levels) if flags[0].upward else max(levels)
    return Bus(flags[0].net, flags[0].role, level, tuple(flags))


def mark_spot(bus: Bus, taken: set[Point]) -> tuple[Point, int]:
    """Where the symbol of a bus stands and its way: at the first drop with room, between drops, or a little beyond."""
    way = -1 if bus.role == "supply" else 1
    xs = sorted({flag.column for flag in bus.flags})
    beyond = [x for k in (2, 3, 4) for x in (xs[0] - k, xs[-1] + k)]
    for x in (xs[0], xs[-1], *xs[1:-1], *range(xs[0] + 2, xs[-1]), *beyond):
        room = {(x + k, bus.level + way * j) for k in (-1, 0, 1) for j in (1, 2)}
        room |= {(k, bus.level) for k in (*range(x - 1, xs[0]), *range(xs[-1] + 1, x + 2))}
        if not room & taken:
            return (x, bus.level), way
    return (xs[0], bus.level), way
