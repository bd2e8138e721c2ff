"""Some parts of a circuit drawn as a small circuit of their own: placed anew, with the names of the nets that lead away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from lidoff.circuit.netlist import Circuit
from lidoff.errors import UnknownName
from lidoff.fonts import text_width
from lidoff.schematic.drawing import Drawing, Label, Sheet
from lidoff.schematic.labels import covered
from lidoff.schematic.levels import find_levels
from lidoff.schematic.options import DrawingOptions
from lidoff.schematic.sheet import Facts, lay_out

__all__ = ["draw_piece"]

NAME_SIZE = 0.85
"""Height of a net's name [grid steps]."""
BESIDE = 0.65
"""From a wire to the middle of the name that stands along it [grid steps]."""
Box = tuple[float, float, float, float]


def draw_piece(
    circuit: Circuit,
    parts: Iterable[str],
    *,
    options: DrawingOptions = DrawingOptions(),  # noqa: B008
) -> Drawing:
    """Schematic of some parts alone.

    Parameters
    ----------
    circuit : Circuit
        The whole, which tells which nets are rails and which way current flows.
    parts : iterable of str
        References of those to draw.
    options : DrawingOptions
        What a person chose; places in the whole drawing do not count here, and nothing is drawn once for many.

    Returns
    -------
    Drawing
        One sheet without numbers; each net that other parts hang on bears its name.

    Raises
    ------
    UnknownName
        The circuit has no such part.
    """
    wanted = dict.fromkeys(parts)
    known = {part.reference: part for part in circuit.parts}
    for reference in wanted:
        if reference not in known:
            raise UnknownName(f"the circuit has no part {reference!r}", name=reference, known=list(known))
    chosen = tuple(part for part in circuit.parts if part.reference in wanted)
    away = {net for part in circuit.parts if part.reference not in wanted for net in part.pins.values()}
    pins = Counter(net for part in chosen for net in part.pins.values())
    levels = find_levels(circuit)
    alone = replace(
        options,
        pinned={},
        abbreviate=False,
        highlight_nets=(),
        highlight_parts=(),
        voltage_ramp=False,
        title="",
    )
    facts = Facts(
        levels=levels,
        groups=(),
        repeats=(),
        options=alone,
        voltages={},
        currents={},
        alternating={},
        alternating_currents={},
        notes=(),
        before=None,
    )
    piece = Circuit(parts=chosen, ground=circuit.ground, rails=circuit.rails)
    sheet = lay_out(piece, facts, title="", named=frozenset(net for net in away if pins[net] == 1))
    unnamed = {net for net in away if pins[net] > 1} - {mark.net for mark in sheet.marks}
    sheet = _with_names(sheet, sorted(unnamed))
    return Drawing(
        circuit=piece,
        shown=piece,
        sheets=(sheet,),
        repeats=(),
        potential=levels.potential,
        voltages={},
        currents={},
        options=alone,
    )


def _with_names(sheet: Sheet, nets: Sequence[str]) -> Sheet:
    """Sheet with the names of nets that go on elsewhere and are wired here, each where it covers least."""
    for net in nets:
        taken = covered(sheet)
        spots = _spots(sheet, net)
        if not spots:
            continue
        label = min(spots, key=lambda one: sum(_shared(one.box, box) for box in taken))
        (left, top, right, bottom), (x0, y0, x1, y1) = sheet.box, label.box
        box = (min(left, x0), min(top, y0), max(right, x1), max(bottom, y1))
        sheet = replace(sheet, labels=(*sheet.labels, label), box=box)
    return sheet


def _spots(sheet: Sheet, net: str) -> list[Label]:
    """Places for a net's name, the best first: along its longest wire, else beside a lead of a part."""
    width = text_width(net, NAME_SIZE)
    found = []
    for wire in sorted(
        (one for one in sheet.wires if one.net == net), key=lambda one: (-one.length, one.x0, one.y0)
    ):
        middle = ((wire.x0 + wire.x1) / 2, (wire.y0 + wire.y1) / 2)
        if wire.y0 == wire.y1:
            shifts = [along * abs(wire.x1 - wire.x0) for along in (0.0, -0.3, 0.3)]
            found += [
                (middle[0] + shift, wire.y0 + side * BESIDE, "middle") for side in (-1, 1) for shift in shifts
            ]
        else:
            shifts = [along * abs(wire.y1 - wire.y0) for along in (0.0, -0.3, 0.3)]
            found += [
                (wire.x0 + side * 0.4, middle[1] + shift, "start" if side > 0 else "end")
                for shift in shifts
                for side in (1, -1)
            ]
    for symbol in sheet.symbols:
        for lead in symbol.shape.leads:
            if lead.net == net:
                x, y = symbol.x + lead.x, symbol.y + lead.y
                found += [
                    (x + 0.4, y, "start"),
                    (x - 0.4, y, "end"),
                    (x, y - BESIDE, "middle"),
                    (x, y + BESIDE, "middle"),
                ]
    return [_label(net, x, y, anchor, width) for x, y, anchor in found]


def _label(net: str, x: float, y: float, anchor: str, width: float) -> Label:
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    box = (left, y - NAME_SIZE / 2, left + width, y + NAME_SIZE / 2)
    return Label(text=net, role="net", owner=net, x=x, y=y, anchor=anchor, size=NAME_SIZE, box=box)


def _shared(one: Box, other: Box) -> float:
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return max(across, 0.0) * max(down, 0.0)
