"""A drawing as SVG: real text, a stable id and data attributes for every part and net, layers for areas and highlights."""

from __future__ import annotations

import re
from collections.abc import Sequence
from xml.sax.saxutils import escape, quoteattr

from lidoff.circuit.kind import kind_of
from lidoff.circuit.outlines import Circle, Letters, Polyline, Stroke
from lidoff.errors import ImpossibleValue
from lidoff.fonts import FAMILY, text_width
from lidoff.schematic.drawing import Drawing, Label, RailMark, Sheet, Symbol
from lidoff.schematic.shapes import turned_strokes
from lidoff.schematic.stretch import stretch_of
from lidoff.schematic.text import stood_for, value_text
from lidoff.schematic.themes import Theme, theme_named

__all__ = ["STEP", "svg_text"]

STEP = 10.0
"""User units of SVG to a grid step."""
MARGIN = 3.0
"""Free edge round a sheet, in grid steps."""
TITLE = 2.6
"""Height kept for the title, in grid steps."""


def svg_text(drawing: Drawing, *, theme: str = "light", sheet: int | None = None) -> str:
    """SVG of a drawing.

    Parameters
    ----------
    drawing : Drawing
        From `draw`.
    theme : str
        ``light``, ``dark`` or ``print``.
    sheet : int, optional
        One sheet alone.

    Returns
    -------
    str
        A complete SVG document without XML declaration, so that it may stand inside a page.

    Raises
    ------
    ImpossibleValue
        There is no such sheet.
    """
    colours = theme_named(theme)
    if sheet is not None and not 0 <= sheet < len(drawing.sheets):
        raise ImpossibleValue(f"there is no sheet {sheet}", remedy=f"ask for 0 to {len(drawing.sheets) - 1}")
    sheets = drawing.sheets if sheet is None else (drawing.sheets[sheet],)
    bodies: list[str] = []
    width, down = 0.0, 0.0
    for number, page in enumerate(sheets):
        x0, y0, x1, y1 = page.box
        head = TITLE if page.title else 0.0
        dx, dy = MARGIN - x0, down + MARGIN + head - y0
        name = f"sheet-{number if sheet is None else sheet}"
        bodies.append(
            f'<g id="{name}" class="sheet" transform="translate({_n(dx)} {_n(dy)})">{_sheet(drawing, page)}</g>'
        )
        if page.title:
            bodies.append(
                f'<text class="title" x="{_n(MARGIN)}" y="{_n(down + MARGIN + 0.4)}">{escape(page.title)}</text>'
            )
        width = max(width, x1 - x0 + 2 * MARGIN, text_width(page.title, 1.5, bold=True) + 2 * MARGIN)
        down += y1 - y0 + 2 * MARGIN + head
    title = drawing.options.title or drawing.circuit.title or "Circuit"
    description = _description(drawing)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="lidoff-schematic theme-{theme}" role="img" '
        f'aria-labelledby="drawing-title drawing-description" viewBox="0 0 {_n(width)} {_n(down)}" '
        f'width="{_n(width)}" height="{_n(down)}">'
        f'<title id="drawing-title">{escape(title)}</title><desc id="drawing-description">{escape(description)}</desc>'
        f"<style>{_style(colours, bool(drawing.options.highlight_nets or drawing.options.highlight_parts))}</style>"
        f'<rect class="paper" width="{_n(width)}" height="{_n(down)}"/>' + "".join(bodies) + "</svg>\n"
    )


def _n(steps: float) -> str:
    """Length in user units, with no more digits than show."""
    text = f"{steps * STEP:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _ident(prefix: str, name: str) -> str:
    """Identifier that may stand in a style sheet and stays the same for the same name."""
    return prefix + re.sub(r"[^A-Za-z0-9_-]", lambda m: f"_{ord(m.group()):x}_", name)


def _style(c: Theme, highlighted: bool) -> str:
    dim = ".dim{opacity:.28}" if highlighted else ""
    return (
        f"text{{font-family:'{FAMILY}','Noto Sans',sans-serif;fill:{c.ink};font-variant-numeric:tabular-nums}}"
        f".paper{{fill:{c.paper}}}.stroke{{fill:none;stroke:{c.ink};stroke-width:1.4;stroke-linecap:round;"
        f"stroke-linejoin:round}}.face{{fill:{c.paper}}}.solid{{fill:{c.ink};stroke-width:.6}}"
        f".wire{{fill:none;stroke:{c.ink};stroke-width:1.2;stroke-linecap:round}}.dot{{fill:{c.ink}}}"
        f".supply .wire,.supply .stroke{{stroke:{c.supply}}}.supply .dot,.supply text{{fill:{c.supply}}}"
        f".ground .wire,.ground .stroke{{stroke:{c.ground}}}.ground .dot,.ground text{{fill:{c.ground}}}"
        f".reference{{font-weight:600}}.value,.pin,.net{{fill:{c.ink}}}.pin,.repeat,.table,.note{{fill:{c.quiet}}}"
        f".frame{{fill:none;stroke:{c.quiet};stroke-width:.9;stroke-dasharray:4 3}}.table-head{{font-weight:600}}"
        f".voltage{{fill:{c.accent}}}.current{{fill:{c.quiet}}}"
        ".stand-in .face{stroke-dasharray:3.2 2.4}"
        f".title{{font-size:15px;font-weight:600}}.caption{{font-weight:600;fill:{c.quiet}}}"
        f".area{{fill-opacity:{c.tint_opacity}}}"
        + "".join(f".shade-{k}{{fill:{tint}}}" for k, tint in enumerate(c.tints))
        + f".leader{{fill:none;stroke:{c.quiet};stroke-width:.8}}.lit .wire,.lit .stroke{{stroke:{c.accent};stroke-width:2.4}}"
        f".lit .dot{{fill:{c.accent}}}" + dim
    )


def _description(drawing: Drawing) -> str:
    parts = "; ".join(
        f"{part.reference} {kind_of(part).title}" + (f" {value_text(part)}" if value_text(part) else "")
        for part in drawing.circuit.parts
    )
    return f"Schematic of {len(drawing.circuit.parts)} parts on {len(drawing.circuit.nets)} nets: {parts}."


def _sheet(drawing: Drawing, page: Sheet) -> str:
    out: list[str] = ['<g class="areas">']
    for area in page.areas:
        x0, y0, x1, y1 = area.box
        if area.frame and area.rings:
            (ring,) = area.rings
            out.append(f'<path class="frame" d="M{"L".join(f"{_n(x)} {_n(y)}" for x, y in ring[:-1])}Z"/>')
            continue
        if area.frame:
            out.append(
                f'<rect class="frame" x="{_n(x0)}" y="{_n(y0)}" width="{_n(x1 - x0)}" height="{_n(y1 - y0)}" rx="4"/>'
            )
            continue
        fill = f' style="fill:{escape(area.tint)}"' if re.fullmatch(r"#[0-9a-fA-F]{6}", area.tint) else ""
        rings = "".join("M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in ring[:-1]) + "Z" for ring in area.rings)
        parts = quoteattr(" ".join(area.parts))
        out.append(
            f'<path class="area shade-{area.shade}" fill-rule="evenodd" data-parts={parts} d="{rings}"{fill}/>'
        )
        if area.leader:
            sx, sy, ex, ey = (_n(one) for one in area.leader)
            out.append(f'<path class="leader" d="M{sx} {sy}L{ex} {ey}"/>')
    out.append('</g><g class="nets">')
    nets = {wire.net for wire in page.wires} | {mark.net for mark in page.marks}
    nets |= {lead.net for symbol in page.symbols for lead in symbol.shape.leads}
    out.extend(_net(drawing, page, net) for net in sorted(nets))
    out.append('</g><g class="parts">')
    out.extend(_part(drawing, page, symbol) for symbol in page.symbols)
    out.append("</g>")
    out.extend(
        _text(label)
        for label in page.labels
        if label.role in ("caption", "repeat", "table", "table-head", "note")
    )
    return "".join(out)


def _lit(drawing: Drawing, name: str, chosen: frozenset[str]) -> str:
    options = drawing.options
    if not (options.highlight_nets or options.highlight_parts):
        return ""
    return " lit" if name in chosen else " dim"


def _net(drawing: Drawing, page: Sheet, net: str) -> str:
    role = next((m.role for m in page.marks if m.net == net and m.role != "label"), "signal")
    way = drawing.options.highlight_way and net in drawing.lit_nets
    lit = "" if way else _lit(drawing, net, drawing.lit_nets)
    volts = f' data-voltage="{drawing.voltages[net]:.6g}"' if net in drawing.voltages else ""
    ramp = _ramp(drawing, net)
    out = [
        f'<g id={quoteattr(_ident("net-", net))} class="net-group {role}{lit}" data-net={quoteattr(net)}{volts}>'
    ]
    told = drawing.voltage_text(net)
    said = f" at {told}" if told else ""
    out.append(f"<title>{escape('net ' + net + said)}</title>")
    wires = [w for w in page.wires if w.net == net]
    marks = [mark for mark in page.marks if mark.net == net]
    labels = [label for label in page.labels if label.owner == net and label.role in ("net", "voltage")]
    body = _wire_path([((w.x0, w.y0), (w.x1, w.y1)) for w in wires], ramp)
    body += "".join(
        f'<circle class="dot" cx="{_n(j.x)}" cy="{_n(j.y)}" r="2.3"/>' for j in page.junctions if j.net == net
    )
    if way:
        pieces, bright = stretch_of(wires, marks, _lit_pins(drawing, page, net))
        body += "".join(_mark(mark) for mark in marks if mark not in bright)
        body = f'<g class="dim">{body}</g><g class="lit">{_wire_path(pieces, ramp)}'
        body += "".join(_mark(mark) for mark in bright) + "</g>"
        for label in labels:
            near = any(abs(label.x - mark.x) <= 2 and abs(label.y - mark.y) <= 2 for mark in bright)
            body += _text(label) if near or label.role == "voltage" else f'<g class="dim">{_text(label)}</g>'
    else:
        body += "".join(_mark(mark) for mark in marks) + "".join(_text(label) for label in labels)
    out.append(body + "</g>")
    return "".join(out)


def _wire_path(pieces: Sequence[tuple[tuple[int, int], tuple[int, int]]], ramp: str) -> str:
    path = "".join(f"M{_n(a[0])} {_n(a[1])}L{_n(b[0])} {_n(b[1])}" for a, b in pieces)
    return f'<path class="wire"{ramp} d="{path}"/>' if path else ""


def _lit_pins(drawing: Drawing, page: Sheet, net: str) -> list[tuple[int, int]]:
    """Pins of the parts that stand out, on one net."""
    return [
        (symbol.x + lead.x, symbol.y + lead.y)
        for symbol in page.symbols
        if symbol.reference in drawing.lit_parts
        for lead in symbol.shape.leads
        if lead.net == net
    ]


def _ramp(drawing: Drawing, net: str) -> str:
    """Colour by voltage from slate over teal to brick, when asked for."""
    if not drawing.options.voltage_ramp or net not in drawing.voltages:
        return ""
    low, high = min(drawing.voltages.values()), max(drawing.voltages.values())
    share = (drawing.voltages[net] - low) / (high - low) if high > low else 0.0
    stops = ((0x4A, 0x5A, 0x6A), (0x1F, 0x8A, 0x8A), (0xC8, 0x84, 0x1A), (0xA8, 0x41, 0x2F))
    place = min(int(share * 3), 2)
    rest = share * 3 - place
    rgb = [round(a + (b - a) * rest) for a, b in zip(stops[place], stops[place + 1], strict=True)]
    return f' style="stroke:#{rgb[0]:02x}{rgb[1]:02x}{rgb[2]:02x}"'


def _mark(mark: RailMark) -> str:
    x, y = mark.x, mark.y
    if mark.role == "ground":
        d = (
            f"M{_n(x)} {_n(y)}V{_n(y + 0.6)}M{_n(x - 0.75)} {_n(y + 0.6)}H{_n(x + 0.75)}"
            f"M{_n(x - 0.47)} {_n(y + 0.88)}H{_n(x + 0.47)}M{_n(x - 0.19)} {_n(y + 1.16)}H{_n(x + 0.19)}"
        )
    elif mark.role == "supply":
        d = f"M{_n(x)} {_n(y)}V{_n(y - 0.8)}M{_n(x - 0.75)} {_n(y - 0.8)}H{_n(x + 0.75)}"
    else:
        d = f"M{_n(x)} {_n(y)}L{_n(x + 0.7 * mark.dx)} {_n(y + 0.7 * mark.dy)}"
    return f'<path class="stroke mark" d="{d}"/>'


def _part(drawing: Drawing, page: Sheet, symbol: Symbol) -> str:
    part = drawing.circuit.part(symbol.reference)
    kind = kind_of(part)
    lit = _lit(drawing, symbol.reference, drawing.lit_parts)
    value = value_text(part)
    said = (
        f"{part.reference}: {kind.title}"
        + (f", {value}" if value else "")
        + (f"; no part, stands for {stood_for(part)}" if part.stands_for else "")
        + (f"; {part.does}" if part.does else "")
    )
    look = " stand-in" if part.stands_for else ""
    amps = drawing.currents.get(symbol.reference)
    data = f' data-current="{amps:.6g}"' if amps is not None else ""
    out = [
        f'<g id={quoteattr(_ident("part-", part.reference))} class="part{look}{lit}" data-part={quoteattr(part.reference)} '
        f"data-kind={quoteattr(part.kind)}{data}><title>{escape(said)}</title>"
        f'<g transform="translate({_n(symbol.x)} {_n(symbol.y)})">'
    ]
    out.extend(_stroke(stroke) for stroke in turned_strokes(symbol.outline, symbol.shape.turn))
    out.append("</g>")
    out.extend(
        _text(label)
        for label in page.labels
        if label.role in ("reference", "value", "pin", "current")
        and label.owner.split(".")[0] == symbol.reference
    )
    out.append("</g>")
    return "".join(out)  # fmt: skip


def _stroke(stroke: Stroke) -> str:
    if isinstance(stroke, Circle):
        look = "stroke solid" if stroke.filled else "stroke face"
        return f'<circle class="{look}" cx="{_n(stroke.centre[0])}" cy="{_n(stroke.centre[1])}" r="{_n(stroke.radius)}"/>'
    if isinstance(stroke, Letters):
        x, y = stroke.centre
        return (
            f'<text class="inside" x="{_n(x)}" y="{_n(y + 0.36 * stroke.size)}" text-anchor="middle" '
            f'font-size="{_n(stroke.size)}">{escape(stroke.text)}</text>'
        )
    assert isinstance(stroke, Polyline)
    points = "L".join(f"{_n(x)} {_n(y)}" for x, y in stroke.points)
    if stroke.closed:
        return f'<path class="stroke {"solid" if stroke.filled else "face"}" d="M{points}Z"/>'
    return f'<path class="stroke" d="M{points}"/>'


def _text(label: Label) -> str:
    anchor = "" if label.anchor == "start" else f' text-anchor="{label.anchor}"'
    return (
        f'<text class="{label.role}" x="{_n(label.x)}" y="{_n(label.y + 0.36 * label.size)}"{anchor} '
        f'font-size="{_n(label.size)}">{escape(label.text)}</text>'
    )
