"""Text goes on last: each line at the first place near its thing where it covers nothing, or else where it covers least."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lidoff.circuit.netlist import Circuit
from lidoff.fonts import text_width
from lidoff.schematic.drawing import Area, Label, RailMark, Sheet, Symbol, Wire
from lidoff.schematic.options import DrawingOptions
from lidoff.schematic.shapes import PIN_TEXT, TEXT, pin_label
from lidoff.schematic.text import text_box

__all__ = ["covered", "place_labels"]

Box = tuple[float, float, float, float]
SMALL = 0.85
LINE = 1.12
APART = 0.6
"""What a voltage keeps from a text beside it, in grid steps: about a letter."""


def place_labels(
    circuit: Circuit,
    symbols: Sequence[Symbol],
    wires: Sequence[Wire],
    marks: Sequence[RailMark],
    text: Mapping[str, Sequence[str]],
    voltages: Mapping[str, str],
    options: DrawingOptions,
    frames: Sequence[Area] = (),
) -> list[Label]:
    """All text of a sheet.

    Parameters
    ----------
    circuit : Circuit
        What is drawn.
    symbols, wires, marks : sequences
        What is on the page.
    text : mapping of str to sequence of str
        Lines beside each part.
    voltages : mapping of str to str
        Solved voltages, as they are to be written.
    options : DrawingOptions
        Which of them are wanted.
    frames : sequence of Area
        Frames with the numbers on them.

    Returns
    -------
    list of Label
        None covers another unless there was no room at all.
    """
    lines = [*(_band(wire) for wire in wires), *(lead for symbol in symbols for lead in _leads(symbol))]
    for frame in frames:
        lines.extend(frame_lines(frame))
    labels: list[Label] = [_caption(frame, lines) for frame in frames if frame.caption]
    labels.extend(label for label in map(_mark_label, marks) if label)
    for s in symbols:
        labels.extend(_fixed_labels(circuit, s, text))
    solid = [*(symbol.strokes for symbol in symbols), *(mark_box(mark) for mark in marks)]
    taken = _Taken(solid=_Boxes(solid), lines=_Boxes(lines), labels=_Boxes(label.box for label in labels))

    def add(made: Sequence[Label]) -> None:
        for label in made:
            taken.labels.add(label.box)
        labels.extend(made)

    for s in symbols:
        if s.outline.name != "box":
            add(_beside(s, text[s.reference], taken))
    if options.voltages and voltages:
        labels.extend(_voltages(symbols, wires, voltages, taken))
    return labels


def covered(sheet: Sheet) -> list[Box]:
    """What symbols, wires, rail symbols, frames and text of a sheet cover."""
    return [
        *(symbol.strokes for symbol in sheet.symbols),
        *(lead for symbol in sheet.symbols for lead in _leads(symbol)),
        *(_band(wire) for wire in sheet.wires),
        *(mark_box(mark) for mark in sheet.marks),
        *(line for area in sheet.areas if area.frame for line in frame_lines(area)),
        *(label.box for label in sheet.labels),
    ]


_SQUARE = 6.0
"""Side of the squares by which boxes are found again, in grid steps: about as wide as a text is long."""


class _Boxes:
    """Boxes, found again by the squares of the page that they reach into.

    Parameters
    ----------
    boxes : iterable of box
        In their order.
    """

    def __init__(self, boxes: Iterable[Box] = ()) -> None:
        self._boxes: list[Box] = []
        self._squares: dict[tuple[int, int], list[int]] = {}
        for box in boxes:
            self.add(box)

    def add(self, box: Box) -> None:
        """Take one more in."""
        number = len(self._boxes)
        self._boxes.append(box)
        for square in _squares(box):
            self._squares.setdefault(square, []).append(number)

    def under(self, box: Box) -> list[float]:
        """Areas that it shares with each box that it overlaps, in their order."""
        squares = [found for square in _squares(box) if (found := self._squares.get(square))]
        near = squares[0] if len(squares) == 1 else sorted(set().union(*squares))
        return [area for number in near if (area := _shared(box, self._boxes[number])) > 0.0]


@dataclass(frozen=True, slots=True)
class _Taken:
    """What a text may not cover: symbols and rail symbols, wires and frames, texts that stand already."""

    solid: _Boxes
    lines: _Boxes
    labels: _Boxes

    def covered_by(self, box: Box) -> float:
        """What it costs a text to stand there."""
        over = sum(6.0 + 8.0 * area for area in self.solid.under(box))
        return over + 10.0 * len(self.lines.under(box)) + 14.0 * len(self.labels.under(box))

    def read_as_one(self, box: Box) -> float:
        """What it costs a text to stand so close beside others that they are read as one."""
        wide = (box[0] - APART, box[1], box[2] + APART, box[3])
        return 4.0 * (len(self.labels.under(wide)) - len(self.labels.under(box)))


def _squares(box: Box) -> list[tuple[int, int]]:
    left, top, right, bottom = (math.floor(edge / _SQUARE) for edge in box)
    return [(across, down) for across in range(left, right + 1) for down in range(top, bottom + 1)]


def _leads(s: Symbol) -> Iterable[Box]:
    """The last step of each lead, up to the pin."""
    for lead in s.shape.leads:
        x, y = s.x + lead.x, s.y + lead.y
        yield _band(Wire(lead.net, x - lead.dx, y - lead.dy, x, y))


def _band(w: Wire) -> Box:
    return (min(w.x0, w.x1) - 0.15, min(w.y0, w.y1) - 0.15, max(w.x0, w.x1) + 0.15, max(w.y0, w.y1) + 0.15)


def frame_lines(frame: Area) -> list[Box]:
    """The lines of a frame."""
    if frame.rings:
        return [
            (min(x0, x1), min(y0, y1), max(x0, x1) + 0.1, max(y0, y1) + 0.1)
            for ring in frame.rings
            for (x0, y0), (x1, y1) in pairwise(ring)
        ]
    x0, y0, x1, y1 = frame.box
    return [
        (x0, y0, x1, y0 + 0.1), (x0, y1 - 0.1, x1, y1), (x0, y0, x0 + 0.1, y1), (x1 - 0.1, y0, x1, y1),
    ]  # fmt: skip


def mark_box(mark: RailMark) -> Box:
    """What a rail symbol covers, its name apart."""
    if mark.role == "ground":
        return (mark.x - 0.8, mark.y, mark.x + 0.8, mark.y + 1.2)
    if mark.role == "supply":
        return (mark.x - 0.8, mark.y - 0.9, mark.x + 0.8, mark.y)
    return (mark.x - 0.2, mark.y - 0.2, mark.x + 0.2, mark.y + 0.2)


def _caption(area: Area, wires: Sequence[Box]) -> Label:
    """On a corner of a frame that no wire crosses, the upper right one first."""
    x0, y0, x1, y1 = area.box
    corners = [
        (x1 - 0.15, y0 - 0.6, "end"),
        (x1 + 0.25, y0 + 0.5, "start"),
        (x1 + 0.25, y1 - 0.5, "start"),
        (x0 + 0.15, y0 - 0.6, "start"),
        (x1 - 0.15, y1 + 0.7, "end"),
    ]
    if area.rings:  # it does not reach into all corners of its box
        tops = [x for x, y in area.rings[0] if y == y0]
        feet = [x for x, y in area.rings[0] if y == y1]
        corners = [
            (max(tops) - 0.15, y0 - 0.6, "end"),
            (max(tops) + 0.25, y0 + 0.5, "start"),
            (max(feet) + 0.25, y1 - 0.5, "start"),
            (min(tops) + 0.15, y0 - 0.6, "start"),
            (max(feet) - 0.15, y1 + 0.7, "end"),
        ]
    made = [_label(area.caption, "repeat", area.parts[0], x, y, anchor, SMALL) for x, y, anchor in corners]
    return min(made, key=lambda label: sum(_shared(label.box, wire) > 0 for wire in wires))


def _mark_label(mark: RailMark) -> Label | None:
    if mark.role == "ground" and mark.plain:
        return None
    if mark.role == "ground":
        x, y, anchor = float(mark.x), mark.y + 1.7, "middle"
    elif mark.role == "supply":
        x, y, anchor = float(mark.x), mark.y - 1.45, "middle"
    else:
        anchor = "end" if mark.dx < 0 else "start" if mark.dx > 0 else "middle"
        x = mark.x + 0.9 * mark.dx
        y = mark.y + 1.25 * mark.dy
    return _label(mark.net, "net", mark.net, x, y, anchor, SMALL)


def _label(text: str, role: str, owner: str, x: float, y: float, anchor: str, size: float) -> Label:
    return Label(
        text=text, role=role, owner=owner, x=x, y=y, anchor=anchor, size=size,
        box=text_box(text, x, y, anchor, size, bold=role == "reference"),
    )  # fmt: skip


def _fixed_labels(circuit: Circuit, symbol: Symbol, text: Mapping[str, Sequence[str]]) -> list[Label]:
    """Pin names and title of a box."""
    if symbol.outline.name != "box":
        return []
    part = circuit.part(symbol.reference)
    labels = []
    left, top, right, bottom = symbol.outline.extent
    sides = {"left": 0.0, "right": 0.0, "top": 0.0, "bottom": 0.0}
    for lead in symbol.shape.leads:
        name = pin_label(part, lead.pin)
        width = text_width(name, PIN_TEXT)
        if lead.dx < 0:
            sides["left"] = max(sides["left"], width)
            place = (symbol.x + left + 0.35, float(symbol.y + lead.y), "start")
        elif lead.dx > 0:
            sides["right"] = max(sides["right"], width)
            place = (symbol.x + right - 0.35, float(symbol.y + lead.y), "end")
        elif lead.dy < 0:
            sides["top"] = 1.0
            place = (float(symbol.x + lead.x), symbol.y + top + 0.75, "middle")
        else:
            sides["bottom"] = 1.0
            place = (float(symbol.x + lead.x), symbol.y + bottom - 0.75, "middle")
        labels.append(_label(name, "pin", f"{symbol.reference}.{lead.pin}", *place, PIN_TEXT))
    lines = text[symbol.reference]
    middle_x = symbol.x + (left + sides["left"] + right - sides["right"]) / 2
    middle_y = symbol.y + (sides["top"] - sides["bottom"]) / 2
    for row, line in enumerate(lines):
        y = middle_y + (row - (len(lines) - 1) / 2) * LINE
        role, size = ("reference", TEXT) if row == 0 else ("value", PIN_TEXT)
        labels.append(_label(line, role, symbol.reference, middle_x, y, "middle", size))
    return labels


def _beside(symbol: Symbol, lines: Sequence[str], taken: _Taken) -> list[Label]:
    extent = symbol.outline.extent
    corners = [symbol.shape.turn.point(x, y) for x in (extent[0], extent[2]) for y in (extent[1], extent[3])]
    left, right = min(c[0] for c in corners), max(c[0] for c in corners)
    top, bottom = min(c[1] for c in corners), max(c[1] for c in corners)
    lying = symbol.shape.turn.lying and len(symbol.shape.leads) == 2
    sets: list[list[tuple[float, float, str]]] = []
    rows = len(lines)
    if lying:
        low, high = bottom + 0.65, top - 0.65
        sets.append([(0.0, high, "middle"), *((0.0, low + LINE * k, "middle") for k in range(rows - 1))])
        sets.append([(0.0, high - LINE * (rows - 1 - k), "middle") for k in range(rows)])
        sets.append([(0.0, low + LINE * k, "middle") for k in range(rows)])
    near = 0.35
    for shift in (0.0, -0.9, 0.9, -1.6, 1.6):
        for x, anchor in ((right + near, "start"), (left - near, "end")):
            sets.append([(x, shift + (k - (rows - 1) / 2) * LINE, anchor) for k in range(rows)])
    for y, step in ((top - 0.6, -1), (bottom + 0.6, 1)):
        for x, anchor in ((0.4, "start"), (-0.4, "end")):
            ordered = range(rows - 1, -1, -1) if step < 0 else range(rows)
            sets.append(
                [(x, y + step * LINE * place, anchor) for place in ordered]
                if step > 0
                else [(x, y - LINE * (rows - 1 - k), anchor) for k in range(rows)]
            )
    inner = symbol.strokes
    for x, anchor in ((inner[2] - symbol.x + near, "start"), (inner[0] - symbol.x - near, "end")):
        # beside the body, above or below a lead that goes out there
        sets.extend(
            [(x, shift + (k - (rows - 1) / 2) * LINE, anchor) for k in range(rows)] for shift in (-1.6, 1.6)
        )
    best: tuple[float, list[Label]] | None = None
    for rank, spots in enumerate(sets):
        made = [
            _label(
                line,
                "reference" if k == 0 else "value",
                symbol.reference,
                symbol.x + x,
                symbol.y + y,
                anchor,
                TEXT,
            )
            for k, (line, (x, y, anchor)) in enumerate(zip(lines, spots, strict=True))
        ]
        cost = 0.3 * rank + sum(taken.covered_by(label.box) for label in made)
        if best is None or cost < best[0] - 1e-9:
            best = (cost, made)
        if best[0] <= 0.3 * (rank + 1):
            break  # what follows costs that much by its rank alone
    assert best is not None
    return best[1]  # fmt: skip


def _shared(a: Box, b: Box) -> float:
    over = min(a[2], b[2]) - max(a[0], b[0])
    down = min(a[3], b[3]) - max(a[1], b[1])
    return over * down if over > 1e-6 and down > 1e-6 else 0.0


_AT_PIN = ((0.0, 0.35), (-0.5, 0.35), (0.5, 0.35))
"""How far below and beside a pin a voltage may stand, in grid steps."""
_PAST_PIN = ((-1.0, 0.7), (1.0, 0.7))
"""The same where pins meet without a wire."""


def _voltages(
    symbols: Sequence[Symbol], wires: Sequence[Wire], voltages: Mapping[str, str], taken: _Taken
) -> list[Label]:
    """One voltage a net, on its longest wire that has room, or else beside one of its pins."""
    made: list[Label] = []
    by_net: dict[str, list[Wire]] = {}
    for wire in wires:
        by_net.setdefault(wire.net, []).append(wire)
    pins: dict[str, list[tuple[int, int]]] = {}
    for s in symbols:
        for lead in s.shape.leads:
            pins.setdefault(lead.net, []).append((s.x + lead.x, s.y + lead.y))
    for net in sorted(pins):
        if net not in voltages:
            continue
        text = voltages[net]
        best: tuple[float, Label] | None = None
        for wire in sorted(by_net.get(net, ()), key=lambda w: (-w.length, w.x0, w.y0)):
            mx, my = (wire.x0 + wire.x1) / 2, (wire.y0 + wire.y1) / 2
            spots = (
                [
                    (mx, my - 0.65, "middle"),
                    (mx, my + 0.65, "middle"),
                    (min(wire.x0, wire.x1) + 0.2, my - 0.65, "start"),
                    (max(wire.x0, wire.x1) - 0.2, my - 0.65, "end"),
                ]
                if wire.y0 == wire.y1
                else [(mx + dx, my + dy, a) for dy in (0, -1, 1) for dx, a in ((0.3, "start"), (-0.3, "end"))]
            )
            for rank, (x, y, anchor) in enumerate(spots):
                label = _label(text, "voltage", net, x, y, anchor, SMALL)
                cost = 0.3 * rank - 0.02 * wire.length + taken.covered_by(label.box)
                cost += taken.read_as_one(label.box)
                if best is None or cost < best[0] - 1e-9:
                    best = (cost, label)
        if best is None or best[0] >= 8.0:
            beside = _AT_PIN if net in by_net else (*_AT_PIN, *_PAST_PIN)
            for x, y in sorted(set(pins[net])):
                for side, anchor in ((-1, "end"), (1, "start")):
                    for dy, off in beside:
                        label = _label(text, "voltage", net, x + side * off, y + dy, anchor, SMALL)
                        cost = 0.5 + abs(dy) + taken.covered_by(label.box) + taken.read_as_one(label.box)
                        if best is None or cost < best[0] - 1e-9:
                            best = (cost, label)
        if best is not None and best[0] < 8.0:
            made.append(best[1])
            taken.labels.add(best[1].box)
    return made
