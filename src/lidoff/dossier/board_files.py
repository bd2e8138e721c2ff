"""Boards of a dossier as files: ``boards/NAME.json``, one stroke, hole or pad row to a line so that changes stay small."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from lidoff.dossier.documents import Documents
from lidoff.errors import DossierError, ImpossibleValue, UnknownName, located

if TYPE_CHECKING:
    from lidoff.board import Board

__all__ = ["FOLDER", "board_file", "board_in", "board_name", "board_text", "plain_text"]

FOLDER = "boards"
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _-]{0,79}")
_WIDTH = 100  # longest table or list that still stands on one line


def board_file(name: str) -> str:
    """File of a board inside the dossier's folder.

    Parameters
    ----------
    name : str
        Of the board.

    Returns
    -------
    str
        ``boards/NAME.json``.

    Raises
    ------
    ImpossibleValue
        The name cannot be a file's name everywhere.
    """
    if not _NAME.fullmatch(name) or name != name.strip():
        raise ImpossibleValue(
            f"{name!r} cannot be the name of a board's file",
            remedy="use letters A to Z, digits, _ and -, such as main",
        )
    return f"{FOLDER}/{name}.json"


def board_name(file: str) -> str:
    """Name of the board whose file this is; empty for any other file."""
    name = file.removeprefix(f"{FOLDER}/").removesuffix(".json")
    return name if file == f"{FOLDER}/{name}.json" and _NAME.fullmatch(name) else ""


def board_in(documents: Documents, name: str) -> Board:
    """Traced board of a dossier.

    Parameters
    ----------
    documents : mapping of str to str
        Texts of the folder.
    name : str
        Of the board.

    Returns
    -------
    Board
        As its file tells.

    Raises
    ------
    UnknownName, DossierError
        There is no such board, or its file cannot be read.
    """
    from lidoff.board import board_from_dict

    file = board_file(name)
    if file not in documents:
        known = [one for one in map(board_name, documents) if one]
        raise UnknownName(f"the board {name!r} has no file yet", name=name, known=known)
    with located(file):
        try:
            data = json.loads(documents[file])
        except (ValueError, RecursionError) as error:
            raise DossierError(
                f"the file is not JSON ({error})", remedy="mend it by hand, or undo the last change of it"
            ) from None
        return board_from_dict(data)


def board_text(board: Board) -> str:
    """Text of a board's file."""
    from lidoff.board import board_to_dict

    return plain_text(board_to_dict(board))


def plain_text(data: object) -> str:
    """JSON with what is short on one line.

    Parameters
    ----------
    data : object
        Plain data.

    Returns
    -------
    str
        Ends in a line break.
    """
    return _laid_out(data, 0) + "\n"


def _laid_out(data: object, depth: int) -> str:
    flat = json.dumps(data, ensure_ascii=False, allow_nan=False)
    if len(flat) <= _WIDTH or depth > 4 or not isinstance(data, (Mapping, list, tuple)):
        return flat
    inner, outer = "\n" + " " * (depth + 1), "\n" + " " * depth
    if isinstance(data, Mapping):
        pieces = [
            f"{json.dumps(str(name), ensure_ascii=False)}: {_laid_out(value, depth + 1)}"
            for name, value in data.items()
        ]
        return "{" + inner + ("," + inner).join(pieces) + outer + "}"
    return "[" + inner + ("," + inner).join(_laid_out(value, depth + 1) for value in data) + outer + "]"
