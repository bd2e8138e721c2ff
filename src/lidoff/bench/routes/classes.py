"""Classes of what a page has in view, while strokes are put down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fastapi import APIRouter

from lidoff.bench.bench import Bench
from lidoff.bench.classing import ClassesAsked, ClassesTold, StrokeDrawn
from lidoff.bench.files import file_inside
from lidoff.bench.models import Name
from lidoff.bench.plain_document import photos_named
from lidoff.dossier.board_files import board_file
from lidoff.dossier.edits import Side
from lidoff.errors import ImpossibleValue

if TYPE_CHECKING:
    from lidoff.board import Board, Stroke

__all__ = ["routes"]


def routes(bench: Bench) -> APIRouter:
    """Routes of a view's classes."""
    router = APIRouter(prefix="/api/boards/{board}/{side}/classes", tags=["boards"])

    @router.post("")
    def classes_in_view(board: Name, side: Side, asked: ClassesAsked) -> ClassesTold:
        """Class the pixels of a view under all strokes of the side and those told here; nothing is written.

        A page's newer question ends its older one, which is then refused as ``superseded``.
        """
        from lidoff.dossier.side_in_hand import side_in_hand

        hand = side_in_hand(_board(bench, board), side, photos_named(bench.desk.documents))
        for photo in hand.photos:
            file_inside(bench.folder, photo.file)
        strokes = (*hand.side.strokes, *map(_stroke, asked.strokes))
        return bench.classing.classes(hand, strokes, asked.window_mm, asked.page)

    return router


def _board(bench: Bench, name: str) -> Board:
    from lidoff.dossier import board_from_text

    file, documents = board_file(name), bench.desk.documents
    if file not in documents:
        bench.check_board(name)
        raise ImpossibleValue(
            f"nothing was traced on {name} yet", remedy="show a photo of a side, then find its copper"
        )
    return board_from_text(documents[file], file)


def _stroke(drawn: StrokeDrawn) -> Stroke:
    from lidoff.board import Stroke

    return Stroke(says=drawn.says, points=tuple(drawn.points_mm), width=drawn.width_mm)
