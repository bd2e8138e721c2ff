"""One side of a board while it is painted on: what its classes depend on beside strokes, and the side made ready for them."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from lidoff.dossier.board_work import side_photo
from lidoff.dossier.entries import Photo
from lidoff.errors import ImpossibleValue

if TYPE_CHECKING:
    from lidoff.board import Board, Place, PlacedPart, PreparedSide, Registration, TracedSide

__all__ = ["SideInHand", "ready_side", "side_in_hand"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SideInHand:
    """One side that is painted on, small enough to be sent to another process with every stroke.

    Attributes
    ----------
    board : str
        Its name.
    side : TracedSide
        With registration and strokes, without copper.
    registration : Registration
        How the photo shows the board.
    size : tuple of float
        Of the board frame [mm].
    outline, cutouts : tuple of place, tuple of tuple of place
        Of the board [mm].
    parts : tuple of PlacedPart
        All that are placed on the board.
    photos : tuple of Photo
        Those that show the side.
    """

    board: str
    side: TracedSide
    registration: Registration
    size: tuple[float, float]
    outline: tuple[Place, ...]
    cutouts: tuple[tuple[Place, ...], ...]
    parts: tuple[PlacedPart, ...]
    photos: tuple[Photo, ...]

    def mark(self, folder: Path) -> str:
        """Text that stays the same as long as nothing changed but strokes and parts.

        Parameters
        ----------
        folder : Path
            Of the dossier, whose photos may be replaced.

        Returns
        -------
        str
            Hash.
        """
        numbers = [*self.registration.homography.ravel().tolist(), self.registration.lens]
        files = [(one.file, one.shows, _mark_of(folder / one.file)) for one in self.photos]
        told = (self.board, self.side.side, numbers, self.size, self.outline, self.cutouts, files)
        return hashlib.sha256(repr(told).encode()).hexdigest()


def side_in_hand(board: Board, side: str, photos: Sequence[Photo]) -> SideInHand:
    """What the classes of a side depend on.

    Parameters
    ----------
    board : Board
        As traced or begun.
    side : str
        "front" or "back".
    photos : sequence of Photo
        Of the dossier.

    Returns
    -------
    SideInHand
        For `ready_side`.

    Raises
    ------
    ImpossibleValue
        The side is not laid on the board yet, or is said to carry no copper.
    """
    found = next((one for one in board.sides if one.side == side), None)
    if found is None or found.registration is None or not board.outline:
        raise ImpossibleValue(
            f"the {side} of {board.name} was not laid on the board yet",
            remedy="have its outline found, or mark its corners",
        )
    if found.blank:
        raise ImpossibleValue(
            f"the {side} of {board.name} is said to carry no copper, so none is looked for on it",
            remedy=f"if it does, say blank = false for the {side} in a file of decisions by hand, and trace with that",
        )
    return SideInHand(
        board=board.name,
        side=replace(found, copper=(), joins=()),
        registration=found.registration,
        size=board.size,
        outline=board.outline,
        cutouts=board.cutouts,
        parts=board.parts,
        photos=tuple(one for one in photos if one.side == side and one.board == board.name),
    )


def ready_side(hand: SideInHand, folder: Path) -> PreparedSide:
    """Side made ready for strokes; takes seconds, and is good until its mark changes.

    Parameters
    ----------
    hand : SideInHand
        What to make ready.
    folder : Path
        Of the dossier, for the photos.

    Returns
    -------
    PreparedSide
        Without parts.

    Raises
    ------
    DossierError, PhotoRefused
        No photo shows the side, or it cannot be read.
    ImpossibleValue
        The photo is another one than that which was laid on the board.
    """
    from lidoff.board import prepare_for_view

    photo = side_photo(hand.photos, folder, hand.board, hand.side.side)
    if hand.side.sha256 and photo.sha256 != hand.side.sha256:
        raise ImpossibleValue(
            f"the photo of the {hand.side.side} is another one than that which was laid on {hand.board}",
            remedy="have outline, holes and copper found again",
        )
    return prepare_for_view(
        photo.picture,
        hand.registration,
        side=hand.side.side,
        size=hand.size,
        outline=hand.outline,
        cutouts=hand.cutouts,
    )


def _mark_of(file: Path) -> tuple[int, int]:
    try:
        status = file.stat()
    except OSError:
        return (0, 0)
    return status.st_size, status.st_mtime_ns
