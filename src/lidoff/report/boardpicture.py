"""A side of a board for the report: its photo with every part framed and named, and copper that a page can light up."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from lidoff.fonts import FAMILY, text_width
from lidoff.report.boardpaint import FOUND, board_ground, copper_path, outline_path, part_box
from lidoff.report.boards import BoardView
from lidoff.report.model import Picture
from lidoff.report.words import clean

if TYPE_CHECKING:
    from lidoff.board import PlacedPart

__all__ = ["side_picture"]

WIDE = 724.0
TALLEST = 620.0
NAME = 12.0
"""Height of a reference [px]."""
FRAME = "#c8841a"
DARK = "#1d2433"
LIGHT = "#faf7f0"
"""Colours over a photo, which is neither light nor dark with the page."""


def side_picture(view: BoardView, side: str) -> Picture:
    """Picture of one side as seen by whoever looks at it.

    Parameters
    ----------
    view : BoardView
    side : str
        ``front`` or ``back``.

    Returns
    -------
    Picture
        Parts and copper bear the names by which a page lights them up.
    """
    width, height = view.board.size
    factor = min(WIDE / width, TALLEST / height)
    turned = f"translate({width * factor:.2f} 0) scale({-factor:.5f} {factor:.5f})"
    placing = turned if side == "back" else f"scale({factor:.5f})"
    parts = [part for part in view.board.parts if part.side == side]
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width * factor:.1f} {height * factor:.1f}" '
        f'width="{width * factor:.1f}" height="{height * factor:.1f}" font-family="{FAMILY}, sans-serif" class="board">'
        f'<g transform="{placing}">{board_ground(view, side)}{_copper(view, side)}'
        f'<path d="{outline_path(view)}" style="fill:none;stroke:{DARK};stroke-width:{1.2 / factor:.3f}"/></g>'
        f"{''.join(_framed(part, width, factor, mirrored=side == 'back') for part in parts)}</svg>"
    )
    return Picture(wide=svg, paper=svg, width=width * factor, height=height * factor)


def _copper(view: BoardView, side: str) -> str:
    """Copper of each net on a side, unseen until it is lit."""
    own = {id(island) for one in view.board.sides if one.side == side for island in one.copper}
    drawn = []
    for net, islands in sorted(view.nets.items()):
        here = [island for island in islands if id(island) in own]
        if here:
            drawn.append(
                f'<path class="copper" data-net={quoteattr(clean(net))} d="{copper_path(here)}" '
                f'style="fill:{FOUND};fill-opacity:0;fill-rule:evenodd"><title>net {escape(clean(net))}</title></path>'
            )
    return "".join(drawn)


def _framed(part: PlacedPart, width: float, factor: float, *, mirrored: bool) -> str:
    """A part's frame with its reference beside it."""
    left, top, right, bottom = part_box(part)
    if mirrored:
        left, right = width - right, width - left
    x, y, wide, high = left * factor, top * factor, (right - left) * factor, (bottom - top) * factor
    said = clean(part.reference)
    inside = wide >= text_width(said, NAME, bold=True) + 8.0 and high >= NAME + 8.0
    middle = x + wide / 2
    base = y + high / 2 + 0.36 * NAME if inside else (y - 4.0 if y > NAME + 6.0 else y + high + NAME)
    return (
        f'<g data-part={quoteattr(said)} class="framed"><title>{escape(said)}</title>'
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}" rx="2" '
        f'style="fill:{FRAME};fill-opacity:0;stroke:{FRAME};stroke-width:1.6"/>'
        f'<text x="{middle:.1f}" y="{base:.1f}" font-size="{NAME:g}" font-weight="600" text-anchor="middle" '
        f'style="fill:none;stroke:{DARK};stroke-width:3;stroke-linejoin:round">{escape(said)}</text>'
        f'<text x="{middle:.1f}" y="{base:.1f}" font-size="{NAME:g}" font-weight="600" text-anchor="middle" '
        f'style="fill:{LIGHT}">{escape(said)}</text></g>'
    )
