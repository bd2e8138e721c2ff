"""Frames round what is drawn once for several, and the table that says for what."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lidoff.circuit.netlist import Circuit
from lidoff.fonts import text_width
from lidoff.schematic.drawing import Area, Label, Repeat, Symbol, Wire
from lidoff.schematic.inner_wires import inner_wires
from lidoff.schematic.text import text_box

__all__ = ["notes_below", "repeat_frames", "repeat_table"]

Box = tuple[float, float, float, float]
_COUNTED = re.compile(r"([^\W\d]+)(\d+)")
"""A reference that ends in a number, and nothing beside it."""
Ring = tuple[tuple[float, float], ...]
SIZE = 0.9
MARGIN = 0.45
"""Between a part and its frame, in grid steps."""
ROW = 1.35
LEAST_WIDTH = 24.0
"""Grid steps that a note runs across at least before it is broken."""


def _around(symbols: Sequence[Symbol], margin: float) -> Box:
    rooms = [(s.x + r[0], s.y + r[1], s.x + r[2], s.y + r[3]) for s in symbols for r in (s.shape.room,)]
    rooms += [(s.x + p.x, s.y + p.y, s.x + p.x, s.y + p.y) for s in symbols for p in s.shape.leads]
    return (
        min(r[0] for r in rooms) - margin,
        min(r[1] for r in rooms) - margin,
        max(r[2] for r in rooms) + margin,
        max(r[3] for r in rooms) + margin,
    )


def repeat_frames(repeats: Sequence[Repeat], symbols: Sequence[Symbol], wires: Sequence[Wire]) -> list[Area]:
    """Dashed frame with the number round each group that is drawn once for several.

    Parameters
    ----------
    repeats : sequence of Repeat
        From `gather_repeats`.
    symbols : sequence of Symbol
        On this sheet.
    wires : sequence of Wire
        Likewise.

    Returns
    -------
    list of Area
        Where other parts stand inside, the frame follows the wires from part to part: frames of their own would say that each
        part is repeated beside itself. Only where strangers are in that way too does each part get its own frame.
    """
    frames: list[Area] = []
    for repeat in repeats:
        members = [s for s in symbols if s.reference in repeat.drawn]
        if repeat.series or not members:
            continue
        strangers = [_inset(s) for s in symbols if s.reference not in repeat.drawn]
        whole = _around(members, MARGIN)
        crowded = any(_meets(whole, stranger) for stranger in strangers)
        ring = _ring(members, symbols, wires, strangers) if crowded else ()
        together = [[s] for s in members] if crowded and not ring else [members]
        frames.extend(
            Area(
                caption=f"×{len(repeat.instances)}",
                tint="",
                box=_around_points(ring) if ring else _around(some, MARGIN),
                parts=tuple(s.reference for s in some),
                frame=True,
                rings=(ring,) if ring else (),
            )
            for some in together
        )
    return frames


def _ring(
    members: Sequence[Symbol], symbols: Sequence[Symbol], wires: Sequence[Wire], strangers: Sequence[Box]
) -> Ring:
    """Outline of some parts and of the wires between them alone; empty where it falls apart or meets a stranger."""
    from shapely import box, unary_union
    from shapely.geometry import Polygon

    own = inner_wires({s.reference for s in members}, symbols, wires)
    boxes = [box(*_around([s], MARGIN)) for s in members]
    boxes += [box(*wire.buffer(MARGIN, join_style="mitre").bounds) for wire in own]
    shape = unary_union(boxes)
    if not isinstance(shape, Polygon) or any(shape.intersects(box(*stranger)) for stranger in strangers):
        return ()
    outline = Polygon(shape.exterior).simplify(0.01)
    return tuple((round(x, 2), round(y, 2)) for x, y in outline.exterior.coords)


def _around_points(ring: Ring) -> Box:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return (min(xs), min(ys), max(xs), max(ys))


def _inset(symbol: Symbol) -> Box:
    """Body of a symbol, a little less."""
    x0, y0, x1, y1 = symbol.body
    return (x0 + 0.2, y0 + 0.2, x1 - 0.2, y1 - 0.2)


def _meets(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def repeat_table(repeats: Sequence[Repeat], circuit: Circuit, box: Box) -> list[Label]:
    """Table under the drawing: for each group drawn once, the references, pins and values of the others.

    Parameters
    ----------
    repeats : sequence of Repeat
        From `gather_repeats`.
    circuit : Circuit
        Parts of this sheet.
    box : (left, top, right, bottom)
        What the drawing covers.

    Returns
    -------
    list of Label
        Lines of text in columns.
    """
    labels: list[Label] = []
    here = {part.reference for part in circuit.parts}
    y = box[3] + 2.6
    for repeat in repeats:
        if repeat.series or not set(repeat.drawn) <= here:
            continue
        pins = list(dict.fromkeys(name for row in repeat.nets for name in row))
        lines = []
        for k, (instance, values) in enumerate(zip(repeat.instances, repeat.values, strict=True)):
            parts = [f"{name} {values[name]}" if name in values else name for name in instance]
            lines.append([*parts, *(repeat.nets[k].get(name, "") if repeat.nets else "" for name in pins)])
        lines = [lines[0], *_counted_up(lines[1:])]
        rows = [
            [f"×{len(repeat.instances)}", *["" for _ in repeat.drawn], *pins],
            *(["stands for" if k else "drawn", *line] for k, line in enumerate(lines)),
        ]
        x = box[0]
        for column in zip(*rows, strict=True):
            for line, entry in enumerate(column):
                if entry:
                    role = "table-head" if line == 0 else "table"
                    at = y + ROW * line
                    labels.append(
                        Label(
                            text=entry,
                            role=role,
                            owner=repeat.drawn[0],
                            x=x,
                            y=at,
                            anchor="start",
                            size=SIZE,
                            box=text_box(entry, x, at, "start", SIZE),
                        )
                    )
            x += max(text_width(entry, SIZE, bold=True) for entry in column) + 1.6
        y += ROW * (len(rows) + 1)
    return labels


def _counted_up(lines: Sequence[list[str]]) -> list[list[str]]:
    """Lines of a table, one in place of three and more in whose every column references count up by one."""
    runs: list[list[list[str]]] = []
    for line in lines:
        if runs and all(_follows(a, b) for a, b in zip(runs[-1][-1], line, strict=True)):
            runs[-1].append(line)
        else:
            runs.append([line])
    told: list[list[str]] = []
    for run in runs:
        together = [f"{first}…{last}" for first, last in zip(run[0], run[-1], strict=True)]
        told.extend([together] if len(run) > 2 else run)
    return told


def _follows(one: str, other: str) -> bool:
    a, b = _COUNTED.fullmatch(one), _COUNTED.fullmatch(other)
    return bool(a and b and a[1] == b[1] and int(a[2]) + 1 == int(b[2]))


def notes_below(notes: Sequence[str], box: Box) -> list[Label]:
    """What a reader must know of the numbers, under the drawing.

    Parameters
    ----------
    notes : sequence of str
        Sentences, each on lines of its own.
    box : (left, top, right, bottom)
        What the drawing covers.

    Returns
    -------
    list of Label
    """
    width = max(box[2] - box[0], LEAST_WIDTH)
    lines: list[str] = []
    for note in notes:
        line = ""
        for word in note.split():
            longer = f"{line} {word}".strip()
            if line and text_width(longer, SIZE) > width:
                lines.append(line)
                longer = word
            line = longer
        lines.append(line)
    return [
        Label(
            text=line,
            role="note",
            owner="",
            x=box[0],
            y=(at := box[3] + 2.6 + ROW * number),
            anchor="start",
            size=SIZE,
            box=text_box(line, box[0], at, "start", SIZE),
        )
        for number, line in enumerate(lines)
    ]
