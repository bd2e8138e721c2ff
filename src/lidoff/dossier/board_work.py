"""Tracing the boards of a dossier on disk: photos in, ``boards/NAME.json`` and pictures of every step out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from lidoff.board import Board as TracedBoard
from lidoff.board import ByHand, SidePhoto, Tracing, by_hand_from_dict, check_scale, read_photo, trace_board
from lidoff.dossier.board_files import board_text
from lidoff.dossier.entries import Dossier, Photo
from lidoff.dossier.inside import lies_inside
from lidoff.dossier.known_anew import known_anew, millimetres
from lidoff.dossier.loading import FILE_NAME, LARGEST_FILE, load_dossier
from lidoff.dossier.saving import write_whole
from lidoff.dossier.toml_reading import toml_data
from lidoff.dossier.traced import BOARDS_FOLDER
from lidoff.errors import DossierError, PhotoRefused, UnknownName, located

__all__ = [
    "TracedOnDisk",
    "read_by_hand",
    "save_board",
    "side_photo",
    "side_photos",
    "trace_dossier",
    "traced_of",
    "write_step_pictures",
]

Progress = Callable[[str, float], None]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TracedOnDisk:
    """One board traced and written.

    Attributes
    ----------
    tracing : Tracing
        The board and its steps.
    file : Path
        Where the board lies.
    pictures : tuple of Path
        Pictures of the steps, in the order of the work.
    """

    tracing: Tracing
    file: Path
    pictures: tuple[Path, ...]


def save_board(board: TracedBoard, folder: str | Path) -> Path:
    """Write a traced board into a dossier's folder.

    Parameters
    ----------
    board : TracedBoard
        What to write.
    folder : str or Path
        Of the dossier.

    Returns
    -------
    Path
        ``boards/NAME.json`` in it.

    Raises
    ------
    OutputRefused
        It cannot be written; the old file is as it was.
    """
    file = Path(folder) / BOARDS_FOLDER / f"{board.name}.json"
    write_whole(file, board_text(board))
    return file


def side_photos(dossier: Dossier, folder: Path, board: str) -> Mapping[str, SidePhoto]:
    """Photos of a board's sides, read from the dossier's folder.

    Several whole photos of one side are made one without glare; close-ups are laid into the first whole photo.

    Parameters
    ----------
    dossier : Dossier
        Its ``[[photos]]`` name board and side.
    folder : Path
        Of the dossier.
    board : str
        Name of the board.

    Returns
    -------
    mapping of str to SidePhoto
        By side.

    Raises
    ------
    DossierError
        No photo shows a side of the board.
    PhotoRefused
        A photo cannot be read.
    """
    shown = _shown_sides(dossier, board)
    if not shown:
        raise DossierError(
            f"no photo shows a side of the board {board!r}",
            where=FILE_NAME,
            remedy=f'add [[photos]] with file = "photos/…", board = "{board}" and side = "front" or "back"',
        )
    return {side: side_photo(dossier.photos, folder, board, side) for side in shown}


def side_photo(photos: Sequence[Photo], folder: Path, board: str, side: str) -> SidePhoto:
    """Photo of one side of a board; several are made one as told at `side_photos`.

    Parameters
    ----------
    photos : sequence of Photo
        Of the dossier.
    folder : Path
        Of the dossier.
    board, side : str
        What is to be shown.

    Returns
    -------
    SidePhoto
        In the frame of the first whole photo.

    Raises
    ------
    DossierError
        No photo shows the whole side.
    PhotoRefused
        A photo cannot be read, or lies outside the folder by way of a link.
    """
    import hashlib

    from lidoff.board import glare_free, mosaic

    mine = [photo for photo in photos if photo.side == side and photo.board == board]
    if not mine:
        raise DossierError(
            f"no photo shows the {side} of the board {board!r}",
            where=FILE_NAME,
            remedy=f'add [[photos]] with file = "photos/…", board = "{board}" and side = "{side}"',
        )
    read = [(photo, read_photo(_inside(folder, photo.file))) for photo in mine]
    whole = [one for photo, one in read if photo.shows != "close-up"]
    close = [one.picture for photo, one in read if photo.shows == "close-up"]
    if not whole:
        raise DossierError(
            f"{mine[0].file} is a close-up, and no photo shows the whole side",
            where=FILE_NAME,
            remedy="add a photo of the whole side, even a coarse one",
        )
    picture = whole[0].picture if len(whole) == 1 else glare_free([one.picture for one in whole])
    if close:
        picture = mosaic(close, picture).picture
    # A mosaic has a frame of its own: its hash is that of all its shots. Other photos are registered as they are.
    digest = whole[0].sha256
    if close:
        digest = hashlib.sha256("".join(one.sha256 for _, one in read).encode()).hexdigest()
    return SidePhoto(
        picture=picture, file=next(photo.file for photo in mine if photo.shows != "close-up"), sha256=digest
    )


def trace_dossier(
    folder: str | Path,
    *,
    board: str = "",
    afresh: bool = False,
    by_hand: str | Path | None = None,
    progress: Progress | None = None,
) -> tuple[TracedOnDisk, ...]:
    """Trace the boards of a dossier and write what was found.

    Parameters
    ----------
    folder : str or Path
        Of the dossier.
    board : str, optional
        The one board to trace; all that have photos if not given.
    afresh : bool, optional
        Whether registrations, outline and found holes are made anew; strokes, parts, wires and beeps always stay.
    by_hand : str or Path, optional
        TOML file of marks, strokes, parts, holes, wires, beeps and names, for the one board that is traced.
    progress : callable (text, share), optional
        Told of each step before it starts.

    Returns
    -------
    tuple of TracedOnDisk
        In the order of the dossier.

    Raises
    ------
    DossierError, UnknownName, ImpossibleValue, PhotoRefused, OutputRefused
        The dossier has no such board, no photo of it, no length to scale by, or cannot be written; the file of decisions
        cannot be read, or does not say which of several boards it is about.
    """
    given = Path(folder)
    root = given.parent if given.is_file() else given
    dossier = load_dossier(folder)
    names = [one.name for one in dossier.boards]
    if board and board not in names:
        raise UnknownName(f"the dossier has no board {board!r}", name=board, known=names)
    chosen = [board] if board else [name for name in names if _has_photos(dossier, name)]
    if not chosen:
        raise DossierError(
            "the dossier has no board with photos",
            where=str(root / FILE_NAME),
            remedy='add [boards.main] with width = "… mm", and [[photos]] with file, board and side',
        )
    if by_hand is not None and len(chosen) > 1:
        raise DossierError(
            "decisions by hand are about one board, and the dossier has several",
            where=str(by_hand),
            remedy=f"name the board: --board {chosen[0]}",
        )
    decided = ByHand() if by_hand is None else read_by_hand(by_hand)
    return tuple(_trace_one(dossier, root, name, afresh, decided, progress) for name in chosen)


def read_by_hand(path: str | Path) -> ByHand:
    """Decisions by hand from a TOML file.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    ByHand
        As `by_hand_from_dict` reads it.

    Raises
    ------
    DossierError
        The file cannot be read, is no TOML, or says something impossible; `faults` lists every fault.
    """
    file = Path(path)
    with located(str(file)):
        try:
            if file.stat().st_size > LARGEST_FILE:
                raise DossierError(
                    "the file is too large for decisions by hand", remedy="check that it is the right one"
                )
            text = file.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise DossierError(f"the file cannot be read ({error})", remedy="check its name") from None
        return by_hand_from_dict(toml_data(text, file.name))


def _inside(folder: Path, name: str) -> Path:
    """File of a photo, which must be one and lie in the dossier: somebody else's dossier may name a link or a pipe."""
    file = folder / name
    if not lies_inside(folder, file) or (file.exists() and not file.is_file()):
        raise PhotoRefused(
            "this is no ordinary file of the dossier", where=name, remedy="put the photo itself into photos/"
        )
    return file


def _shown_sides(dossier: Dossier, board: str) -> tuple[str, ...]:
    """Sides of a board that photos show, each once."""
    return tuple(dict.fromkeys(one.side for one in dossier.photos if one.side and one.board == board))


def _has_photos(dossier: Dossier, name: str) -> bool:
    return bool(_shown_sides(dossier, name))


def traced_of(
    dossier: Dossier,
    root: Path,
    name: str,
    *,
    afresh: bool = False,
    by_hand: ByHand | None = None,
    progress: Progress | None = None,
) -> Tracing:
    """Trace one board of a dossier; nothing is written.

    Parameters
    ----------
    dossier : Dossier
        As loaded; its `boards` have one of that name.
    root : Path
        Its folder, for the photos.
    name : str
        The board.
    afresh : bool, optional
        As for `trace_dossier`.
    by_hand : ByHand, optional
        Decided by hand since.
    progress : callable (text, share), optional
        Told of each step before it starts.

    Returns
    -------
    Tracing
        The board and its steps.

    Raises
    ------
    DossierError, UnknownName, ImpossibleValue, PhotoRefused
        As for `trace_dossier`.
    """
    entry = next((one for one in dossier.boards if one.name == name), None)
    if entry is None:
        known_names = [one.name for one in dossier.boards]
        raise UnknownName(f"the dossier has no board {name!r}", name=name, known=known_names)
    known = next((one for one in dossier.traced if one.name == name), None)
    width, height = millimetres(entry.width), millimetres(entry.height)
    if known is not None and known.outline and (width is None or height is None):
        stated = width is not None or height is not None
        if not (afresh and stated):  # an outline found anew tells the other edge by its proportions
            width, height = width or known.size[0], height or known.size[1]
    if known is not None and afresh:
        known = known_anew(known, width, height)
    with located(f"{FILE_NAME}, boards.{name}"):
        by_hand = by_hand or ByHand()
        if not by_hand.outline:  # of known size; else asked before the photos are read, which takes seconds
            check_scale(width, height, by_hand.marks, _shown_sides(dossier, name))
        return trace_board(
            side_photos(dossier, root, name),
            name=name,
            width=width,
            height=height,
            thickness=millimetres(entry.thickness),
            known=known,
            by_hand=by_hand,
            progress=progress,
        )


def _trace_one(
    dossier: Dossier, root: Path, name: str, afresh: bool, by_hand: ByHand, progress: Progress | None
) -> TracedOnDisk:
    tracing = traced_of(dossier, root, name, afresh=afresh, by_hand=by_hand, progress=progress)
    file = save_board(tracing.board, root)
    return TracedOnDisk(
        tracing=tracing, file=file, pictures=write_step_pictures(tracing, root / "out" / "board")
    )


def write_step_pictures(tracing: Tracing, folder: Path) -> tuple[Path, ...]:
    """Write a picture of every step of a tracing.

    Parameters
    ----------
    tracing : Tracing
        From `trace_board`.
    folder : Path
        Where to; made if it is not there.

    Returns
    -------
    tuple of Path
        PNG files, named after board, side and step, in the order of the work.

    Raises
    ------
    OutputRefused
        A picture cannot be written.
    """
    from lidoff.board import pictures_of_tracing, save_picture

    return tuple(
        save_picture(picture, folder / f"{tracing.board.name}-{step}.png")
        for step, picture in pictures_of_tracing(tracing).items()
    )
