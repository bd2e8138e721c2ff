"""A piece of a drawing: some parts where they stand on the page, the wires between them, and the stubs that lead away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from lidoff.fonts import text_width
from lidoff.schematic import Drawing, Label, RailMark, Sheet, Symbol, Wire

__all__ = ["excerpt_of"]

AROUND = 3.0
"""Room kept round the parts [grid steps]."""
MOST_SPREAD = 46.0
"""Widest and tallest piece that is worth showing [grid steps]; wider ones are told in words."""
NEAR = 2.0
"""How far from its mark a name may stand [grid steps]."""
NAME_SIZE = 1.1
"""Height of a net's name [grid steps]."""
Box = tuple[float, float, float, float]


def excerpt_of(drawing: Drawing, parts: Iterable[str]) -> Drawing | None:
    """Piece of a drawing that shows some parts alone.

    Parameters
    ----------
    drawing : Drawing
    parts : iterable of str
        References.

    Returns
    -------
    Drawing or None
        One sheet, cut close round the parts; None where not all of them stand on one sheet, or too far apart.
    """
    wanted = frozenset(parts)
    for sheet in drawing.sheets:
        symbols = tuple(symbol for symbol in sheet.symbols if symbol.reference in wanted)
        if wanted and {symbol.reference for symbol in symbols} == wanted:
            return _cut(drawing, sheet, symbols)
    return None


def _cut(drawing: Drawing, sheet: Sheet, symbols: tuple[Symbol, ...]) -> Drawing | None:
    names = {symbol.reference for symbol in symbols}
    own = tuple(
        label
        for label in sheet.labels
        if label.owner.split(".")[0] in names and label.role in ("reference", "value", "pin")
    )
    box = _around([symbol.body for symbol in symbols], own)
    if box[2] - box[0] > MOST_SPREAD or box[3] - box[1] > MOST_SPREAD:
        return None
    wires = _reached(sheet, symbols, box)
    marks = tuple(mark for mark in sheet.marks if _on_any((mark.x, mark.y), mark.net, wires, symbols))
    wires = _trimmed(wires, symbols, marks)
    named = {mark.net for mark in marks if mark.role != "label" or mark.plain}
    near = tuple(
        label for label in sheet.labels if label.role == "net" and any(_beside(label, mark) for mark in marks)
    )
    named |= {label.owner for label in near}
    told = _names_at_ends(wires, symbols, marks, named)
    labels = (*own, *near, *told, *_names_at_leads(wires, symbols, marks))
    piece = replace(
        sheet,
        title="",
        symbols=symbols,
        wires=wires,
        junctions=tuple(one for one in sheet.junctions if _crossed((one.x, one.y), one.net, wires)),
        marks=marks,
        labels=labels,
        areas=(),
        box=_whole(symbols, wires, marks, labels),
    )
    return replace(drawing, sheets=(piece,), repeats=(), voltages={}, currents={})


def _reached(sheet: Sheet, symbols: Iterable[Symbol], box: Box) -> tuple[Wire, ...]:
    """Wires within the box that hang together with the parts, without those that only pass by."""
    left = [cut for wire in sheet.wires if (cut := _within(wire, box)) is not None]
    found: list[Wire] = []
    tips = {
        (lead.net, symbol.x + lead.x, symbol.y + lead.y) for symbol in symbols for lead in symbol.shape.leads
    }
    grown = True
    while grown:
        grown = False
        for wire in list(left):
            ends = {(wire.net, wire.x0, wire.y0), (wire.net, wire.x1, wire.y1)}
            met = any(_lies_on(x, y, wire) for net, x, y in tips if net == wire.net)
            if met or any(_lies_on(x, y, one) for one in found if one.net == wire.net for _, x, y in ends):
                left.remove(wire)
                found.append(wire)
                tips |= ends
                grown = True
    return tuple(found)


def _trimmed(
    wires: tuple[Wire, ...], symbols: tuple[Symbol, ...], marks: tuple[RailMark, ...]
) -> tuple[Wire, ...]:
    """Wires without the ends that lead nowhere here; a net without a mark keeps one, to bear its name."""
    held = {
        (lead.net, symbol.x + lead.x, symbol.y + lead.y) for symbol in symbols for lead in symbol.shape.leads
    }
    held |= {(mark.net, mark.x, mark.y) for mark in marks}
    marked = {mark.net for mark in marks}
    done: list[Wire] = []
    for net in dict.fromkeys(wire.net for wire in wires):
        own = [wire for wire in wires if wire.net == net]
        points = {(x, y) for name, x, y in held if name == net}
        while True:
            loose = [
                (wire, end)
                for wire in own
                for end in ((wire.x0, wire.y0), (wire.x1, wire.y1))
                if end not in points and sum(_lies_on(*end, one) for one in own) == 1
            ]
            if not loose or (net not in marked and len(loose) == 1):
                break
            wire, end = min(loose, key=lambda one: (one[0].length, one[1]))
            own.remove(wire)
            short = _cut_back(wire, end, points, own)
            if short is not None:
                own.append(short)
        done += own
    return tuple(done)


def _cut_back(
    wire: Wire, end: tuple[int, int], points: set[tuple[int, int]], others: Iterable[Wire]
) -> Wire | None:
    """Wire from its other end to where the first thing hangs on it; nothing where that is its other end."""
    start = (wire.x1, wire.y1) if end == (wire.x0, wire.y0) else (wire.x0, wire.y0)
    hanging = points | {place for one in others for place in ((one.x0, one.y0), (one.x1, one.y1))}
    on_it = [place for place in hanging if _lies_on(*place, wire)]
    last = min(on_it, key=lambda place: abs(place[0] - end[0]) + abs(place[1] - end[1]), default=start)
    return None if last == start else Wire(wire.net, *start, *last)


def _lies_on(x: int, y: int, wire: Wire) -> bool:
    return min(wire.x0, wire.x1) <= x <= max(wire.x0, wire.x1) and min(wire.y0, wire.y1) <= y <= max(
        wire.y0, wire.y1
    )


def _on_any(at: tuple[int, int], net: str, wires: Iterable[Wire], symbols: Iterable[Symbol]) -> bool:
    """Whether a mark sits on a wire that is shown, or right on a part's lead."""
    if any(wire.net == net and _lies_on(*at, wire) for wire in wires):
        return True
    return any(
        lead.net == net and (symbol.x + lead.x, symbol.y + lead.y) == at
        for symbol in symbols
        for lead in symbol.shape.leads
    )


def _crossed(at: tuple[int, int], net: str, wires: Iterable[Wire]) -> bool:
    """Whether a dot still has three ways to go."""
    ways = 0
    for wire in wires:
        if wire.net == net and _lies_on(*at, wire):
            ways += 1 if at in ((wire.x0, wire.y0), (wire.x1, wire.y1)) else 2
    return ways > 2


def _names_at_ends(
    wires: tuple[Wire, ...],
    symbols: tuple[Symbol, ...],
    marks: tuple[RailMark, ...],
    named: set[str],
) -> tuple[Label, ...]:
    """Name of each net that leaves the piece, at one of its cut ends."""
    taken = {(mark.x, mark.y) for mark in marks}
    taken |= {(symbol.x + lead.x, symbol.y + lead.y) for symbol in symbols for lead in symbol.shape.leads}
    labels: dict[str, Label] = {}
    for wire in wires:
        if wire.net in named or wire.net in labels:
            continue
        for (x, y), (x_back, y_back) in (
            ((wire.x0, wire.y0), (wire.x1, wire.y1)),
            ((wire.x1, wire.y1), (wire.x0, wire.y0)),
        ):
            alone = sum(_lies_on(x, y, one) for one in wires if one.net == wire.net) == 1
            if alone and (x, y) not in taken:
                labels[wire.net] = _end_label(wire.net, x, y, x - x_back, y - y_back)
                break
    return tuple(labels.values())


def _names_at_leads(
    wires: tuple[Wire, ...], symbols: tuple[Symbol, ...], marks: tuple[RailMark, ...]
) -> tuple[Label, ...]:
    """Name of the net at each lead that nothing here hangs on."""
    leads = [
        (lead.net, symbol.x + lead.x, symbol.y + lead.y, lead.dx, lead.dy)
        for symbol in symbols
        for lead in symbol.shape.leads
    ]
    met = Counter((net, x, y) for net, x, y, _, _ in leads)
    marked = {(mark.net, mark.x, mark.y) for mark in marks}
    return tuple(
        _end_label(net, x, y, dx, dy)
        for net, x, y, dx, dy in leads
        if met[net, x, y] == 1
        and (net, x, y) not in marked
        and not any(wire.net == net and _lies_on(x, y, wire) for wire in wires)
    )


def _end_label(net: str, x: int, y: int, dx: int, dy: int) -> Label:
    """Name beyond the open end of a wire that runs that way."""
    width = text_width(net, NAME_SIZE)
    if dx:
        left = x + 0.5 if dx > 0 else x - 0.5 - width
        middle = float(y)
        start, anchor = (x + 0.5, "start") if dx > 0 else (x - 0.5, "end")
    else:
        left, middle = x - width / 2, y + (1.0 if dy > 0 else -1.0)
        start, anchor = float(x), "middle"
    box = (left, middle - NAME_SIZE / 2, left + width, middle + NAME_SIZE / 2)
    return Label(text=net, role="net", owner=net, x=start, y=middle, anchor=anchor, size=NAME_SIZE, box=box)


def _whole(
    symbols: Iterable[Symbol], wires: Iterable[Wire], marks: Iterable[RailMark], labels: Iterable[Label]
) -> Box:
    """Box round all that is shown."""
    boxes: list[Box] = [symbol.body for symbol in symbols]
    boxes += [
        (min(wire.x0, wire.x1), min(wire.y0, wire.y1), max(wire.x0, wire.x1), max(wire.y0, wire.y1))
        for wire in wires
    ]
    boxes += [(mark.x - 1.0, mark.y - 1.5, mark.x + 1.0, mark.y + 1.5) for mark in marks]
    boxes += [label.box for label in labels]
    return (
        min(box[0] for box in boxes), min(box[1] for box in boxes), max(box[2] for box in boxes), max(box[3] for box in boxes),
    )  # fmt: skip


def _around(bodies: Iterable[Box], labels: Iterable[Label]) -> Box:
    """Box round the bodies and their labels, with some room for the wires that lead away, in whole steps."""
    boxes = (*bodies, *(label.box for label in labels))
    left, top = min(box[0] for box in boxes), min(box[1] for box in boxes)
    right, bottom = max(box[2] for box in boxes), max(box[3] for box in boxes)
    return (int(left - AROUND), int(top - AROUND), int(right + AROUND), int(bottom + AROUND))


def _beside(label: Label, mark: RailMark) -> bool:
    """Whether a name stands at that mark."""
    left, top, right, bottom = label.box
    near = left - NEAR <= mark.x <= right + NEAR and top - NEAR <= mark.y <= bottom + NEAR
    return label.owner == mark.net and near


def _within(wire: Wire, box: Box) -> Wire | None:
    """Stretch of a straight wire inside the box; None where it is outside."""
    x0, x1 = (min(max(x, box[0]), box[2]) for x in (wire.x0, wire.x1))
    y0, y1 = (min(max(y, box[1]), box[3]) for y in (wire.y0, wire.y1))
    outside = (wire.x0 == wire.x1 and wire.x0 != x0) or (wire.y0 == wire.y1 and wire.y0 != y0)
    if outside or (x0 == x1 and y0 == y1):
        return None
    return Wire(wire.net, int(x0), int(y0), int(x1), int(y1))
