"""Bringing the files of an older format to the newest, with the originals kept beside, byte by byte."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from lidoff.dossier.documents import Documents
from lidoff.dossier.formats import NEWEST, forward, forward_text
from lidoff.dossier.loading import FILE_NAME
from lidoff.dossier.saving import flush_folder
from lidoff.errors import OutputRefused

__all__ = ["Migrated", "keep_original", "migrated_texts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Migrated:
    """That a dossier was brought to the newest format.

    Attributes
    ----------
    was : int
        Format that it was in.
    kept : str
        Name of the file that holds the original.
    """

    was: int
    kept: str

    def __str__(self) -> str:
        """Tell it in one line."""
        return f"{FILE_NAME} was in format {self.was} and is now in format {NEWEST}; the original is kept as {self.kept}"


def migrated_texts(folder: Path, documents: Documents) -> tuple[Documents, Migrated]:
    """Texts of a folder in the newest format, the original of what differs kept beside before anything is written.

    Parameters
    ----------
    folder : Path
        Of the dossier, whose files hold `documents`.
    documents : mapping of str to str
        Texts, with a ``dossier.toml`` of an older format.

    Returns
    -------
    documents : mapping of str to str
        To be written.
    migrated : Migrated
        What to tell.

    Raises
    ------
    OutputRefused
        The original cannot be kept: there is no room, or no right to write.
    """
    was = forward(documents[FILE_NAME], FILE_NAME).written_in
    new = forward_text(documents[FILE_NAME], FILE_NAME)
    kept = keep_original(folder / FILE_NAME, f"format-{was}")
    return MappingProxyType({**documents, FILE_NAME: new}), Migrated(was=was, kept=kept.name)


def keep_original(file: Path, word: str) -> Path:
    """Copy a file beside itself, byte by byte, and on the disk when this returns.

    Parameters
    ----------
    file : Path
        What to keep.
    word : str
        Put into the name of the copy.

    Returns
    -------
    Path
        Such as ``dossier.format-1.toml``; with a number if that name holds something else. A copy that is there already counts.

    Raises
    ------
    OutputRefused
        It cannot be written; nothing half-written stays.
    """
    try:
        content = file.read_bytes()
        number = 1
        while True:
            more = f"-{number}" if number > 1 else ""
            copy = file.with_name(f"{file.stem}.{word}{more}{file.suffix}")
            if not copy.exists():
                break
            if copy.read_bytes() == content:
                return copy
            number += 1
        _write_new(copy, content)
        flush_folder(copy.parent)
    except OSError as error:
        raise OutputRefused(
            f"the original of {file.name} cannot be kept beside it ({error.strerror or error})",
            where=str(file.parent),
            remedy="nothing was changed; make room on the disk or check the folder's permissions, then try again",
        ) from None
    return copy


def _write_new(file: Path, content: bytes) -> None:
    """Write a file that is not there yet, or leave none."""
    with file.open("xb") as stream:
        try:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        except BaseException:
            file.unlink(missing_ok=True)
            raise
