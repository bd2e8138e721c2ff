"""Beginning a dossier: a folder with a commented file that can be analysed as it stands."""

from __future__ import annotations

from functools import cache
from importlib import resources
from pathlib import Path

from lidoff.dossier.loading import FILE_NAME
from lidoff.dossier.saving import write_whole
from lidoff.errors import OutputRefused

__all__ = ["FOLDERS", "start_dossier"]

FOLDERS = ("boards", "photos", "logs")
"""Folders beside the file; ``out`` is made when something is written into it."""


def start_dossier(path: str | Path) -> tuple[Path, ...]:
    """Begin a dossier in a new or empty place.

    Parameters
    ----------
    path : str or Path
        The folder; it and those above it are made if needed.

    Returns
    -------
    tuple of Path
        What was made: the file first, then the folders.

    Raises
    ------
    OutputRefused
        There is a dossier already, which stays as it is, or the folder cannot be written.
    """
    folder = Path(path)
    file = folder / FILE_NAME
    made = [file]
    try:
        if folder.exists() and not folder.is_dir():
            raise OutputRefused(
                "a dossier is a folder, and this is a file", where=str(folder), remedy="name another folder"
            )
        if file.exists() or file.is_symlink():
            raise OutputRefused(
                f"there is a {FILE_NAME} here already",
                where=str(folder),
                remedy="name another folder, or edit that file",
            )
        folder.mkdir(parents=True, exist_ok=True)
        for name in FOLDERS:
            beside = folder / name
            if not beside.exists():
                beside.mkdir()
                made.append(beside)
    except OSError as error:
        raise OutputRefused(
            f"a folder cannot be made here ({error.strerror or error})",
            where=str(folder),
            remedy="check the permissions, or name another folder",
        ) from None
    write_whole(file, _starter())
    return tuple(made)


@cache
def _starter() -> str:
    return resources.files("lidoff.dossier").joinpath("starter.toml").read_text(encoding="utf-8")
