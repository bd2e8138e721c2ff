"""The boards: both sides with their parts, the copper of each net lit from the tables and the schematic."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.dossier import Analysis
from lidoff.report.boardpicture import side_picture
from lidoff.report.boards import BoardView
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Figure, Paragraph
from lidoff.report.words import anchor, counted, heading, joined, plain_name

__all__ = ["MEMBERS"]

OPENING = (
    "The photos are flattened to the board's own measures; the back is shown as one sees it. On the web page, a part or net "
    "under the pointer lights up here, in the schematic and in the tables."
)


def _figure(view: BoardView, side: str) -> Figure:
    title = view.title or f"board {plain_name(view.board.name)}"
    parts = [part.reference for part in view.board.parts if part.side == side]
    width, height = view.board.size
    size = "" if " mm" in title else f", {width:.0f} mm × {height:.0f} mm"
    photo = _photo(view, side) if side in view.pictures else ", without a photo"
    return Figure(
        name=anchor("board", f"{view.board.name}-{side}"),
        caption=f"{heading(title)}, {side}{size}{photo}.",
        alt=f"The {side} of {title}{size}, with {counted(len(parts), 'part')}: {joined(parts) or 'none'}.",
        picture=side_picture(view, side),
    )


def _photo(view: BoardView, side: str) -> str:
    """Which photo it is, so that the original can be told from any other."""
    traced = next((one for one in view.board.sides if one.side == side), None)
    if traced is None or not traced.photo:
        return ""
    mark = f", SHA-256 begins {traced.sha256[:12]}" if traced.sha256 else ""
    return f"; from {traced.photo}{mark}"


def _with_boards(_: Analysis, boards: Sequence[BoardView]) -> tuple[Block, ...]:
    figures = tuple(_figure(view, side) for view in boards for side in view.sides)
    return (Paragraph(text=OPENING), *figures) if figures else ()


MEMBERS = (
    Chapter(
        name="boards",
        title="Boards",
        place=25,
        build=lambda _: (),
        with_boards=_with_boards,
        says="Photos of each traced board, with its parts named and its copper ready to be lit.",
    ),
)
