"""Loading a dossier: all faults of the file in one pass, each with its key and line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from lidoff.dossier.building import build_dossier
from lidoff.dossier.entries import Dossier
from lidoff.dossier.formats import forward
from lidoff.dossier.lines import lines_of_keys
from lidoff.dossier.logs import log_contents
from lidoff.dossier.noted import Faults
from lidoff.dossier.photo_files import unusable_photos
from lidoff.dossier.traced import board_from_text, board_texts
from lidoff.errors import DossierError

__all__ = ["FILE_NAME", "LARGEST_FILE", "dossier_from_text", "load_dossier"]

FILE_NAME = "dossier.toml"
LARGEST_FILE = 4_000_000
"""Bytes; a larger file is refused unread."""


def load_dossier(path: str | Path) -> Dossier:
    """Dossier of a folder.

    Parameters
    ----------
    path : str or Path
        The folder, or the ``dossier.toml`` in it.

    Returns
    -------
    Dossier
        All that the file says.

    Raises
    ------
    DossierError
        The file is missing, unreadable or says something impossible; `faults` lists every fault.
    """
    given = Path(path)
    try:
        file = given / FILE_NAME if given.is_dir() else given
        text = _text_of(file)
        boards, logs = board_texts(file.parent), log_contents(file.parent, text)
    except OSError as error:
        raise DossierError(
            f"the folder cannot be reached ({error.strerror or error})",
            where=str(given),
            remedy="look whether the disk or share is there, then try again",
        ) from None
    dossier = dossier_from_text(text, name=file.name, boards=boards, logs=logs)
    return replace(dossier, unusable_photos=unusable_photos(file.parent, dossier.photos))


def dossier_from_text(
    text: str,
    *,
    name: str = FILE_NAME,
    boards: Mapping[str, str] | None = None,
    logs: Mapping[str, bytes] | None = None,
) -> Dossier:
    """Dossier of a text in the format of ``dossier.toml``.

    Parameters
    ----------
    text : str
        TOML, in any version of the format so far.
    name : str, optional
        What messages call the file.
    boards : mapping of str to str, optional
        Text of each traced board by its path inside the folder, such as ``boards/main.json``.
    logs : mapping of str to bytes, optional
        Files of logs by path inside the folder, such as ``logs/run.csv``; without them readings from logs are not checked.

    Returns
    -------
    Dossier
        All that the text says.

    Raises
    ------
    DossierError
        As for `load_dossier`.
    """
    read = forward(text, name)
    faults = Faults(name, lambda: lines_of_keys(text))
    for now, written in read.renamed:
        faults.all_written_as(now, written)
    traced = [board_from_text(board, file) for file, board in sorted((boards or {}).items())]
    dossier = build_dossier(read.document, faults, traced, logs)
    faults.raise_if_any()
    return replace(dossier, written_in=read.written_in)


def _text_of(file: Path) -> str:
    """Text of a file, read with care."""
    shown = str(file)
    try:
        if not file.is_file():
            if file.exists():
                raise DossierError(
                    "this is not an ordinary file", where=shown, remedy="name the dossier's folder"
                )
            raise DossierError(
                f"there is no {FILE_NAME} here"
                if file.name == FILE_NAME
                else "there is no such file or folder",
                where=str(file.parent if file.name == FILE_NAME else file),
                remedy="name the dossier's folder, or begin one with: lidoff start FOLDER",
            )
        size = file.stat().st_size
        if size > LARGEST_FILE:
            raise DossierError(
                f"the file has {size / 1e6:.1f} MB, and a dossier has at most {LARGEST_FILE / 1e6:.0f} MB",
                where=shown,
                remedy="check that this is the right file; photos and logs lie beside it, not in it",
            )
        content = file.read_bytes()
    except OSError as error:
        raise DossierError(
            f"the file cannot be read ({error.strerror or error})",
            where=shown,
            remedy="check its permissions",
        ) from None
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise DossierError(
            f"byte {error.start + 1} (0x{content[error.start]:02x}) is not UTF-8 text",
            where=f"{file.name}, line {line}",
            remedy="save the file as UTF-8",
        ) from None
