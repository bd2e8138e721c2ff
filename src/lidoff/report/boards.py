"""Traced boards of a dossier as pictures need them: read from its folder, flattened, with the copper of each net."""

from __future__ import annotations

import base64
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lidoff.board import Board, Island

__all__ = ["BoardPicture", "BoardView", "board_views"]

LONGEST = 1800
"""Longest edge of a flattened photo in a report or still [px]."""
QUALITY = 82
"""Of the JPEG that a flattened photo is kept as: its size halves against 95, and no edge of a track suffers (looked at)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardPicture:
    """One side's photo, flattened into the board frame.

    Attributes
    ----------
    side : str
        ``front`` or ``back``; the back as seen through the board.
    data : str
        The picture as a ``data:`` address.
    grey : str
        The same without colour, to lie under tinted copper.
    """

    side: str
    data: str
    grey: str


@dataclass(frozen=True, kw_only=True)
class BoardView:
    """One traced board, with its photos where the dossier has them.

    Attributes
    ----------
    board : Board
    title : str
        What it is.
    pictures : mapping of str to BoardPicture
        By side.
    """

    board: Board
    title: str = ""
    pictures: Mapping[str, BoardPicture] = field(default_factory=dict)

    @property
    def sides(self) -> tuple[str, ...]:
        """Sides of which there is anything to show."""
        told = {side.side for side in self.board.sides} | set(self.pictures)
        told |= {part.side for part in self.board.parts}
        return tuple(side for side in ("front", "back") if side in told)

    @cached_property
    def nets(self) -> Mapping[str, tuple[Island, ...]]:
        """Copper of each net, on both sides."""
        from lidoff.board import board_nets

        # One piece may be many polygons of one number, where tracing parted it.
        pieces: dict[str, list[Island]] = {}
        for side in self.board.sides:
            for island in side.copper:
                pieces.setdefault(f"{side.side}:{island.number}", []).append(island)
        return {
            net.name: tuple(island for name in net.pieces for island in pieces.get(name, ()))
            for net in board_nets(self.board).nets
        }


def board_views(folder: Path, titles: Mapping[str, str]) -> tuple[BoardView, ...]:
    """Every traced board of a dossier's folder, sorted by name.

    Parameters
    ----------
    folder : Path
        Of the dossier; boards lie in ``boards/NAME.json``, their photos where each side says.
    titles : mapping of str to str
        What each board is, by name.

    Returns
    -------
    tuple of BoardView
        Empty where no board was traced. A side whose photo is not there is shown by its copper alone.

    Raises
    ------
    DossierError
        A board's file cannot be read or says something impossible.
    PhotoRefused
        A photo is no picture, is too large, or is not the one that was traced.
    """
    from lidoff.dossier import board_from_text, board_texts

    boards = [board_from_text(text, file) for file, text in board_texts(folder).items()]
    return tuple(
        BoardView(board=board, title=titles.get(board.name, ""), pictures=dict(_pictures(folder, board)))
        for board in boards
    )


def _pictures(folder: Path, board: Board) -> Iterable[tuple[str, BoardPicture]]:
    from lidoff.board import read_photo, rectify

    for side in board.sides:
        file = _inside(folder, side.photo)
        if side.registration is None or file is None:
            continue
        photo = read_photo(file, expected_sha256=side.sha256)
        flat = rectify(
            photo.picture, side.registration, side=side.side, size=board.size, longest_px=LONGEST
        ).picture
        yield (
            side.side,
            BoardPicture(side=side.side, data=_data(flat, grey=False), grey=_data(flat, grey=True)),
        )


def _inside(folder: Path, name: str) -> Path | None:
    """File of a photo; None where there is none, or where it lies outside the dossier."""
    file = (folder / name).resolve()
    return file if name and file.is_relative_to(folder.resolve()) and file.is_file() else None


def _data(picture: object, *, grey: bool) -> str:
    from PIL import Image

    image = Image.fromarray(picture)  # type: ignore[arg-type]
    if grey:
        image = image.convert("L")
    file = io.BytesIO()
    image.save(file, "JPEG", quality=QUALITY, optimize=True)
    return f"data:image/jpeg;base64,{base64.b64encode(file.getvalue()).decode('ascii')}"
