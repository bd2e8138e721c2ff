"""The boards: both sides with call-outs, one seen through the other, and one copper net at a time."""

from __future__ import annotations

from functools import partial
from itertools import pairwise

from lidoff.report.boardpaint import (
    FOUND,
    CallOut,
    board_ground,
    call_outs,
    copper_path,
    filled,
    lines_beside,
    outline_path,
    part_outline,
    spread,
    widest,
    words_beside,
)
from lidoff.report.boards import BoardView
from lidoff.report.paint import fitted, text
from lidoff.report.scene import Scene, Still, Story
from lidoff.report.stage import SMALL, Room, Stage
from lidoff.report.words import counted, heading, joined, plain_name

__all__ = ["MEMBERS", "pins_that_fit"]

MOST_CALL_OUTS = 12
MOST_NETS = 8
"""Nets lit one by one where the dossier names none: those with the most pins."""


def _fit(view: BoardView, room: Room) -> tuple[float, float, float]:
    """Factor, left and top that put a board into a room."""
    width, height = view.board.size
    factor = min(room.width / width, room.height / height)
    left = room.left + (room.width - width * factor) / 2
    top = room.top + (room.height - height * factor) / 2
    return factor, left, top


def _placing(view: BoardView, room: Room, *, mirrored: bool) -> str:
    """Transformation from millimetres to the still's pixels; the back is turned to be seen from behind."""
    factor, left, top = _fit(view, room)
    if mirrored:
        return (
            f"translate({left + view.board.size[0] * factor:.3f} {top:.3f}) scale({-factor:.5f} {factor:.5f})"
        )
    return f"translate({left:.3f} {top:.3f}) scale({factor:.5f})"


def _named(view: BoardView) -> str:
    return view.title or f"board {plain_name(view.board.name)}"


def _side(story: Story, view: BoardView, side: str) -> Still:
    words = {part.reference: f"{part.reference} {part.does}".strip() for part in story.analysis.dossier.parts}
    outs = call_outs(view, side, words, MOST_CALL_OUTS)
    told = joined([out.text for out in outs]) or "no parts placed"
    return Still(
        name=f"board-{view.board.name}-{side}",
        caption=f"{heading(_named(view))}, {side}",
        alt=f"The {side} of {_named(view)}. Called out: {told}.",
        paint=partial(_paint_side, view, side, outs),
    )


def _paint_side(view: BoardView, side: str, outs: tuple[CallOut, ...], stage: Stage, caption: str) -> str:
    room = stage.room(caption)
    mirrored = side == "back"
    beside = 400.0 if stage.shape == "wide" else 0.0
    below = 0.0 if stage.shape == "wide" else min(0.55 * room.height, 66.0 * len(outs) + 40.0)
    inner = Room(left=room.left + beside, top=room.top, right=room.right - beside, bottom=room.bottom - below)
    factor, left, top = _fit(view, inner)
    width = view.board.size[0]

    def seen(out: CallOut) -> CallOut:
        x = width - out.x if mirrored else out.x
        return CallOut(text=out.text, part=out.part, x=left + x * factor, y=top + out.y * factor)

    chosen = {out.part for out in outs}
    frames = "".join(
        part_outline(part, stage.paint, 2.4 / factor)
        for part in view.board.parts
        if part.reference in chosen and part.side == side
    )
    ground = (
        f'<g transform="{_placing(view, inner, mirrored=mirrored)}">{board_ground(view, side)}{frames}</g>'
    )
    placed = [seen(out) for out in outs]
    if stage.shape == "tall":
        return ground + _words_below(placed, room, inner.bottom + 40.0, stage)
    middle = left + width * factor / 2
    at_left = sorted((out for out in placed if out.x < middle), key=lambda out: out.y)
    at_right = sorted((out for out in placed if out.x >= middle), key=lambda out: out.y)
    parts = [ground]
    for group, x, is_left in (
        (at_left, left - 40.0, True),
        (at_right, left + width * factor + 40.0, False),
    ):
        space = x - room.left if is_left else room.right - x
        words = words_beside(group, space, room.bottom - room.top, SMALL)
        halves = [0.6 * SMALL * len(lines) for lines in words] or [0.0]
        steps = [one + other + 0.3 * SMALL for one, other in pairwise(halves)]
        heights = spread([out.y for out in group], steps, room.top + halves[0], room.bottom - halves[-1])
        parts += lines_beside(group, words, heights, x, SMALL, stage.paint, left=is_left)
    return "".join(parts)


def _words_below(outs: list[CallOut], room: Room, top: float, stage: Stage) -> str:
    """On a standing still: numbers on the board, words below."""
    parts = []
    for number, out in enumerate(outs, start=1):
        parts.append(
            f'<circle cx="{out.x:.1f}" cy="{out.y:.1f}" r="24" style="fill:{stage.paint.accent};'
            f'stroke:{stage.paint.ground};stroke-width:4"/>'
        )
        parts.append(
            text(str(number), out.x, out.y + 11, colour="#1d2433", size=SMALL, anchor="middle", strong=True)
        )
        y = top + 30.0 + 62.0 * (number - 1)
        if y <= room.bottom:
            parts.append(text(str(number), room.left, y, colour=stage.paint.quiet, size=SMALL))
            said = fitted(out.text, room.width - 60.0, SMALL)
            parts.append(text(said, room.left + 60.0, y, colour=stage.paint.ink, size=SMALL))
    return "".join(parts)


def _through(view: BoardView) -> Still:
    return Still(
        name=f"through-{view.board.name}",
        caption="Seen through the board: copper of the front over that of the back",
        alt=f"Outline of {_named(view)} with the copper of both sides over each other, as seen from the front.",
        paint=partial(_paint_through, view),
    )


def _paint_through(view: BoardView, stage: Stage, caption: str) -> str:
    room = stage.room(caption)
    inner = Room(left=room.left, top=room.top, right=room.right, bottom=room.bottom - 70.0)
    sides = {one.side: one.copper for one in view.board.sides}
    back = filled(copper_path(sides.get("back", ())), stage.paint.supply, 0.5)
    front = filled(copper_path(sides.get("front", ())), FOUND, 0.5)
    factor, _, _ = _fit(view, inner)
    holes = "".join(
        f'<circle cx="{hole.at[0]:.2f}" cy="{hole.at[1]:.2f}" r="{hole.diameter / 2:.2f}" style="fill:{stage.paint.ground}"/>'
        for hole in view.board.holes
    )
    edge = f'<path d="{outline_path(view)}" style="fill:none;stroke:{stage.paint.ink};stroke-width:{2.5 / factor:.3f}"/>'
    drawn = (
        f'<g transform="{_placing(view, inner, mirrored=False)}">{_under(view)}{back}{front}{holes}{edge}</g>'
    )
    return drawn + _key(room, stage, (("front", FOUND), ("back", stage.paint.supply)))


def _under(view: BoardView) -> str:
    """Pale ground of a board: its front without colour, or its plain shape."""
    if "front" in view.pictures:
        return f'<g style="opacity:.35">{board_ground(view, "front", grey=True)}</g>'
    return f'<path d="{outline_path(view)}" style="fill:#d9d9d2;fill-opacity:.5;fill-rule:evenodd"/>'


def _key(room: Room, stage: Stage, entries: tuple[tuple[str, str], ...]) -> str:
    """Which colour is which, below the picture."""
    parts = []
    x = room.left
    for said, colour in entries:
        parts.append(
            f'<rect x="{x:.1f}" y="{room.bottom - 34:.1f}" width="34" height="34" rx="4" '
            f'style="fill:{colour};fill-opacity:.65"/>'
        )
        parts.append(text(said, x + 50, room.bottom - 7, colour=stage.paint.ink, size=SMALL))
        x += 50 + widest([said], SMALL) + 60
    return "".join(parts)


def _net(story: Story, view: BoardView, net: str) -> Still:
    pins = [str(pin) for pin in story.analysis.circuit.nets.get(net, ())]
    pins = pins or [pad.pin for part in view.board.parts for pad in part.pads if pad.net == net]
    ends = f" It joins {joined(pins)}." if pins else ""
    return Still(
        name=f"net-{view.board.name}-{net}",
        caption=f"The net {plain_name(net)}" + (f" joins {counted(len(pins), 'pin')}" if pins else ""),
        alt=f"{heading(_named(view))} with the copper of the net {plain_name(net)} lit up.{ends}",
        paint=partial(_paint_net, view, net, tuple(pins)),
    )


def _paint_net(view: BoardView, net: str, pins: tuple[str, ...], stage: Stage, caption: str) -> str:
    room = stage.room(caption)
    inner = Room(left=room.left, top=room.top, right=room.right, bottom=room.bottom - 76.0)
    factor, _, _ = _fit(view, inner)
    islands = view.nets.get(net, ())
    sides = {island.side for island in islands}
    front = copper_path(one for one in islands if one.side == "front")
    back = copper_path(one for one in islands if one.side == "back")
    rim = f";stroke:#ffffff;stroke-width:{1.5 / factor:.3f}"
    lit = filled(back, stage.paint.supply, 0.75, rim) + filled(front, FOUND, 0.9, rim)
    side = "front" if "front" in sides or not sides else "back"
    ground = f'<g style="opacity:.45">{board_ground(view, side, grey=True)}</g>'
    edge = f'<path d="{outline_path(view)}" style="fill:none;stroke:{stage.paint.hairline};stroke-width:{2 / factor:.3f}"/>'
    mirrored = side == "back"
    drawn = f'<g transform="{_placing(view, inner, mirrored=mirrored)}">{ground}{lit}{edge}</g>'
    key = tuple(
        (f"on the {name}", colour)
        for name, colour in (("front", FOUND), ("back", stage.paint.supply))
        if name in sides
    )
    beside = sum(50.0 + widest([name], SMALL) + 60.0 for name, _ in key)
    said = pins_that_fit(pins, room.width - beside)
    words = text(said, room.right, room.bottom - 6, colour=stage.paint.quiet, size=SMALL, anchor="end")
    return drawn + _key(room, stage, key) + (words if stage.shape == "wide" else "")


def pins_that_fit(pins: tuple[str, ...], width: float) -> str:
    """Pins of a net in a line, the last of many by their number; the description of the still names all."""
    for shown in range(len(pins), 0, -1):
        more = len(pins) - shown
        said = f"joins {joined([*pins[:shown], *([f'{more} more'] if more else [])])}"
        if widest([said], SMALL) <= width:
            return said
    return ""


def _chosen_nets(story: Story, view: BoardView) -> tuple[str, ...]:
    """Nets to be lit: those that the dossier orders, else those with the most pins."""
    named = [
        name.removeprefix(f"net-{view.board.name}-")
        for name in story.analysis.dossier.publication.stills
        if name.startswith(f"net-{view.board.name}-")
    ]
    copper = {net: islands for net, islands in view.nets.items() if islands}
    pins = {net: len(story.analysis.circuit.nets.get(net, ())) for net in copper}
    usual = sorted(copper, key=lambda net: (-pins[net], -sum(one.area for one in copper[net]), net))
    known = [net for net in named if net in copper]
    return tuple(dict.fromkeys((*usual[:MOST_NETS], *known)))


def _sides(story: Story) -> tuple[Still, ...]:
    return tuple(_side(story, view, side) for view in story.boards for side in view.sides)


def _overlays(story: Story) -> tuple[Still, ...]:
    return tuple(
        _through(view) for view in story.boards if sum(bool(one.copper) for one in view.board.sides) > 1
    )


def _nets(story: Story) -> tuple[Still, ...]:
    return tuple(_net(story, view, net) for view in story.boards for net in _chosen_nets(story, view))


MEMBERS = (
    Scene(
        name="board",
        place=30,
        build=_sides,
        says="Each side of each board, with its parts called out.",
        needs="no board is traced",
    ),
    Scene(
        name="through",
        place=35,
        build=_overlays,
        says="Each board of two sides with the copper of one seen through the other.",
        needs="no board is traced on both sides",
    ),
    Scene(
        name="net",
        place=40,
        build=_nets,
        says="One copper net at a time, lit up on the board.",
        needs="no board is traced",
    ),
)
