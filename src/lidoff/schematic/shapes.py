"""A part's symbol in each way it may be turned: where its pins end, what it covers, what room its text needs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Part
from lidoff.circuit.outlines import (
    RESISTOR,
    RESISTOR_ZIGZAG,
    Letters,
    Outline,
    Polyline,
    Stroke,
)
from lidoff.fonts import text_width

__all__ = [
    "PIN_TEXT",
    "TEXT",
    "Lead",
    "Rect",
    "Shape",
    "Turn",
    "outline_of",
    "pin_label",
    "pin_role",
    "shape_of",
    "turned_strokes",
]

TEXT = 1.0
"""Size of references and values, in grid steps."""
PIN_TEXT = 0.82
"""Size of pin names inside boxes, in grid steps."""

Rect = tuple[int, int, int, int]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Turn:
    """How a symbol is turned: mirrored left to right first, then turned clockwise by quarters."""

    quarters: int = 0
    mirrored: bool = False

    def point(self, x: float, y: float) -> Point:
        """Where a point of the outline comes to lie."""
        if self.mirrored:
            x = -x
        for _ in range(self.quarters % 4):
            x, y = -y, x
        return (x, y)

    @property
    def lying(self) -> bool:
        """Whether an upright symbol lies on its side."""
        return self.quarters % 2 == 1


@dataclass(frozen=True, slots=True)
class Lead:
    """A pin of a turned symbol: its end and the way a wire leaves it."""

    pin: str
    net: str
    x: int
    y: int
    dx: int
    dy: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """One part in one turn, round its own origin.

    Attributes
    ----------
    reference : str
        Of the part.
    turn : Turn
        How the outline is turned.
    leads : tuple of Lead
        Pins.
    body : (left, top, right, bottom)
        Grid points that no wire may pass, pin ends apart.
    text : (left, top, right, bottom)
        Room for reference and value beside it.
    """

    reference: str
    turn: Turn
    leads: tuple[Lead, ...]
    body: Rect
    text: Rect

    @property
    def room(self) -> Rect:
        """Body and text together."""
        a, b = self.body, self.text
        return (min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3]))


def outline_of(
    part: Part, *, zigzag: bool = False, pin_order: Mapping[str, Sequence[str]] | None = None
) -> Outline:
    """Outline of a part, a box drawn to its pins where the kind has none of its own.

    Parameters
    ----------
    part : Part
        Of any kind.
    zigzag : bool
        Whether resistors are drawn after IEEE 315.
    pin_order : mapping of str to sequence of str, optional
        For boxes: pins of each side, ``left``, ``right``, ``top`` and ``bottom``.

    Returns
    -------
    Outline
        With every pin of the part.
    """  # fmt: skip
    outline = kind_of(part).outline
    if outline.pins and set(part.pins) <= set(outline.pins):
        if zigzag and outline.name == RESISTOR.name:
            return replace(RESISTOR_ZIGZAG, pins=outline.pins)
        return outline
    return _box(part, pin_order or box_sides(part))


USUAL_ROLES: Mapping[str, str] = {
    "adjust": "programming", "battery": "output", "charged": "output", "charging": "output", "control": "programming",
    "discharge": "input", "enable": "input", "feedback": "input", "gnd": "ground", "ground": "ground", "input": "input",
    "output": "output", "program": "programming", "reset": "input", "supply": "supply", "switching": "output",
    "threshold": "input", "trigger": "input", "vcc": "supply", "vdd": "supply", "vss": "ground",
}  # fmt: skip
"""Roles of pins by their usual names, where the part tells none."""


def pin_role(part: Part, pin: str) -> str:
    """Role of a pin: as told, or else by its usual name; empty if neither says."""
    told: str = part.pin_roles.get(pin, "")
    return told or USUAL_ROLES.get(pin.lower(), "")


def box_sides(part: Part) -> dict[str, list[str]]:
    """Pins of each side of a box by their roles: supply top, ground and programming below, inputs left, outputs right."""
    sides: dict[str, list[str]] = {"left": [], "right": [], "top": [], "bottom": []}
    if kind_of(part).name == "connector":
        return {"left": [], "right": list(part.pins), "top": [], "bottom": []}
    loose: list[str] = []
    for pin in part.pins:
        role = pin_role(part, pin)
        side = {
            "supply": "top",
            "ground": "bottom",
            "input": "left",
            "output": "right",
            "programming": "bottom",
        }.get(role)
        if side:
            sides[side].append(pin)
        else:
            loose.append(pin)
    for pin in loose:
        side = "left" if len(sides["left"]) <= len(sides["right"]) else "right"
        sides[side].append(pin)
    return sides  # fmt: skip


def pin_label(part: Part, pin: str) -> str:
    """What stands beside a pin of a box."""
    return part.pin_names.get(pin, pin)


def _box(part: Part, sides: Mapping[str, Sequence[str]]) -> Outline:
    def widest(pins: Sequence[str]) -> float:
        return max((text_width(pin_label(part, pin), PIN_TEXT) for pin in pins), default=0.0)

    left, right, top, bottom = (list(sides.get(s, ())) for s in ("left", "right", "top", "bottom"))
    spacing = max(4, math.ceil((widest([*top, *bottom]) + 0.8) / 2) * 2)
    across = max(len(top), len(bottom))
    title = max(text_width(part.reference, TEXT, bold=True), text_width(part.marking, PIN_TEXT))
    half_width = max(
        3.0,
        (spacing * (across - 1) + widest([*top, *bottom])) / 2 + 0.6,
        (widest(left) + widest(right) + 1.2 + (title if left and right else 0.0)) / 2,
        (title + widest(left) + widest(right)) / 2 + 0.6,
    )
    half_width = math.ceil(half_width)
    rows = max(len(left), len(right), 1)
    # pin names on top and bottom edges need a line of their own inside the box
    above, below = (2 if top else 1), (2 if bottom else 1)
    height = above + below + 2 * (rows - 1)
    if height % 2:
        height += 1
    height = max(height, 4 if not (top and bottom) else 6)
    half_height = height // 2
    pins: dict[str, Point] = {}

    def column(names: Sequence[str], x: float) -> None:
        start = (
            -half_height + above
            if len(names) == rows and rows > 1
            else -(len(names) - 1) + (above - below) // 2
        )
        start = max(start, -half_height + above) if len(names) > 1 else start
        for row, pin in enumerate(names):
            pins[pin] = (x, float(start + 2 * row))

    def line(names: Sequence[str], y: float) -> None:
        start = -(spacing * (len(names) - 1)) // 2
        for place, pin in enumerate(names):
            pins[pin] = (float(start + spacing * place), y)

    column(left, -half_width - 1.0)
    column(right, half_width + 1.0)
    line(top, -half_height - 1.0)
    line(bottom, half_height + 1.0)
    strokes: list[Stroke] = [
        Polyline(
            points=(
                (-half_width, -half_height),
                (half_width, -half_height),
                (half_width, half_height),
                (-half_width, half_height),
            ),
            closed=True,
        )
    ]
    for x, y in pins.values():
        inner = (max(-half_width, min(half_width, x)), max(-half_height, min(half_height, y)))
        strokes.append(Polyline(points=((x, y), inner)))
    return Outline(
        name="box",
        pins={pin: pins[pin] for pin in part.pins},
        strokes=tuple(strokes),
        extent=(-half_width, -half_height, half_width, half_height),
    )


def _exit(outline: Outline, x: float, y: float) -> tuple[int, int]:
    """Way out of the symbol at a pin: the way its lead runs."""
    for stroke in outline.strokes:
        if isinstance(stroke, Polyline) and not stroke.closed and len(stroke.points) > 1:
            for tip, inner in (stroke.points[:2], stroke.points[:-3:-1]):
                if tip == (x, y):
                    dx, dy = tip[0] - inner[0], tip[1] - inner[1]
                    return (round(dx / abs(dx)), 0) if abs(dx) > abs(dy) else (0, round(dy / abs(dy)))
    raise AssertionError(f"{outline.name}: no lead ends at ({x}, {y})")


def shape_of(part: Part, outline: Outline, turn: Turn, text: Sequence[str]) -> Shape:
    """Shape of a part in one turn.

    Parameters
    ----------
    part : Part
        Whose pins are on nets.
    outline : Outline
        From `outline_of`.
    turn : Turn
        How it is turned.
    text : sequence of str
        Lines that stand beside it.

    Returns
    -------
    Shape
        Round the outline's origin.
    """
    leads = []
    for pin, net in part.pins.items():
        x, y = outline.pins[pin]
        px, py = turn.point(x, y)
        dx, dy = turn.point(*_exit(outline, x, y))
        leads.append(Lead(pin, net, round(px), round(py), round(dx), round(dy)))
    left, top, right, bottom = outline.extent
    corners = [turn.point(x, y) for x in (left, right) for y in (top, bottom)]
    x0, x1 = min(c[0] for c in corners), max(c[0] for c in corners)
    y0, y1 = min(c[1] for c in corners), max(c[1] for c in corners)
    # a side on which pins end is only leads: wires may come up to the pins from there
    ends = [turn.point(*outline.pins[pin]) for pin in part.pins]
    body = (
        round(x0) + 1 if any(x == x0 for x, _ in ends) else math.floor(x0 + 0.4),
        round(y0) + 1 if any(y == y0 for _, y in ends) else math.floor(y0 + 0.4),
        round(x1) - 1 if any(x == x1 for x, _ in ends) else math.ceil(x1 - 0.4),
        round(y1) - 1 if any(y == y1 for _, y in ends) else math.ceil(y1 - 0.4),
    )
    width = max((text_width(line, TEXT) for line in text), default=0.0)
    if outline.name == "box":
        room = body
    elif turn.lying and len(part.pins) == 2:
        half = max(2, math.ceil(width / 2))
        room = (-half, body[1] - 1, half, body[3] + 1)
    else:
        lines = len(text)
        room = (body[2], -1, math.ceil(x1 + 0.4 + width), 1) if lines else body
    return Shape(reference=part.reference, turn=turn, leads=tuple(leads), body=body, text=room)


def turned_strokes(outline: Outline, turn: Turn) -> tuple[Stroke, ...]:
    """Strokes of an outline in its turn; letters move but stay upright."""
    turned: list[Stroke] = []
    for stroke in outline.strokes:
        if isinstance(stroke, Polyline):
            turned.append(replace(stroke, points=tuple(turn.point(*p) for p in stroke.points)))
        elif isinstance(stroke, Letters):
            turned.append(replace(stroke, centre=turn.point(*stroke.centre)))
        else:
            turned.append(replace(stroke, centre=turn.point(*stroke.centre)))
    return tuple(turned)
