"""What stays known of a board whose outline, photos' registration and found holes are made anew."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lidoff.dossier.entries import Board as BoardEntry
from lidoff.dossier.places_on_board import named_spot
from lidoff.evidence import read_text

if TYPE_CHECKING:
    from lidoff.board import Board, PlacedPart

__all__ = ["is_stated_otherwise", "known_anew", "millimetres"]

Spot = tuple[float, float]
SAME = 0.005
"""Lengths no further apart are one length, as they are told [mm]."""


def millimetres(text: str) -> float | None:
    """Length [mm] of a text with its unit; None for an empty one."""
    return read_text(text, "m").value * 1e3 if text else None


def is_stated_otherwise(board: Board, entry: BoardEntry) -> bool:
    """Whether a stated size is not the one that a board's outline has.

    Parameters
    ----------
    board : Board
        With its outline, if it has one.
    entry : BoardEntry
        What the dossier says of it.

    Returns
    -------
    bool
        False where nothing is stated, or no outline known.
    """
    stated = (millimetres(entry.width), millimetres(entry.height))
    return bool(board.outline) and any(
        length is not None and abs(length - own) > SAME
        for length, own in zip(stated, board.size, strict=True)
    )


def known_anew(board: Board, width: float | None, height: float | None) -> Board:
    """Board with what a hand said of it alone, on the size that is stated now.

    A photo is laid on the board by its outline, so that what was said of places on it moves with the outline's size.

    Parameters
    ----------
    board : Board
        As known.
    width, height : float or None
        As stated [mm]; what is not stated keeps the outline's proportions.

    Returns
    -------
    Board
        Without outline and found holes, and with sides that are laid on it anew.
    """
    across, down = _stretch(board, width, height)

    def moved(at: Spot) -> Spot:
        return (at[0] * across, at[1] * down)

    def named(place: str) -> str:
        """A probe's or a wire's end; a pin stays as it is."""
        told = named_spot(place)
        if told is None:
            return place
        x, y = moved(told[1])
        return f"{told[0]}:{x:.3f},{y:.3f}"

    return replace(
        board,
        outline=(),
        sides=tuple(
            replace(
                side,
                sha256="",
                strokes=tuple(replace(one, points=tuple(map(moved, one.points))) for one in side.strokes),
            )
            for side in board.sides
        ),
        holes=tuple(replace(hole, at=moved(hole.at)) for hole in board.holes if hole.sure >= 1.0),
        parts=tuple(_placed(part, moved(part.at)) for part in board.parts),
        wires=tuple(replace(one, first=named(one.first), second=named(one.second)) for one in board.wires),
        beeps=tuple(replace(one, first=named(one.first), second=named(one.second)) for one in board.beeps),
    )


def _stretch(board: Board, width: float | None, height: float | None) -> Spot:
    if not board.outline or (width is None and height is None):
        return (1.0, 1.0)
    across, down = (
        None if length is None else length / own
        for length, own in zip((width, height), board.size, strict=True)
    )
    return (across or down or 1.0, down or across or 1.0)


def _placed(part: PlacedPart, at: Spot) -> PlacedPart:
    """Part at another place; a package is as large as it is."""
    by = (at[0] - part.at[0], at[1] - part.at[1])
    pads = tuple(replace(pad, at=(pad.at[0] + by[0], pad.at[1] + by[1])) for pad in part.pads)
    return replace(part, at=at, pads=pads)
