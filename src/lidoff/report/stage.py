"""The frame of a still: its size, its colours, where the picture stands, and the caption and foot round it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from lidoff.fonts import text_width
from lidoff.report.paint import STILL_DARK, STILL_LIGHT, Paint, figure_svg, line, lines_of, text

__all__ = ["SHAPES", "Room", "Stage", "framed", "nested", "placed", "stage_of"]

Shape = Literal["wide", "tall"]
SHAPES: dict[Shape, tuple[float, float]] = {"wide": (1920.0, 1080.0), "tall": (1080.0, 1920.0)}
"""Width and height of a still before it is enlarged [px]."""
CAPTION = 52.0
BODY = 38.0
SMALL = 31.0
"""Heights of type [px]. On a phone held sideways, 844 px wide, the smallest is 13.6 px high."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A rectangle on a still [px].

    Attributes
    ----------
    left, top, right, bottom : float
        Its edges.
    """

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """From left to right [px]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From top to bottom [px]."""
        return self.bottom - self.top


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """What a still is painted on.

    Attributes
    ----------
    shape : {"wide", "tall"}
    width, height : float
        Before it is enlarged [px].
    paint : Paint
        Its colours.
    theme : str
        The matching theme of schematics.
    clear : bool
        Whether the ground is left out, so that the still can lie over a moving picture.
    """

    shape: Shape
    width: float
    height: float
    paint: Paint
    theme: str
    clear: bool = False

    @property
    def margin(self) -> float:
        """Free edge at the left and right [px]."""
        return 96.0 if self.shape == "wide" else 64.0

    def room(self, caption: str) -> Room:
        """Room that the caption and the foot leave for the picture."""
        lines = len(self.caption_lines(caption))
        top = 92.0 + lines * CAPTION * 1.25 + 34.0
        foot = 112.0 if self.shape == "wide" else 156.0
        return Room(left=self.margin, top=top, right=self.width - self.margin, bottom=self.height - foot)

    def caption_lines(self, caption: str) -> list[str]:
        """Caption broken into lines."""
        most = 2 if self.shape == "wide" else 4
        kept = caption.replace(" ±", "\N{NO-BREAK SPACE}±")  # a line must not begin with an uncertainty
        return lines_of(kept, self.width - 2 * self.margin, CAPTION, most=most, strong=True)


def stage_of(shape: Shape, *, dark: bool = False, clear: bool = False) -> Stage:
    """Stage of a shape.

    Parameters
    ----------
    shape : {"wide", "tall"}
        Lying or standing.
    dark : bool, optional
        Light ink on a dark ground.
    clear : bool, optional
        Without a ground.

    Returns
    -------
    Stage
    """
    width, height = SHAPES[shape]
    paint = STILL_DARK if dark else STILL_LIGHT
    return Stage(
        shape=shape,
        width=width,
        height=height,
        paint=replace(paint, ground="none") if clear else paint,
        theme="dark" if dark else "light",
        clear=clear,
    )


def framed(stage: Stage, caption: str, body: str, *, foot: str, aside: str = "") -> str:
    """Whole still as an SVG document.

    Parameters
    ----------
    stage : Stage
    caption : str
        Above the picture.
    body : str
        SVG elements of the picture.
    foot : str
        Below at the left.
    aside : str, optional
        Below at the right, such as what a ± means.

    Returns
    -------
    str
    """
    paint = stage.paint
    parts = []
    if not stage.clear:
        ground = f'width="{stage.width:g}" height="{stage.height:g}" style="fill:{paint.ground}"'
        parts.append(f"<rect {ground}/>")
    if caption:
        parts.append(
            line(stage.margin + 3, 72, stage.margin + 75, 72, colour=paint.accent, width=6.0),
        )
        for number, said in enumerate(stage.caption_lines(caption)):
            y = 92.0 + CAPTION * (1.0 + 1.25 * number)
            parts.append(text(said, stage.margin, y, colour=paint.ink, size=CAPTION, strong=True))
    parts.append(body)
    y = stage.height - 48.0
    room = stage.width - 2 * stage.margin
    wide = stage.shape == "wide"
    beside = text_width(aside, SMALL) + 48.0 if aside and wide else 0.0
    parts.extend(
        text(said, stage.margin, y, colour=paint.quiet, size=SMALL)
        for said in lines_of(foot, room - beside, SMALL, most=1)
    )
    if aside and wide:
        parts.append(text(aside, stage.width - stage.margin, y, colour=paint.quiet, size=SMALL, anchor="end"))
    elif aside:
        parts.append(text(aside, stage.margin, y - 1.4 * SMALL, colour=paint.quiet, size=SMALL))
    return figure_svg(parts, stage.width, stage.height)


def nested(svg: str, room: Room, width: float, height: float, *, most: float = 3.2) -> str:
    """SVG of a chart, enlarged to fill the room and centred in it.

    Parameters
    ----------
    svg : str
        Element with a ``viewBox``, made by `figure_svg`.
    room : Room
        Where it is to stand.
    width, height : float
        Its natural size [px].
    most : float, optional
        Largest factor.

    Returns
    -------
    str
    """
    factor = min(room.width / width, room.height / height, most)
    w, h = width * factor, height * factor
    left = room.left + (room.width - w) / 2
    top = room.top + (room.height - h) / 2
    return placed(svg, left, top, w, h)


def placed(svg: str, left: float, top: float, width: float, height: float) -> str:
    """SVG element put at a place in another."""
    head, rest = svg.split(">", 1)
    kept = [one for one in _attributes(head) if one.partition("=")[0] not in ("width", "height", "x", "y")]
    return (
        f'<svg x="{left:.2f}" y="{top:.2f}" width="{width:.2f}" height="{height:.2f}" {" ".join(kept)}>{rest}'
    )


def _attributes(head: str) -> Sequence[str]:
    """Attributes of an opening tag, each with its value."""
    import re

    return re.findall(r'[\w:-]+="[^"]*"', head)
