"""A finished drawing as frozen data, in grid steps: symbols, wires, dots, rail marks and text, each with what it stands for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from lidoff.circuit.netlist import Circuit
from lidoff.circuit.outlines import Outline
from lidoff.schematic.options import DrawingOptions
from lidoff.schematic.shapes import Rect, Shape
from lidoff.schematic.text import voltage_text

__all__ = ["Area", "Drawing", "Junction", "Label", "RailMark", "Repeat", "Sheet", "Symbol", "Wire"]

Point = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Symbol:
    """One part on the page.

    Attributes
    ----------
    shape : Shape
        In its turn, round its origin.
    outline : Outline
        Unturned.
    x, y : int
        Origin.
    repeats : int
        Number of equal parts that it stands for.
    """

    shape: Shape
    outline: Outline
    x: int
    y: int
    repeats: int = 1

    @property
    def reference(self) -> str:
        """Reference designator."""
        return self.shape.reference

    @property
    def body(self) -> Rect:
        """Covered grid points on the page."""
        a = self.shape.body
        return (a[0] + self.x, a[1] + self.y, a[2] + self.x, a[3] + self.y)

    @property
    def strokes(self) -> tuple[float, float, float, float]:
        """What its strokes cover on the page, its leads apart."""
        left, top, right, bottom = self.outline.extent
        corners = [self.shape.turn.point(x, y) for x in (left, right) for y in (top, bottom)]
        ends = {(lead.x, lead.y) for lead in self.shape.leads}
        x0, x1 = min(x for x, _ in corners), max(x for x, _ in corners)
        y0, y1 = min(y for _, y in corners), max(y for _, y in corners)
        x0 += any(x == x0 for x, _ in ends)
        x1 -= any(x == x1 for x, _ in ends)
        y0 += any(y == y0 for _, y in ends)
        y1 -= any(y == y1 for _, y in ends)
        return (self.x + x0, self.y + y0, self.x + x1, self.y + y1)


@dataclass(frozen=True, slots=True)
class Wire:
    """A straight stretch of wire of one net.

    Attributes
    ----------
    net : str
        Whose wire it is.
    x0, y0, x1, y1 : int
        Its ends.
    """

    net: str
    x0: int
    y0: int
    x1: int
    y1: int

    @property
    def length(self) -> int:
        """In grid steps."""
        return abs(self.x1 - self.x0) + abs(self.y1 - self.y0)


@dataclass(frozen=True, slots=True)
class Junction:
    """A dot where three or more wires of a net meet.

    Attributes
    ----------
    net : str
        Whose wires they are.
    x, y : int
        Where.
    """

    net: str
    x: int
    y: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RailMark:
    """A rail symbol, ground symbol or net label at the end of a wire.

    Attributes
    ----------
    net : str
        Named.
    role : str
        ``supply``, ``ground`` or ``label``.
    x, y : int
        Where its wire ends.
    dx, dy : int
        Way in which it points.
    plain : bool
        Whether the symbol alone tells the net, so that no name stands beside it.
    """

    net: str
    role: str
    x: int
    y: int
    dx: int
    dy: int
    plain: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A line of text.

    Attributes
    ----------
    text : str
        What it says.
    role : str
        ``reference``, ``value``, ``pin``, ``net``, ``voltage``, ``current``, ``caption``, ``repeat`` or ``note``.
    owner : str
        Reference or net that it belongs to.
    x, y : float
        Anchor; y is the middle of the line.
    anchor : str
        ``start``, ``middle`` or ``end``.
    size : float
        Height of the font in grid steps.
    box : (left, top, right, bottom)
        What it covers.
    """

    text: str
    role: str
    owner: str
    x: float
    y: float
    anchor: str
    size: float
    box: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """The ground behind a group of parts, or a dashed frame round a group that is drawn once for several.

    Attributes
    ----------
    caption, tint : str
        As told by the group; the number of repeats for a frame.
    box : (left, top, right, bottom)
        What it covers.
    parts : tuple of str
        References in it.
    frame : bool
        Whether it is a frame.
    rings : tuple of tuple of (x, y)
        Outline of a ground; it is filled by the even-odd rule.
    shade : int
        Which of the theme's tints a ground without a tint of its own has.
    leader : (x, y, x, y) or None
        Line from a caption that stands off to its ground.
    """

    caption: str
    tint: str
    box: tuple[float, float, float, float]
    parts: tuple[str, ...]
    frame: bool = False
    rings: tuple[tuple[tuple[float, float], ...], ...] = ()
    shade: int = 0
    leader: tuple[float, float, float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """A group that is drawn once and stands for several.

    Attributes
    ----------
    drawn : tuple of str
        References on the page.
    instances : tuple of tuple of str
        References of each group in the same order, the drawn one first.
    nets : tuple of mapping
        For each group, the shared part and pin that the drawn one hangs on, and the group's own pin.
    values : tuple of mapping
        For each group, values that differ from those drawn, by reference.
    series : bool
        Whether the parts stand in series; else the groups stand side by side.
    """

    drawn: tuple[str, ...]
    instances: tuple[tuple[str, ...], ...]
    nets: tuple[Mapping[str, str], ...] = ()
    values: tuple[Mapping[str, str], ...] = ()
    series: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One page of a drawing.

    Attributes
    ----------
    title : str
        Over it.
    symbols, wires, junctions, marks, labels, areas : tuples
        What is on it.
    box : (left, top, right, bottom)
        What it covers.
    """

    title: str
    symbols: tuple[Symbol, ...]
    wires: tuple[Wire, ...]
    junctions: tuple[Junction, ...]
    marks: tuple[RailMark, ...]
    labels: tuple[Label, ...]
    areas: tuple[Area, ...]
    box: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """The schematic of a circuit, on one sheet or several.

    Attributes
    ----------
    circuit : Circuit
        As it was given.
    shown : Circuit
        The parts that are drawn, after repeats were gathered.
    sheets : tuple of Sheet
        At least one.
    repeats : tuple of Repeat
        Groups that are drawn once.
    potential : mapping of str to float
        Voltage by which the page was laid out [V].
    voltages, currents : mapping of str to float
        Solved values, if a solution was given [V] [A].
    alternating : mapping of str to float
        Effective value of what alternates on a net round its voltage, where something does [V].
    options : DrawingOptions
        As they were given.
    """

    circuit: Circuit
    shown: Circuit
    sheets: tuple[Sheet, ...]
    repeats: tuple[Repeat, ...] = ()
    potential: Mapping[str, float] = field(default_factory=dict)
    voltages: Mapping[str, float] = field(default_factory=dict)
    currents: Mapping[str, float] = field(default_factory=dict)
    alternating: Mapping[str, float] = field(default_factory=dict)
    options: DrawingOptions = field(default_factory=DrawingOptions)

    def voltage_text(self, net: str) -> str:
        """Solved voltage of a net as it is written beside it; empty where none is known."""
        if net not in self.voltages:
            return ""
        return voltage_text(self.voltages[net], self.alternating.get(net, 0.0))

    @property
    def lit_parts(self) -> frozenset[str]:
        """Drawn parts that stand out: those asked for, or what is drawn for them."""
        drawn_for = self._drawn_for()
        return frozenset(drawn_for.get(name, name) for name in self.options.highlight_parts)

    @property
    def lit_nets(self) -> frozenset[str]:
        """Drawn nets that stand out: those asked for, or what is drawn for them."""
        lit = set(self.options.highlight_nets)
        for reference, drawn in self._drawn_for().items() if lit else ():
            pins = self.circuit.part(drawn).pins
            lit.update(
                pins[pin]
                for pin, net in self.circuit.part(reference).pins.items()
                if net in self.options.highlight_nets and pin in pins
            )
        return frozenset(lit)

    def _drawn_for(self) -> dict[str, str]:
        """For each part that is not drawn itself, the one that is drawn for it."""
        return {
            reference: drawn
            for repeat in self.repeats
            for instance in repeat.instances[1:]
            for reference, drawn in zip(instance, repeat.drawn, strict=True)
        }

    def to_svg(self, theme: str = "light", sheet: int | None = None) -> str:
        """SVG text of the drawing, all sheets under one another unless one is asked for.

        Parameters
        ----------
        theme : str
            ``light``, ``dark`` or ``print``.
        sheet : int, optional
            Number of the sheet, from zero.

        Returns
        -------
        str
            One SVG element with stable ids and data attributes for parts and nets.
        """
        from lidoff.schematic.svg import svg_text

        return svg_text(self, theme=theme, sheet=sheet)

    def _repr_svg_(self) -> str:
        """Picture in a notebook."""
        return self.to_svg()

    def to_pdf(self, path: Path, theme: str = "print") -> None:
        """Write the drawing as a PDF, a page a sheet."""
        from lidoff.schematic.export import write_pdf

        write_pdf(self, path, theme=theme)

    def to_png(self, path: Path, width: int = 1600, theme: str = "light", sheet: int | None = None) -> None:
        """Write the drawing as a PNG of the given width in pixels."""
        from lidoff.schematic.export import write_png

        write_png(self, path, width=width, theme=theme, sheet=sheet)
