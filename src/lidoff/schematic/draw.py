"""From a circuit to a drawing: levels, units, placement, buses, wires, text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit
from lidoff.schematic.buses import join_buses, mark_spot, unit_steps
from lidoff.schematic.drawing import Area, Drawing, Junction, RailMark, Sheet, Symbol, Wire
from lidoff.schematic.ground_plan import GroundPlan
from lidoff.schematic.labels import place_labels
from lidoff.schematic.levels import Levels, find_levels
from lidoff.schematic.options import DrawingOptions, Group, SolvedCircuit
from lidoff.schematic.place import place_units
from lidoff.schematic.route import Page, PinEnd, room_of, route_all
from lidoff.schematic.shapes import outline_of
from lidoff.schematic.text import lines_beside
from lidoff.schematic.units import Flag, Unit, build_units, flag_room

__all__ = ["draw"]

Point = tuple[int, int]
OVER_TEXT = 1.6
"""What a wire's step over the room for text costs."""


def draw(
    circuit: Circuit,
    solution: SolvedCircuit | None = None,
    *,
    groups: Sequence[Group] = (),
    options: DrawingOptions = DrawingOptions(),  # noqa: B008
) -> Drawing:
    """Schematic of a circuit.

    Parameters
    ----------
    circuit : Circuit
        Whose parts are all of known kinds.
    solution : SolvedCircuit, optional
        Voltages and currents of one situation, to be written in; the layout does not depend on it, so that the drawings of all
        situations match.
    groups : sequence of Group
        Parts that belong together, with captions.
    options : DrawingOptions
        What a person chose.

    Returns
    -------
    Drawing
        The same circuit always gives the same drawing, whatever the order of its parts.

    Raises
    ------
    UnknownName
        A part is of an unknown kind.
    """
    ordered = Circuit(
        parts=tuple(sorted(circuit.parts, key=lambda part: _natural(part.reference))),
        ground=circuit.ground,
        title=circuit.title,
        rails=circuit.rails,
    )
    for part in ordered.parts:
        kind_of(part)
    levels = find_levels(ordered)
    voltages, currents = _solved(ordered, solution)
    sheet = _sheet(ordered, levels, groups, options, voltages, currents)
    return Drawing(
        circuit=circuit,
        shown=ordered,
        sheets=(sheet,),
        potential=levels.potential,
        voltages=voltages,
        currents=currents,
        options=options,
    )


def _natural(reference: str) -> tuple[str, int, str]:
    """Sort key that puts R2 before R10."""
    letters = reference.rstrip("0123456789")
    digits = reference[len(letters) :]
    return (letters, int(digits) if digits else -1, reference)


def _solved(circuit: Circuit, solution: SolvedCircuit | None) -> tuple[dict[str, float], dict[str, float]]:
    if solution is None:
        return {}, {}
    voltages = {net: float(solution.voltage(net)) for net in circuit.nets}
    currents = {
        part.reference: float(solution.current(part.reference)) for part in circuit.parts if kind_of(part).path
    }  # fmt: skip
    return voltages, currents


def _sheet(
    circuit: Circuit,
    levels: Levels,
    groups: Sequence[Group],
    options: DrawingOptions,
    voltages: Mapping[str, float],
    currents: Mapping[str, float],
) -> Sheet:
    flagged = {net: role for net, role in levels.role.items() if role != "signal"}
    text = {part.reference: lines_beside(part) for part in circuit.parts}
    units = build_units(
        circuit, levels, flagged, text, pinned=options.pinned, zigzag=options.zigzag_resistors
    )
    plan = place_units(circuit, levels, units, groups, effort=options.effort)
    symbols = _symbols(circuit, plan, units, options)
    flags = [
        f.moved(spot.x, spot.y)
        for number, spot in sorted(plan.spots.items())
        for f in units[number].variants[spot.variant].flags
    ]
    ends = [
        PinEnd(lead.net, lead.x + spot.x, lead.y + spot.y, lead.dx, lead.dy)
        for number, spot in sorted(plan.spots.items())
        for lead in units[number].variants[spot.variant].wires
    ]
    marks, wires, junctions, failed = _wire(circuit, symbols, flags, ends, options)
    marks.extend(
        RailMark(net=end.net, role="label", x=end.x, y=end.y, dx=end.dx or int(not end.dy), dy=end.dy)
        for end in ends
        if end.net in failed
    )
    labels = place_labels(circuit, symbols, wires, marks, text, voltages, currents, options)
    areas = _areas(groups, symbols, labels)
    return Sheet(
        title=options.title or circuit.title,
        symbols=tuple(symbols),
        wires=tuple(wires),
        junctions=tuple(junctions),
        marks=tuple(marks),
        labels=tuple(labels),
        areas=tuple(areas),
        box=_box(symbols, wires, marks, labels, areas),
    )


def _symbols(
    circuit: Circuit, plan: GroundPlan, units: Sequence[Unit], options: DrawingOptions
) -> list[Symbol]:
    symbols = []
    for number, spot in sorted(plan.spots.items()):
        for shape, ox, oy in units[number].variants[spot.variant].shapes:
            outline = outline_of(circuit.part(shape.reference), zigzag=options.zigzag_resistors)
            symbols.append(Symbol(shape=shape, outline=outline, x=spot.x + ox, y=spot.y + oy))
    return symbols


def _wire(
    circuit: Circuit,
    symbols: Sequence[Symbol],
    flags: Sequence[Flag],
    ends: Sequence[PinEnd],
    options: DrawingOptions,
) -> tuple[list[RailMark], list[Wire], list[Junction], list[str]]:
    """Rail symbols, wires and dots, and the nets for which no way was found."""
    blocked = room_of(symbol.body for symbol in symbols)
    pins = {(s.x + lead.x, s.y + lead.y) for s in symbols for lead in s.shape.leads}
    texts: set[Point] = set()
    for s in symbols:
        a = s.shape.text
        texts |= room_of([(a[0] + s.x, a[1] + s.y, a[2] + s.x, a[3] + s.y)])
    texts -= pins
    buses, alone = join_buses(flags, (blocked | texts) - pins, pins) if options.buses else ([], list(flags))
    rails = {point for bus in buses for path in bus.paths() for point in path}
    rails |= {point for flag in alone for point in room_of([flag_room(flag)])}
    marks = [_mark(flag, circuit) for flag in alone]
    for bus in buses:
        own = {point for path in bus.paths() for point in path}
        (x, y), way = mark_spot(bus, blocked | texts | pins | (rails - own))
        mark = RailMark(net=bus.net, role=bus.role, x=x, y=y, dx=0, dy=way, plain=bus.net == circuit.ground)
        marks.append(mark)
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
    for bus in buses:
        fixed.setdefault(bus.net, []).extend(bus.paths())
    for flag in alone:
        page.pins[(flag.x, flag.y)] = flag.net
        if len(flag.stub) > 1:
            fixed.setdefault(flag.net, []).append(unit_steps(flag.stub))
    edges, failed = route_all(page, nets, fixed)
    wires, junctions = _stretches(edges, pins)
    return marks, wires, junctions, failed


def _mark_room(mark: RailMark) -> set[Point]:
    return {(mark.x + k, mark.y + mark.dy * j) for k in (-1, 0, 1) for j in (1, 2)}


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
        for runs, key in (
            (sorted(lying, key=lambda e: (e[0][1], e[0][0])), 0),
            (sorted(standing, key=lambda e: (e[0][0], e[0][1])), 1),
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
            del key
        for point in sorted(arms):
            if arms[point] + (1 if point in pins else 0) >= 3:
                junctions.append(Junction(net, *point))
    return wires, junctions


def _mark(flag: Flag, circuit: Circuit) -> RailMark:
    x, y = flag.stub[-1]
    way = -1 if flag.upward else 1
    return RailMark(net=flag.net, role=flag.role, x=x, y=y, dx=0, dy=way, plain=flag.net == circuit.ground)


def _areas(groups: Sequence[Group], symbols: Sequence[Symbol], labels: Sequence[object]) -> list[Area]:
    areas = []
    for group in groups:
        boxes = [s for s in symbols if s.reference in group.parts]
        if not boxes:
            continue
        rooms = [
            (s.x + s.shape.room[0], s.y + s.shape.room[1], s.x + s.shape.room[2], s.y + s.shape.room[3])
            for s in boxes
        ]
        areas.append(
            Area(
                caption=group.caption,
                tint=group.tint,
                parts=group.parts,
                box=(
                    min(r[0] for r in rooms) - 1.0,
                    min(r[1] for r in rooms) - 2.5,
                    max(r[2] for r in rooms) + 1.0,
                    max(r[3] for r in rooms) + 1.5,
                ),
            )
        )
    del labels
    return areas


def _box(*kinds: Sequence[object]) -> tuple[float, float, float, float]:
    boxes: list[tuple[float, float, float, float]] = []
    for items in kinds:
        for item in items:
            if isinstance(item, Symbol):
                boxes.append(tuple(map(float, item.body)))  # type: ignore[arg-type]
                boxes.extend((item.x + l.x, item.y + l.y) * 2 for l in item.shape.leads)  # type: ignore[misc]  # noqa: E741
            elif isinstance(item, Wire):
                boxes.append(
                    (
                        min(item.x0, item.x1),
                        min(item.y0, item.y1),
                        max(item.x0, item.x1),
                        max(item.y0, item.y1),
                    )
                )
            elif isinstance(item, RailMark):
                boxes.append((item.x - 1.0, item.y - 2.0, item.x + 1.0, item.y + 2.0))
            else:
                boxes.append(item.box)  # type: ignore[attr-defined]
    if not boxes:
        return (0.0, 0.0, 10.0, 6.0)
    return (
        min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes),
    )  # fmt: skip
