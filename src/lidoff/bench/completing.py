"""Edits completed with what the server knows and the page does not: a finding's name, a photo's size and hash."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lidoff.bench.files import file_inside
from lidoff.bench.findings import named_finding
from lidoff.bench.plain_document import photos_named
from lidoff.dossier.edits import Decide, Edit, Register, Several

if TYPE_CHECKING:
    from lidoff.bench.bench import Bench

__all__ = ["completed"]


def completed(edit: Edit, bench: Bench) -> Edit:
    """Edit with what the server knows of its things.

    Parameters
    ----------
    edit : Edit
        As the page asks for it.
    bench : Bench
        The server.

    Returns
    -------
    Edit
        The same where nothing is missing.
    """
    if isinstance(edit, Several):
        return replace(edit, edits=tuple(completed(one, bench) for one in edit.edits))
    if isinstance(edit, Decide):
        return named_finding(edit, bench.live.full())
    if not isinstance(edit, Register):
        return edit
    photo = edit.photo or _photo_of(bench, edit.board, edit.side)
    if not photo:
        return edit
    pyramid = bench.pictures.photo(file_inside(bench.folder, photo))
    return replace(edit, photo=photo, photo_shape=(pyramid.height, pyramid.width), sha256=pyramid.sha256)


def _photo_of(bench: Bench, board: str, side: str) -> str:
    """Photo that shows a side: as traced, else as the dossier tells."""
    found = bench.traced(board)
    for one in () if found is None else found.board.sides:
        if one.side == side and one.photo:
            return one.photo
    named = photos_named(bench.desk.documents)
    return next((one.file for one in named if one.side == side and one.board == board), "")
