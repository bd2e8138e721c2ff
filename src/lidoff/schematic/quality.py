"""How good a drawing is, in figures.

Overlaps and wires through symbols are faults and should be none. Crossings, bends and length are what a reader's eye
has to follow; Purchase ("Which aesthetic has the greatest effect on human understanding?", Graph Drawing 1997) found
crossings to matter most, then
bends. The shares say whether the drawing keeps the habits of the trade: current falls down the page, signals run left
to right.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lidoff.circuit.kind import kind_of
from lidoff.circuit.outlines import Polyline
from lidoff.schematic.drawing import Drawing, RailMark, Sheet, Symbol, Wire
from lidoff.schematic.flow import signal_edges
from lidoff.schematic.ground_plan import BEND
from lidoff.schematic.labels import mark_box
from lidoff.schematic.levels import find_levels
from lidoff.schematic.mirror import mirror_images
from lidoff.schematic.shapes import turned_strokes

__all__ = ["Quality", "drawing_quality", "text_faults", "wires_cost"]

CROSSED = 12.0
"""What a crossing costs on the finished page, in steps of wire."""
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quality:
    """Figures of merit of a drawing, summed over its sheets.

    Attributes
    ----------
    symbol_overlaps : int
        Pairs of symbols, rail symbols included, that cover each other.
    wires_through_symbols : int
        Wires that pass through a symbol.
    wires_along_wires : int
        Pairs of wires of different nets that share a stretch, or of which one ends or bends on the other.
    label_overlaps : int
        Pairs of texts that cover each other, and texts that a symbol covers.
    wires_through_labels : int
        Texts that a wire runs through.
    crossings : int
        Points where wires of different nets cross.
    crossroads : int
        Points where four wires of one net meet.
    bends : int
        Corners of wires.
    length : float
        Length of all wires over the sum of the nets' half perimeters; 1 is the least for nets of two or three pins.
    area : float
        Area of the sheets in grid steps squared for each symbol.
    downward : float
        Share of the current-carrying standing or lying branches (sources apart) that point down; of those that stand.
    rightward : float
        Share of the signal edges that run from left to right; those between the halves of a mirror image do not count.
    aspect : float
        Width over height of the first sheet.
    unreached : int
        Pins that no wire and no rail symbol reaches though their net has more.
    """

    symbol_overlaps: int
    wires_through_symbols: int
    wires_along_wires: int
    label_overlaps: int
    wires_through_labels: int
    crossings: int
    crossroads: int
    bends: int
    length: float
    area: float
    downward: float
    rightward: float
    aspect: float
    unreached: int


def drawing_quality(drawing: Drawing) -> Quality:
    """Figures of merit of a drawing.

    Parameters
    ----------
    drawing : Drawing
        From `draw`.

    Returns
    -------
    Quality
        Faults, costs and habits kept.
    """
    sheets = drawing.sheets
    length = sum(w.length for s in sheets for w in s.wires)
    least = sum(_half_perimeters(s) for s in sheets)
    areas = sum((s.box[2] - s.box[0]) * (s.box[3] - s.box[1]) for s in sheets)
    symbols = sum(len(s.symbols) for s in sheets)
    first = sheets[0].box
    crossed = [_crossings(s.wires) for s in sheets]
    return Quality(
        symbol_overlaps=sum(_symbol_overlaps(s) for s in sheets),
        wires_through_symbols=sum(_through(s) for s in sheets),
        wires_along_wires=sum(along for _, along in crossed),
        label_overlaps=sum(_label_overlaps(s) for s in sheets),
        wires_through_labels=sum(_struck_labels(s) for s in sheets),
        crossings=sum(crossings for crossings, _ in crossed),
        crossroads=sum(len(ways) == 4 for s in sheets for ways in _arms(s.wires).values()),
        bends=sum(_bends(_arms(s.wires), s.symbols) for s in sheets),
        length=length / least if least else 1.0,
        area=areas / max(symbols, 1),
        downward=_downward(drawing),
        rightward=_rightward(drawing),
        aspect=(first[2] - first[0]) / max(first[3] - first[1], 1.0),
        unreached=sum(_unreached(s) for s in sheets),
    )


def wires_cost(symbols: Sequence[Symbol], wires: Sequence[Wire], marks: Sequence[RailMark]) -> float:
    """What a reader's eye has to follow, in steps of wire: length, bends, crossings, rail symbols, labelled ends.

    Parameters
    ----------
    symbols, wires, marks : sequences
        What is on the page.

    Returns
    -------
    float
        By the placement's prices, but a crossing counts more: here it is certain.
    """
    crossings, along = _crossings(wires)
    arms = _arms(wires)
    bends = _bends(arms, symbols)
    crossroads = sum(len(ways) == 4 for ways in arms.values())
    named = sum(4.0 if mark.role != "label" else 12.0 for mark in marks)
    length = sum(wire.length for wire in wires)
    return length + BEND * bends + CROSSED * (crossings + crossroads) + 50.0 * along + named


def text_faults(sheet: Sheet) -> int:
    """Count texts that cover each other or a symbol, or that a wire runs through.

    Parameters
    ----------
    sheet : Sheet
        With its labels.

    Returns
    -------
    int
        Nought on a readable sheet.
    """
    return _label_overlaps(sheet) + _struck_labels(sheet)


def _shared(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > 0.01 and min(a[3], b[3]) - max(a[1], b[1]) > 0.01


def _hull(symbol: Symbol) -> tuple[tuple[float, float], ...]:
    """Corners of what a symbol covers: its closed shape if that fills its extent, else its box."""
    box = symbol.strokes
    for stroke in turned_strokes(symbol.outline, symbol.shape.turn):
        if isinstance(stroke, Polyline) and stroke.closed:
            points = tuple((symbol.x + x, symbol.y + y) for x, y in stroke.points)
            xs, ys = [x for x, _ in points], [y for _, y in points]
            if max(abs(a - b) for a, b in zip((min(xs), min(ys), max(xs), max(ys)), box, strict=True)) < 0.05:
                return points
    return _corners(box)


def _corners(box: Box) -> tuple[tuple[float, float], ...]:
    return ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))


def _hulls_meet(a: Sequence[tuple[float, float]], b: Sequence[tuple[float, float]]) -> bool:
    """Whether two convex shapes overlap: no edge of either separates them."""
    for shape in (a, b):
        for (ax, ay), (bx, by) in zip(shape, [*shape[1:], shape[0]], strict=True):
            nx, ny = by - ay, ax - bx
            spans = [[nx * x + ny * y for x, y in points] for points in (a, b)]
            if min(max(spans[0]), max(spans[1])) - max(min(spans[0]), min(spans[1])) < 0.01:
                return False
    return True


def _symbol_overlaps(sheet: Sheet) -> int:
    hulls = [_hull(s) for s in sheet.symbols] + [_corners(mark_box(m)) for m in sheet.marks]
    return sum(_hulls_meet(a, b) for k, a in enumerate(hulls) for b in hulls[:k])


def _through(sheet: Sheet) -> int:
    count = 0
    for symbol in sheet.symbols:
        hull = _hull(symbol)
        x0, y0 = sum(x for x, _ in hull) / len(hull), sum(y for _, y in hull) / len(hull)
        inner = [(x0 + 0.9 * (x - x0), y0 + 0.9 * (y - y0)) for x, y in hull]
        count += sum(_hulls_meet(inner, _corners(_band(wire))) for wire in sheet.wires)
    return count


def _band(wire: Wire, half: float = 0.02) -> Box:
    return (
        min(wire.x0, wire.x1) - half, min(wire.y0, wire.y1) - half,
        max(wire.x0, wire.x1) + half, max(wire.y0, wire.y1) + half,
    )  # fmt: skip


def _crossings(wires: Sequence[Wire]) -> tuple[int, int]:
    """Proper crossings of different nets, and wires that touch in any other way."""
    crossings = along = 0
    for k, a in enumerate(wires):
        for b in wires[:k]:
            if a.net == b.net:
                continue
            x0, x1 = max(min(a.x0, a.x1), min(b.x0, b.x1)), min(max(a.x0, a.x1), max(b.x0, b.x1))
            y0, y1 = max(min(a.y0, a.y1), min(b.y0, b.y1)), min(max(a.y0, a.y1), max(b.y0, b.y1))
            if x0 > x1 or y0 > y1:
                continue
            inside = all(
                min(w.x0, w.x1) < x0 < max(w.x0, w.x1)
                if w.y0 == w.y1
                else min(w.y0, w.y1) < y0 < max(w.y0, w.y1)
                for w in (a, b)
            )
            if inside and (a.y0 == a.y1) != (b.y0 == b.y1):
                crossings += 1
            else:
                along += 1
    return crossings, along  # fmt: skip


def _label_overlaps(sheet: Sheet) -> int:
    boxes = [_tight(label.box) for label in sheet.labels]
    count = sum(_shared(a, b) for k, a in enumerate(boxes) for b in boxes[:k])
    solid = [(s.reference, s.outline.name, s.strokes) for s in sheet.symbols]
    for label, box in zip(sheet.labels, boxes, strict=True):
        count += sum(
            _shared(box, body)
            for reference, name, body in solid
            if not (name == "box" and label.owner.split(".")[0] == reference)
        )
        count += sum(_shared(box, mark_box(m)) for m in sheet.marks)
    return count


def _tight(box: Box) -> Box:
    """Letters do not fill the height of their line."""
    high = box[3] - box[1]
    return (box[0], box[1] + 0.12 * high, box[2], box[3] - 0.12 * high)


def _struck_labels(sheet: Sheet) -> int:
    return sum(any(_shared(_tight(label.box), _band(wire)) for wire in sheet.wires) for label in sheet.labels)


def _arms(wires: Sequence[Wire]) -> dict[tuple[str, int, int], set[tuple[int, int]]]:
    """Directions in which wires leave the ends of wires of the same net."""
    ends: dict[tuple[str, int, int], set[tuple[int, int]]] = {}
    for net in {w.net for w in wires}:
        own = [w for w in wires if w.net == net]
        for x, y in {p for w in own for p in ((w.x0, w.y0), (w.x1, w.y1))}:
            for w in own:
                for (ax, ay), (bx, by) in (((w.x0, w.y0), (w.x1, w.y1)), ((w.x1, w.y1), (w.x0, w.y0))):
                    within = min(ax, bx) <= x <= max(ax, bx) and min(ay, by) <= y <= max(ay, by)
                    if within and (x, y) != (bx, by):
                        way = ((bx > x) - (bx < x), (by > y) - (by < y))
                        ends.setdefault((net, x, y), set()).add(way)
    return ends


def _bends(arms: Mapping[tuple[str, int, int], set[tuple[int, int]]], symbols: Sequence[Symbol]) -> int:
    """Corners of wires, also where a wire leaves a pin aside of its lead."""
    leads: dict[tuple[str, int, int], set[tuple[int, int]]] = {}
    for s in symbols:
        for lead in s.shape.leads:
            leads.setdefault((lead.net, s.x + lead.x, s.y + lead.y), set()).add((-lead.dx, -lead.dy))
    count = 0
    for key, ways in arms.items():
        all_ways = ways | leads.get(key, set())
        if len(all_ways) == 2:
            (ax, ay), (bx, by) = all_ways
            count += (ax + bx, ay + by) != (0, 0)
    return count


def _half_perimeters(sheet: Sheet) -> float:
    places: dict[str, list[tuple[int, int]]] = {}
    wired = {w.net for w in sheet.wires}
    for s in sheet.symbols:
        for lead in s.shape.leads:
            if lead.net in wired:
                places.setdefault(lead.net, []).append((s.x + lead.x, s.y + lead.y))
    return float(
        sum(
            max(x for x, _ in p) - min(x for x, _ in p) + max(y for _, y in p) - min(y for _, y in p)
            for p in places.values()
        )
    )


def _downward(drawing: Drawing) -> float:
    """Of standing branches whose current is known, the share in which it flows down."""
    currents = drawing.currents or find_levels(drawing.shown).current
    down = standing = 0
    for sheet in drawing.sheets:
        for s in sheet.symbols:
            part = drawing.shown.part(s.reference)
            kind = kind_of(part)
            amps = currents.get(s.reference, 0.0)
            if kind.supplies or len(kind.path) != 2 or abs(amps) < 1e-7:
                continue
            ends = {lead.pin: lead for lead in s.shape.leads}
            if not all(pin in ends for pin in kind.path):
                continue
            first, second = ends[kind.path[0]], ends[kind.path[1]]
            if first.y == second.y:
                continue
            standing += 1
            down += (second.y > first.y) == (amps > 0)
    return down / standing if standing else 1.0


def _rightward(drawing: Drawing) -> float:
    edges = right = 0
    levels = find_levels(drawing.shown)
    images = [set(image) for image in mirror_images(drawing.shown, levels)]
    running = [e for e in signal_edges(drawing.shown, levels) if not any(i.issuperset(e) for i in images)]
    for sheet in drawing.sheets:
        x = {s.reference: s.x for s in sheet.symbols}
        for a, b in running:
            if a in x and b in x:
                edges += 1
                right += x[a] <= x[b]
    return right / edges if edges else 1.0


def _unreached(sheet: Sheet) -> int:
    """Pins that are not joined to the rest of their net by wires, touching pins or a mark of the net's name."""
    count = 0
    legs: dict[str, list[tuple[int, int]]] = {}
    for s in sheet.symbols:
        for lead in s.shape.leads:
            legs.setdefault(lead.net, []).append((s.x + lead.x, s.y + lead.y))
    for net, pins in legs.items():
        spots = set(pins)
        named = {(m.x, m.y) for m in sheet.marks if m.net == net}
        islands: list[set[tuple[int, int]]] = [{p} for p in spots | named]
        for w in (w for w in sheet.wires if w.net == net):
            touched = [i for i in islands if any(_on(w, p) for p in i)]
            rest = [i for i in islands if i not in touched]
            islands = [set().union(*touched, {(w.x0, w.y0), (w.x1, w.y1)}), *rest]
        islands = _merged(islands, [w for w in sheet.wires if w.net == net])
        alone = [i for i in islands if not i & named and i & spots]
        if len(alone) > 1 or (alone and named):
            count += len(alone) - (0 if named else 1)
    return count


def _merged(islands: list[set[tuple[int, int]]], wires: Sequence[Wire]) -> list[set[tuple[int, int]]]:
    """Join islands that a wire touches, until nothing changes."""
    changed = True
    while changed:
        changed = False
        for w in wires:
            touched = [i for i in islands if any(_on(w, p) for p in i)]
            if len(touched) > 1:
                rest = [i for i in islands if i not in touched]
                islands = [set().union(*touched), *rest]
                changed = True
    return islands


def _on(wire: Wire, point: tuple[int, int]) -> bool:
    x, y = point
    return min(wire.x0, wire.x1) <= x <= max(wire.x0, wire.x1) and min(wire.y0, wire.y1) <= y <= max(
        wire.y0, wire.y1
    )
