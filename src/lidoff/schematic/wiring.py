"""Rails joined, wires run, dots set: from placed symbols to the lines between them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from lidoff.circuit.netlist import Circuit
from lidoff.schematic.buses import join_buses, mark_spot, unit_steps
from lidoff.schematic.drawing import Junction, RailMark, Symbol, Wire
from lidoff.schematic.route import Page, PinEnd, room_of, route_all
from lidoff.schematic.unit import Flag, flag_room

__all__ = ["wire_up"]

Point = tuple[int, int]
OVER_TEXT = 1.6
"""What a wire's step over the room for text costs."""


def wire_up(
    circuit: Circuit,
    symbols: Sequence[Symbol],
    flags: Sequence[Flag],
    ends: Sequence[PinEnd],
    *,
    buses: bool,
) -> tuple[list[RailMark], list[Wire], list[Junction]]:
    """Rail symbols, wires and dots of a sheet.

    Parameters
    ----------
    circuit : Circuit
        Parts of the sheet.
    symbols : sequence of Symbol
        In their places.
    flags : sequence of Flag
        Pins that end in a rail.
    ends : sequence of PinEnd
        Pins to be wired; a net for which no way is found ends in named labels.
    buses : bool
        Whether neighbouring drops are joined.

    Returns
    -------
    (list of RailMark, list of Wire, list of Junction)
        What stands between the symbols.
    """
    blocked = room_of(symbol.body for symbol in symbols)
    pins = {(s.x + lead.x, s.y + lead.y) for s in symbols for lead in s.shape.leads}
    texts: set[Point] = set()
    for s in symbols:
        a = s.shape.text
        texts |= room_of([(a[0] + s.x, a[1] + s.y, a[2] + s.x, a[3] + s.y)])
    texts -= pins
    joined, alone = join_buses(flags, (blocked | texts) - pins, pins) if buses else ([], list(flags))
    rails = {point for bus in joined for path in bus.paths() for point in path}
    rails |= {point for flag in alone for point in room_of([flag_room(flag)])}
    marks = [_mark(flag, circuit) for flag in alone]
    beyond: dict[str, list[list[Point]]] = {}
    for bus in joined:
        own = {point for path in bus.paths() for point in path}
        (x, y), way = mark_spot(bus, blocked | texts | pins | (rails - own))
        mark = RailMark(net=bus.net, role=bus.role, x=x, y=y, dx=0, dy=way, plain=bus.net == circuit.ground)
        marks.append(mark)
        tip = min(max(x, min(f.column for f in bus.flags)), max(f.column for f in bus.flags))
        if tip != x:
            beyond.setdefault(bus.net, []).append(unit_steps([(tip, y), (x, y)]))
        rails |= {(x + k, y + way * j) for k in (-1, 0, 1) for j in (1, 2)}
    xs = [x for x, _ in blocked | pins]
    ys = [y for _, y in blocked | pins]
    page = Page(
        left=min(xs) - 8,
        top=min(ys) - 8,
        right=max(xs) + 8,
        bottom=max(ys) + 8,
        blocked=(blocked - pins) | {(x, y) for m in marks if m.role != "label" for x, y in _mark_room(m)},
        dear=dict.fromkeys(texts, OVER_TEXT),
    )
    nets: dict[str, list[PinEnd]] = {}
    for end in ends:
        nets.setdefault(end.net, []).append(end)
    fixed: dict[str, list[list[Point]]] = {}
    for bus in joined:
        fixed.setdefault(bus.net, []).extend(bus.paths())
    for net, paths in beyond.items():
        fixed.setdefault(net, []).extend(paths)
    for flag in alone:
        page.pins[(flag.x, flag.y)] = flag.net
        if len(flag.stub) > 1:
            fixed.setdefault(flag.net, []).append(unit_steps(flag.stub))
    edges, failed = route_all(page, nets, fixed)
    held = pins | {(mark.x, mark.y) for mark in marks}
    wires, junctions = _stretches({net: _pruned(paths, held) for net, paths in edges.items()}, pins)
    marks.extend(
        RailMark(net=end.net, role="label", x=end.x, y=end.y, dx=end.dx or int(not end.dy), dy=end.dy)
        for end in ends
        if end.net in failed
    )
    return marks, wires, junctions


def _mark_room(mark: RailMark) -> set[Point]:
    return {(mark.x + k, mark.y + mark.dy * j) for k in (-1, 0, 1) for j in (1, 2)}


def _pruned(steps: Sequence[tuple[Point, Point]], held: set[Point]) -> list[tuple[Point, Point]]:
    """Steps without those that lead nowhere, as the rest of a drop does that a bus met on its way."""
    left = list({tuple(sorted(step)): step for step in steps if step[0] != step[1]}.values())
    while True:
        arms = Counter(point for step in left for point in step)
        kept = [step for step in left if all(arms[point] > 1 or point in held for point in step)]
        if len(kept) == len(left):
            return left
        left = kept


def _stretches(
    edges: Mapping[str, Sequence[tuple[Point, Point]]], pins: set[Point]
) -> tuple[list[Wire], list[Junction]]:
    """Straight wires and dots from unit steps."""
    wires: list[Wire] = []
    junctions: list[Junction] = []
    for net in sorted(edges):
        steps = {tuple(sorted(edge)) for edge in edges[net] if edge[0] != edge[1]}
        arms: dict[Point, int] = {}
        for a, b in steps:
            arms[a] = arms.get(a, 0) + 1
            arms[b] = arms.get(b, 0) + 1
        lying = sorted((a, b) for a, b in steps if a[1] == b[1])
        standing = sorted((a, b) for a, b in steps if a[0] == b[0])
        for runs in (
            sorted(lying, key=lambda e: (e[0][1], e[0][0])),
            sorted(standing, key=lambda e: (e[0][0], e[0][1])),
        ):
            current: list[Point] | None = None
            for a, b in runs:
                if current is not None and current[1] == a:
                    current[1] = b
                else:
                    if current is not None:
                        wires.append(Wire(net, *current[0], *current[1]))
                    current = [a, b]
            if current is not None:
                wires.append(Wire(net, *current[0], *current[1]))
        junctions.extend(
            Junction(net, *point) for point in sorted(arms) if arms[point] + (point in pins) >= 3
        )
    return wires, junctions


def _mark(flag: Flag, circuit: Circuit) -> RailMark:
    if flag.role == "label":
        return RailMark(net=flag.net, role="label", x=flag.x, y=flag.y, dx=flag.dx, dy=flag.dy)
    x, y = flag.stub[-1]
    way = -1 if flag.upward else 1
    return RailMark(net=flag.net, role=flag.role, x=x, y=y, dx=0, dy=way, plain=flag.net == circuit.ground)
