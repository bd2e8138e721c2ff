"""Loading a dossier: all faults of the file in one pass, each with its key and line."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from lidoff.dossier.broken import broken_text
from lidoff.dossier.building import Faults, build_dossier
from lidoff.dossier.entries import Dossier
from lidoff.dossier.lines import lines_of_keys
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
    file = given / FILE_NAME if given.is_dir() else given
    return dossier_from_text(_text_of(file), name=file.name)


def dossier_from_text(text: str, *, name: str = FILE_NAME) -> Dossier:
    """Dossier of a text in the format of ``dossier.toml``.

    Parameters
    ----------
    text : str
        TOML.
    name : str, optional
        What messages call the file.

    Returns
    -------
    Dossier
        All that the text says.

    Raises
    ------
    DossierError
        As for `load_dossier`.
    """
    document = _document(text, name)
    faults = Faults(name, lambda: lines_of_keys(text))
    dossier = build_dossier(document, faults)
    faults.raise_if_any()
    return dossier


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


def _document(text: str, name: str) -> Mapping[str, Any]:
    """Plain data of a TOML text."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise broken_text(str(error), text, name) from None
    except RecursionError:
        raise DossierError(
            "brackets are nested too deeply", where=name, remedy="check that this is a dossier"
        ) from None
