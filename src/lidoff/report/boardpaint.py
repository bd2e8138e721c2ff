"""A board painted in millimetres: its photo, its copper, its parts with call-outs, and one net lit up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from lidoff.fonts import text_width
from lidoff.report.boards import BoardView
from lidoff.report.paint import Paint, lines_of

if TYPE_CHECKING:
    from lidoff.board import Island, PlacedPart

__all__ = [
    "FOUND",
    "CallOut",
    "board_ground",
    "call_outs",
    "copper_path",
    "filled",
    "lines_beside",
    "outline_path",
    "part_box",
    "part_outline",
    "spread",
    "widest",
    "words_beside",
]

FOUND = "#1f8a8a"
"""Found copper over a photo."""
BARE = "#cfd8c4"
"""Ground of a board without a photo."""
MOST_LINES = 4
"""Lines of a call-out where there is room; the words that are left out stand in the list of parts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CallOut:
    """A word beside a board, with a line to what it names.

    Attributes
    ----------
    text : str
    part : str
        Reference that it names.
    x, y : float
        Where the line meets the part [mm].
    """

    text: str
    part: str
    x: float
    y: float


def ring(points: Iterable[tuple[float, float]]) -> str:
    """Closed outline as SVG path data."""
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points) + "Z"


def outline_path(view: BoardView) -> str:
    """Outline of a board with its openings, as SVG path data [mm]."""
    return "".join(ring(points) for points in (view.board.outline, *view.board.cutouts))


def copper_path(islands: Iterable[Island]) -> str:
    """Pieces of copper as SVG path data [mm], to be filled by the even-odd rule."""
    return "".join(ring(points) for one in islands for points in (one.shell, *one.openings))


def filled(data: str, colour: str, strength: float, more: str = "") -> str:
    """Path filled with a colour, its openings kept clear; SVG element."""
    return f'<path d="{data}" style="fill:{colour};fill-opacity:{strength:g};fill-rule:evenodd{more}"/>'


def board_ground(view: BoardView, side: str, *, grey: bool = False) -> str:
    """Photo of a side, or the laminate with its copper where there is none; SVG elements [mm]."""
    width, height = view.board.size
    picture = view.pictures.get(side)
    if picture is not None:
        data = picture.grey if grey else picture.data
        return (
            f'<image x="0" y="0" width="{width:.2f}" height="{height:.2f}" preserveAspectRatio="none" '
            f"href={quoteattr(data)}/>"
        )
    copper = [island for one in view.board.sides if one.side == side for island in one.copper]
    tint = "#d9d9d2" if grey else BARE
    shine = "#bdbdb4" if grey else "#b99a5b"
    return (
        f'<path d="{outline_path(view)}" style="fill:{tint};fill-rule:evenodd"/>'
        f'<path d="{copper_path(copper)}" style="fill:{shine};fill-rule:evenodd"/>'
    )


def part_box(part: PlacedPart) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a part's lands [mm]."""
    if not part.pads:
        x, y = part.at
        return x - 0.5, y - 0.5, x + 0.5, y + 0.5
    reach = [(pad.at, max(pad.size) / 2) for pad in part.pads]
    return (
        min(at[0] - half for at, half in reach),
        min(at[1] - half for at, half in reach),
        max(at[0] + half for at, half in reach),
        max(at[1] + half for at, half in reach),
    )


def part_outline(part: PlacedPart, paint: Paint, width: float, *, extra: str = "") -> str:
    """Frame round a part's lands; SVG element [mm]."""
    left, top, right, bottom = part_box(part)
    return (
        f'<rect x="{left:.2f}" y="{top:.2f}" width="{right - left:.2f}" height="{bottom - top:.2f}" rx="0.3" '
        f'style="fill:none;stroke:{paint.accent};stroke-width:{width:.3f}" {extra}/>'
    )


def call_outs(view: BoardView, side: str, words: dict[str, str], most: int) -> tuple[CallOut, ...]:
    """Call-outs for the parts of a side, the largest first where there are more than so many.

    Parameters
    ----------
    view : BoardView
    side : str
    words : dict of str to str
        What to say, by reference; parts that it does not name are not called out.
    most : int

    Returns
    -------
    tuple of CallOut
        From top to bottom.
    """
    parts = [part for part in view.board.parts if part.side == side and part.reference in words]

    def area(part: PlacedPart) -> float:
        left, top, right, bottom = part_box(part)
        return (right - left) * (bottom - top)

    largest = sorted(parts, key=lambda part: (-area(part), part.reference))[:most]
    outs = [
        CallOut(text=words[part.reference], part=part.reference, x=part.at[0], y=part.at[1])
        for part in largest
    ]
    return tuple(sorted(outs, key=lambda out: (out.y, out.x)))


def spread(wanted: Sequence[float], step: float | Sequence[float], low: float, high: float) -> list[float]:
    """Heights near those wanted, in order, within the limits and a step apart where they fit; one step for all or for each."""
    if not wanted:
        return []
    steps = [step] * (len(wanted) - 1) if isinstance(step, float | int) else list(step)
    fits = min(1.0, (high - low) / sum(steps)) if sum(steps) > 0.0 else 1.0
    steps = [fits * one for one in steps]
    placed = [max(wanted[0], low)]
    for height, one in zip(wanted[1:], steps, strict=True):
        placed.append(max(height, placed[-1] + one))
    if placed[-1] > high:
        placed[-1] = high
        for number in range(len(placed) - 2, -1, -1):
            placed[number] = min(placed[number], placed[number + 1] - steps[number])
    return placed


def words_beside(outs: Sequence[CallOut], room: float, height: float, size: float) -> list[list[str]]:
    """Words of call-outs broken into lines: as many lines as all of them have room for in the height, two at least."""
    for most in range(MOST_LINES, 2, -1):
        lines = [lines_of(out.text, room, size, most=most) for out in outs]
        if sum(1.2 * len(one) + 0.3 for one in lines) * size <= height:
            return lines
    return [lines_of(out.text, room, size, most=2) for out in outs]


def lines_beside(
    outs: Sequence[CallOut],
    words: Sequence[Sequence[str]],
    heights: Sequence[float],
    x: float,
    size: float,
    paint: Paint,
    *,
    left: bool,
) -> list[str]:
    """Call-outs as SVG elements in the still's own pixels: their words at x, their lines end at the part."""
    parts: list[str] = []
    for out, lines, height in zip(outs, words, heights, strict=True):
        edge = x + 14.0 if left else x - 14.0
        bend = edge + (26.0 if left else -26.0)
        parts.append(
            f'<path d="M{edge:.1f} {height:.1f}L{bend:.1f} {height:.1f}L{out.x:.1f} {out.y:.1f}" '
            f'style="fill:none;stroke:{paint.ground};stroke-width:6"/>'
            f'<path d="M{edge:.1f} {height:.1f}L{bend:.1f} {height:.1f}L{out.x:.1f} {out.y:.1f}" '
            f'style="fill:none;stroke:{paint.accent};stroke-width:2.6"/>'
            f'<circle cx="{out.x:.1f}" cy="{out.y:.1f}" r="7" '
            f'style="fill:{paint.accent};stroke:{paint.ground};stroke-width:3"/>'
        )
        where = ' text-anchor="end"' if left else ""
        for number, said in enumerate(lines):
            reference, _, rest = said.partition(" ")
            if number == 0:
                bold = f'<tspan font-weight="600">{escape(reference)}</tspan>'
                inside = f"{bold} {escape(rest)}" if rest else bold
            else:
                inside = escape(said)
            y = height + 0.35 * size + (number - (len(lines) - 1) / 2) * 1.2 * size
            parts.append(
                f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}"{where} style="fill:{paint.ink}">{inside}</text>'
            )
    return parts


def widest(texts: Iterable[str], size: float) -> float:
    """Width of the widest of some lines [px]."""
    return max((text_width(text, size) for text in texts), default=0.0)
