"""The schematic: whole, then block by block with the rest dimmed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial

from lidoff.dossier import Analysis
from lidoff.insight import Block, told_once
from lidoff.report.inline import page_colours, restyled
from lidoff.report.paint import PAGE, formula_text, formula_width, lines_of, text
from lidoff.report.scene import Scene, Still, Story
from lidoff.report.sections.blocks import block_title, worked_sum
from lidoff.report.sections.schematic import drawing_of, most_read
from lidoff.report.stage import BODY, SMALL, Room, Stage, nested
from lidoff.report.subject import situation_title
from lidoff.report.words import counted, sentence, typeset
from lidoff.report.worked import FormulaRun, WorkedSum
from lidoff.schematic import Drawing, Sheet

__all__ = ["MEMBERS"]

STEP = 10.0
"""Pixels of a drawing to a grid step."""
EDGE = 30.0
"""Free edge that a drawing has on every side [px]."""
TRIM = 18.0
"""What a still takes off of it [px]."""
CLOSEST = 340.0
"""Narrowest stretch of a drawing that a still shows [px], so that symbols grow no larger than needed."""
ROUND_BLOCK = 60.0
"""What is shown round a block [px]."""
LETTER = 11.0
"""Height of a drawing's letters [px]."""
SMALLEST = 28.0
"""What they are to be on a still [px], else a block that lies far apart is shown in pieces."""
FAR = 12.0
"""Parts farther apart than this belong to different pieces [grid steps]."""
MOST_PIECES = 3
SUMS = 2
"""Sums on one still."""


def _whole(story: Story) -> tuple[Still, ...]:
    analysis = story.analysis
    if not analysis.circuit.parts:
        return ()
    drawing = drawing_of(analysis)
    solved = most_read(analysis)
    where = f": {situation_title(analysis, solved.name)}" if solved is not None else ""
    sheets = len(drawing.sheets)
    parts = counted(sum(not part.stands_for for part in analysis.circuit.parts), "part")
    size = f"{parts} on {counted(len(analysis.circuit.nets), 'net')}"
    return tuple(
        Still(
            name="schematic" if sheets == 1 else f"schematic-{number + 1}",
            caption=f"The whole circuit, {parts}{where}",
            alt=f"Schematic of {size}{where}.",
            paint=partial(_paint_whole, analysis, number),
        )
        for number in range(sheets)
    )


def _colours(stage: Stage) -> Mapping[str, str]:
    """Colours as variables where the still stands in a page that follows light and dark."""
    return page_colours() if stage.paint is PAGE else {}


def _paint_whole(analysis: Analysis, sheet: int, stage: Stage, caption: str) -> str:
    drawing = drawing_of(analysis, tall=stage.shape == "tall")
    svg, width, height = restyled(
        drawing.to_svg(theme=stage.theme, sheet=sheet), f"whole-{sheet}", _colours(stage), trim=TRIM
    )
    return nested(_bare(svg, stage), stage.room(caption), width, height)


def _bare(svg: str, stage: Stage) -> str:
    """Drawing without its own ground: the still has one, or is to have none, not even inside symbols."""
    bare = svg.replace('<rect class="paper"', '<rect class="paper" style="fill:none"')
    return (
        bare.replace('class="stroke face"', 'class="stroke face" style="fill:none"') if stage.clear else bare
    )


def _blocks(story: Story) -> tuple[Still, ...]:
    analysis = story.analysis
    groups = [group for group in told_once(analysis.blocks) if group[0].sums]
    if not groups:
        return ()
    drawing = drawing_of(analysis)
    stills = (_block(analysis, drawing, group) for group in groups)
    return tuple(still for still in stills if still is not None)


def _block(analysis: Analysis, drawing: Drawing, group: tuple[Block, ...]) -> Still | None:
    for block in group:
        for number, sheet in enumerate(drawing.sheets):
            if set(block.parts) <= {symbol.reference for symbol in sheet.symbols}:
                sums = tuple(worked_sum(analysis, one) for one in group[0].sums[:SUMS])
                return Still(
                    name=f"block-{block.parts[0]}",
                    caption=block_title(group),
                    alt=f"{sentence(block.purpose)} "
                    + " ".join(f"{one.says}: {one.result}." for one in sums),
                    paint=partial(_paint_block, _lit(drawing, block), number, block, sums),
                    aside="± is the expanded uncertainty, k = 2",
                )
    return None


def _lit(drawing: Drawing, block: Block) -> Drawing:
    """Drawing with a block's parts, and the nets between them alone, standing out."""
    inner = tuple(
        net
        for net, pins in drawing.circuit.nets.items()
        if sum(pin.reference in block.parts for pin in pins) > 1
        and all(pin.reference in block.parts for pin in pins)
    )
    options = replace(drawing.options, highlight_parts=block.parts, highlight_nets=inner)
    return replace(drawing, options=options)


def _paint_block(
    drawing: Drawing, number: int, block: Block, sums: tuple[WorkedSum, ...], stage: Stage, caption: str
) -> str:
    picture, words = _parted(stage.room(caption), stage.shape == "wide")
    sheet = drawing.sheets[number]
    windows = [_window(sheet, block.parts, picture)]
    if windows[0][2] * SMALLEST > picture.width * LETTER:
        together = _clusters(sheet, block.parts)
        high = picture.height / len(together)
        shape = Room(
            left=picture.left, top=picture.top, right=picture.right, bottom=picture.top + high - 20.0
        )
        windows = [_window(sheet, parts, shape) for parts in together]
    tall = picture.height / len(windows)
    svg = drawing.to_svg(theme=stage.theme, sheet=number)
    painted = []
    for place, window in enumerate(windows):
        piece, width, height = restyled(svg, f"lit-{block.parts[0]}-{place}", _colours(stage), window=window)
        top = picture.top + place * tall
        room = Room(
            left=picture.left,
            top=top,
            right=picture.right,
            bottom=top + tall - (20.0 if len(windows) > 1 else 0.0),
        )
        painted.append(nested(_bare(piece, stage), room, width, height, most=6.0))
    return "".join(painted) + _words(block, sums, words, stage)


def _clusters(sheet: Sheet, parts: Sequence[str]) -> list[tuple[str, ...]]:
    """Parts that stand near one another, from left to right, in as few pieces as `MOST_PIECES`."""
    places = {symbol.reference: (symbol.x, symbol.y) for symbol in sheet.symbols if symbol.reference in parts}
    groups: list[tuple[str, ...]] = [(name,) for name in sorted(places, key=lambda one: places[one])]

    def apart(one: tuple[str, ...], other: tuple[str, ...]) -> float:
        return min(math.dist(places[a], places[b]) for a in one for b in other)

    while len(groups) > 1:
        near, first, second = min(
            (apart(one, other), i, j) for i, one in enumerate(groups) for j, other in enumerate(groups[:i])
        )
        if near > FAR and len(groups) <= MOST_PIECES:
            break
        merged = (*groups[second], *groups[first])
        groups = [group for number, group in enumerate(groups) if number not in (first, second)]
        groups.insert(second, merged)
    return groups


def _parted(room: Room, wide: bool) -> tuple[Room, Room]:
    """Room for the picture, and room for the words beside or below it."""
    if wide:
        edge = room.left + 0.56 * room.width
        return (
            Room(left=room.left, top=room.top, right=edge - 40.0, bottom=room.bottom),
            Room(left=edge + 20.0, top=room.top, right=room.right, bottom=room.bottom),
        )
    edge = room.top + 0.5 * room.height
    return (
        Room(left=room.left, top=room.top, right=room.right, bottom=edge - 20.0),
        Room(left=room.left, top=edge + 30.0, right=room.right, bottom=room.bottom),
    )


def _window(sheet: Sheet, parts: Sequence[str], room: Room) -> tuple[float, float, float, float]:
    """Stretch of a sheet round some parts, in the shape of the room [px]."""
    x0, y0, x1, y1 = sheet.box
    boxes = [symbol.body for symbol in sheet.symbols if symbol.reference in parts]
    boxes += [label.box for label in sheet.labels if label.owner.split(".")[0] in parts]  # type: ignore[misc]
    left = (min(box[0] for box in boxes) - x0) * STEP + EDGE - ROUND_BLOCK
    right = (max(box[2] for box in boxes) - x0) * STEP + EDGE + ROUND_BLOCK
    top = (min(box[1] for box in boxes) - y0) * STEP + EDGE - ROUND_BLOCK
    bottom = (max(box[3] for box in boxes) - y0) * STEP + EDGE + ROUND_BLOCK
    width = max(right - left, (bottom - top) * room.width / room.height, CLOSEST)
    height = width * room.height / room.width
    return (_held((left + right - width) / 2, width, (x1 - x0) * STEP + 2 * EDGE),
            _held((top + bottom - height) / 2, height, (y1 - y0) * STEP + 2 * EDGE), width, height)  # fmt: skip


def _held(start: float, length: float, whole: float) -> float:
    """Start of a stretch, moved so that it shows no more than needed of what lies beyond the sheet."""
    if length >= whole:
        return (whole - length) / 2
    return min(max(start, 0.0), whole - length)


def _words(block: Block, sums: tuple[WorkedSum, ...], room: Room, stage: Stage) -> str:
    paint = stage.paint
    parts: list[str] = []
    y = room.top + BODY
    for said in lines_of(typeset(sentence(block.purpose)), room.width, BODY, most=5):
        parts.append(text(said, room.left, y, colour=paint.ink, size=BODY))
        y += 1.36 * BODY
    for one in sums:
        result = typeset(f"= {one.result}")
        lines = [*_formula_lines(one.formula, room.width), *_formula_lines(one.numbers, room.width, "= ")]
        says = lines_of(typeset(one.says), room.width, SMALL, most=2)
        tall = 44.0 + 1.3 * SMALL * len(says) + 58.0 * len(lines) + 84.0
        if y + tall > room.bottom:
            break
        y += 44.0
        for said in says:
            parts.append(text(said, room.left, y, colour=paint.quiet, size=SMALL))
            y += 1.3 * SMALL
        for runs, size in lines:
            y += 16.0
            parts.append(formula_text(runs, room.left, y, colour=paint.ink, size=size))
            y += 42.0
        y += 34.0
        size = next(
            (
                one
                for one in (64.0, 56.0, 48.0, 40.0)
                if len(lines_of(result, room.width, one, strong=True)) == 1
            ),
            36.0,
        )
        parts.append(text(result, room.left, y, colour=paint.ink, size=size, strong=True))
        y += 24.0
        read = [said for said in one.beside if not said.startswith("solved")][:1]
        beside = [line for told in read for line in lines_of(typeset(told), room.width, SMALL, most=2)]
        for said in beside:
            if y + 1.3 * SMALL <= room.bottom:
                y += 1.2 * SMALL
                parts.append(text(said, room.left, y, colour=paint.quiet, size=SMALL))
        y += 22.0 if beside else 0.0
    return "".join(parts)


def _formula_lines(
    runs: tuple[FormulaRun, ...], room: float, before: str = ""
) -> list[tuple[tuple[FormulaRun, ...], float]]:
    """A formula on one line, small enough for the room; nothing where it would be too small to read."""
    if not runs:
        return []
    told = (FormulaRun(text=before), *runs) if before else runs
    fits = (size for size in (42.0, 37.0, 32.0, 28.0) if formula_width(told, size) <= room)
    size = next(fits, 0.0)
    return [(told, size)] if size else []


MEMBERS = (
    Scene(
        name="schematic",
        place=50,
        build=_whole,
        says="The whole schematic with solved voltages.",
        needs="no circuit",
    ),
    Scene(
        name="block",
        place=60,
        build=_blocks,
        says="Each block of the circuit lit up in the dimmed schematic, with its sums.",
        needs="no block with a sum was recognised",
    ),
)
