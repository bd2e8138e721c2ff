"""Drops to one rail that stand side by side are joined by a drawn bus; each other drop keeps a symbol of its own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lidoff.schematic.units import Flag

__all__ = ["Bus", "join_buses"]

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
        xs = [flag.x for flag in self.flags]
        paths = [[(x, self.level) for x in range(min(xs), max(xs) + 1)]]
        for flag in self.flags:
            step = 1 if self.level > flag.y else -1
            paths.append([(flag.x, y) for y in range(flag.y, self.level + step, step)])
        return paths


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
    """  # fmt: skip
    buses: list[Bus] = []
    alone = [flag for flag in flags if flag.dx or flag.role == "label"]
    spots = set(pins)
    busy: set[Point] = set()
    rest = [flag for flag in flags if not (flag.dx or flag.role == "label")]
    for net, role, way in sorted({(f.net, f.role, f.dy) for f in rest}):
        row = sorted((f for f in rest if (f.net, f.role, f.dy) == (net, role, way)), key=lambda f: (f.x, f.y))
        others = {(f.x, f.y) for f in flags} | spots
        while row:
            members = [row.pop(0)]
            level = _level(members, way)
            for flag in list(row):
                last = members[-1]
                if flag.x == last.x or flag.x - last.x > REACH:
                    continue
                new = [*members, flag]
                new_level = _level(new, way)
                if max(abs(f.y - new_level) for f in new) > STRETCH:
                    continue
                bus = Bus(net, role, new_level, tuple(new))
                cells = {p for path in bus.paths() for p in path}
                own = {(f.x, f.y) for f in new}
                if (cells - own) & (taken | others | busy):
                    continue
                members, level = new, new_level
                row.remove(flag)
            if len(members) > 1:
                bus = Bus(net, role, level, tuple(members))
                buses.append(bus)
                busy |= {p for path in bus.paths() for p in path}
            else:
                alone.extend(members)
    return buses, alone


def _level(flags: Sequence[Flag], way: int) -> int:
    ys = [flag.y for flag in flags]
    return (min(ys) if way < 0 else max(ys)) + way
